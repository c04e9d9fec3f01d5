/* The shape of what may be written into the record of a run, each field by its name, kind and bounds, nothing beside. Used by the routes of the logbook. */
import { z } from 'zod';

const who = z
  .string('expected your name')
  .trim()
  .min(1, 'expected your name')
  .max(60, 'expected a name of at most 60 letters');
const note = z.string().trim().max(4000);
/** More than any part and any balance of a workshop. */
const grams = z
  .number('expected a weight in grams')
  .gt(0, 'expected a weight above 0 g')
  .max(1_000_000, 'expected a weight of at most 1,000,000 g');
const atMs = z.number().int().min(0);

export const newRunEntry = z.strictObject({
  atMs: atMs.optional(),
  who,
  note: note.optional(),
  body: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('note') }),
    z.strictObject({
      kind: z.literal('weighing'),
      when: z.enum(['before', 'after']),
      grams,
      uncertaintyGrams: z.number().gt(0).max(10_000),
    }),
  ]),
  isConfirmed: z.boolean().optional(),
});
export const photographQuery = z.strictObject({
  who,
  note: note.optional(),
  atMs: z.coerce.number().pipe(atMs).optional(),
});
const reason = z.string().trim().min(1, 'expected a reason').max(500);
export const undoRunEntry = z.strictObject({ who, reason });
export const correctRunNote = z.strictObject({ who, note: note.min(1, 'expected words'), reason });
export const deleteRun = z.strictObject({ who });
