/*
 * The name under which somebody acts on an alarm, as the page may send it with the request; without one the act is kept as done on the page. Used by the routes of
 * alarms and of contacts. Who may act at all is the door's.
 */
import { z } from 'zod';
import { nameFault, ON_THE_PAGE, PERSON_NAME_CHARACTERS_MAX } from '@bathkeeper/shared-core/watch';
import { checked } from './refusal.js';

const personName = (most: number) =>
  z
    .string('expected your name')
    .trim()
    .min(1, { error: 'expected your name', abort: true })
    .max(most, { error: `expected a name of at most ${String(most)} letters`, abort: true })
    .superRefine((name, context) => {
      const fault = nameFault(name);
      if (fault !== null) context.addIssue({ code: 'custom', message: fault });
    });

/** Of somebody who is called. */
export const contactName = personName(80);
/** A field of a request. */
export const by = personName(PERSON_NAME_CHARACTERS_MAX).optional();

const signed = z.strictObject({ by });

/** What to keep as who, of a request that says nothing else. Throws Refused. */
export function whoOf(body: unknown): string {
  return checked(signed, body ?? {}).by ?? ON_THE_PAGE;
}
