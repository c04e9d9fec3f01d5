/*
 * What stands at the head of an exported run, in every format: which run it was, its recipe, how many rows follow. Written by the exports, read and
 * checked by the import; this file only knows the shape.
 */
import { z } from 'zod';
import { expectedWords } from '../http/fault-words.js';

export const RUN_FORMAT = 'bathkeeper-run';
/** Raised when a column changes its meaning. 1 had no alarms and nothing that people wrote. */
export const RUN_FORMAT_VERSION = 2;

const whole = z.number().int().min(0).max(Number.MAX_SAFE_INTEGER);
const instant = z
  .number()
  .int()
  .min(0)
  .max(Date.UTC(2100, 0, 1));
const name = z.string().min(1).max(120);

const firstHeader = z.strictObject({
  format: z.literal(RUN_FORMAT),
  formatVersion: z.literal(1),
  writtenAtMs: instant,
  run: z
    .strictObject({
      controllerId: name,
      bathName: name.nullable(),
      isSimulated: z.boolean(),
      incarnation: whole,
      run: whole,
      startedAtMs: instant,
      /** null: it was still going on. */
      endedAtMs: instant.nullable(),
      /** Condition that ended it, 0: somebody asked for a stop. */
      endedCode: whole.nullable(),
      chargeMillicoulombs: whole,
    })
    .refine(({ startedAtMs, endedAtMs }) => endedAtMs === null || endedAtMs >= startedAtMs, {
      message: 'expected an end that does not lie before the start',
      path: ['endedAtMs'],
    }),
  /** As it was made for the controller; null: it is not known. */
  recipe: z
    .strictObject({
      recipeId: whole,
      madeAtMs: instant,
      view: z.looseObject({ recipeId: whole, partName: z.string().max(120) }),
      row: z.array(z.number()).max(64),
    })
    .nullable(),
  recordCount: whole,
  eventCount: whole,
});

export const runHeader = firstHeader.extend({
  formatVersion: z.literal(RUN_FORMAT_VERSION),
  alarmCount: whole,
  alarmJournalCount: whole,
  entryCount: whole,
});

export type RunHeader = z.infer<typeof runHeader>;

/** A head of any version, as one of this. */
export function readHeader(value: unknown): RunHeader | z.ZodError {
  if ((value as { formatVersion?: unknown } | null)?.formatVersion !== 1) {
    const { data, error } = runHeader.safeParse(value, { error: expectedWords });
    return data ?? error;
  }
  const { data, error } = firstHeader.safeParse(value, { error: expectedWords });
  return data === undefined ? error : ofThisVersion(data);
}

/** Of a head that was read before, by whatever version. */
export function ofThisVersion(header: z.infer<typeof firstHeader> | RunHeader): RunHeader {
  const counts = 'entryCount' in header ? header : { alarmCount: 0, alarmJournalCount: 0, entryCount: 0 };
  // A document begins with its format.
  return { ...header, formatVersion: RUN_FORMAT_VERSION, ...counts };
}
