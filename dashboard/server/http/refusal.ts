/*
 * How a request is refused: thrown by a route, answered by the application as a Refusal with its status. Every fault at once, each a
 * whole sentence that says what to do. Used by every file with routes; it knows none of them.
 */
import type { z } from 'zod';
import { problemsOf } from './requests.js';

export class Refused extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly problems: readonly string[] = [],
  ) {
    super(message);
  }
}

/** The request as its schema describes it; refused with 400 when it does not fit. */
export function checked<T extends z.ZodType>(schema: T, body: unknown): z.infer<T> {
  const result = schema.safeParse(body);
  if (!result.success) throw new Refused(400, 'The request does not fit.', problemsOf(result.error));
  return result.data;
}
