/*
 * How a request is refused: thrown by a route, answered by the application as a Refusal with its status. Every fault at once, each a
 * whole sentence that says what to do. Used by every file with routes; it knows none of them.
 */
import type { z } from 'zod';
import { UnreadRecords } from '../keeping/reading.js';
import { expectedWords, faultWords } from './fault-words.js';

/** Above what is wrong in a request. */
export const DOES_NOT_FIT =
  'The request does not fit. Correct what is listed and send it again; if you typed none of it, load the page anew.';

export class Refused extends Error {
  constructor(
    readonly status: number,
    message: string,
    readonly problems: readonly string[] = [],
  ) {
    super(message);
  }
}

/** Of a question to the records that could not be read; everything else as it was thrown. */
export function refusedAsUnread(fault: unknown): never {
  throw fault instanceof UnreadRecords ? new Refused(503, fault.message) : fault;
}

/** The request as its schema describes it; refused with 400 when it does not fit. */
export function checked<T extends z.ZodType>(schema: T, body: unknown): z.infer<T> {
  return read(schema, body, false);
}

/** As checked; of what came, which may be secret, only its kind is told. */
export function checkedSecret<T extends z.ZodType>(schema: T, body: unknown): z.infer<T> {
  return read(schema, body, true);
}

function read<T extends z.ZodType>(schema: T, body: unknown, isSecret: boolean): z.infer<T> {
  const result = schema.safeParse(body, { error: expectedWords });
  if (result.success) return result.data;
  throw new Refused(400, DOES_NOT_FIT, faultWords(result.error, body, 'The request', isSecret));
}
