/* What a row of alarms, of their journal or of entries may hold, each field by its kind and bounds, as this dashboard writes them itself. Called by read-row.ts. */
import { z } from 'zod';
import type { AlarmName, JournalAct } from '@bathkeeper/shared-core/messages';
import { expectedWords } from '../http/fault-words.js';
import { alarmTexts } from '../watch/alarm-texts.js';
import type { ToldAlarm, ToldChange } from '../watch/imported-alarms.js';
import type { StoredRow } from './run-columns.js';
import type { ToldName } from './run-tables.js';
import { shownCell } from './unreadable-run.js';

const number = z.number().int().min(1).max(0xffffffff);
const instant = z.number().int().min(0).max(Date.UTC(2100, 0, 1)); // prettier-ignore
const flag = z.union([z.literal(0), z.literal(1)], 'expected 0 or 1');
const words = (most: number) => z.string().max(most);
const who = z.string().min(1, 'expected a name').max(200);

const acts: Readonly<Record<JournalAct, true>> = {
  raised: true, 'raised-again': true, returned: true, acknowledged: true, reset: true, shelved: true, unshelved: true, 'shelf-ended': true,
  suppressed: true, unsuppressed: true, 'taken-out-of-service': true, 'put-back-in-service': true,
}; // prettier-ignore

const states = ['unacknowledged', 'acknowledged', 'returned-unacknowledged', 'latched', 'normal'] as const;
const oneOf = <T extends string>(names: readonly T[], what: string) => z.enum(names, `expected ${what}`);

const alarmShape: z.ZodType<ToldAlarm> = z
  .strictObject({
    alarmNumber: number,
    name: oneOf(Object.keys(alarmTexts) as AlarmName[], 'the name of an alarm of this dashboard'),
    priority: oneOf(['high', 'medium', 'low'], 'high, medium or low'),
    title: words(300),
    detail: words(20_000),
    checkFirst: words(4000),
    causeAtMs: instant,
    raisedAtMs: instant,
    notifiedAtMs: instant.nullable(),
    acknowledgedAtMs: instant.nullable(),
    acknowledgedBy: who.nullable(),
    returnedAtMs: instant.nullable(),
    latches: flag,
    resetAtMs: instant.nullable(),
    isFirstOut: flag,
    causedByAlarmNumber: number.nullable(),
  })
  .refine(({ acknowledgedAtMs, acknowledgedBy }) => (acknowledgedAtMs === null) === (acknowledgedBy === null), {
    message: 'expected who acknowledged it and when, or neither',
    path: ['acknowledgedBy'],
  });

const changeShape: z.ZodType<ToldChange> = z.strictObject({
  changeNumber: number,
  alarmNumber: number,
  atMs: instant,
  what: oneOf(Object.keys(acts) as JournalAct[], 'what happens to an alarm: raised, acknowledged and so on'),
  state: oneOf(states, 'the state of an alarm').nullable(),
  who,
  reason: words(4000).nullable(),
});

const ofEntry = {
  entryNumber: number,
  atMs: instant,
  writtenAtMs: instant,
  who,
  note: words(4000).nullable(),
  undoneAtMs: instant.nullable(),
  undoneBy: who.nullable(),
  undoneBecause: words(500).min(1).nullable(),
};
const nothing = z.null('expected nothing in an entry of this kind');
const noWeighing = { weighedWhen: nothing, massGrams: nothing, massUncertaintyGrams: nothing };
const noPhotograph = { photographType: nothing, widthPixels: nothing, heightPixels: nothing, byteCount: nothing };
const size = z.number().int().min(1).max(0xffffffff);

const entryShape = z
  .discriminatedUnion(
    'kind',
    [
      z.strictObject({ ...ofEntry, kind: z.literal('note'), ...noWeighing, ...noPhotograph }),
      z.strictObject({
        ...ofEntry,
        kind: z.literal('weighing'),
        weighedWhen: oneOf(['before', 'after'], 'before or after'),
        massGrams: z.number().gt(0).max(1_000_000),
        massUncertaintyGrams: z.number().gt(0).max(10_000),
        ...noPhotograph,
      }),
      z.strictObject({
        ...ofEntry,
        kind: z.literal('photograph'),
        ...noWeighing,
        photographType: oneOf(['image/jpeg', 'image/png', 'image/webp'], 'image/jpeg, image/png or image/webp'),
        widthPixels: size,
        heightPixels: size,
        byteCount: size,
      }),
    ],
    'expected note, weighing or photograph',
  )
  .refine(
    ({ undoneAtMs, undoneBy, undoneBecause }) =>
      (undoneAtMs === null) === (undoneBy === null) && (undoneBy === null) === (undoneBecause === null),
    { message: 'expected when it was undone, by whom and why, or none of them', path: ['undoneBy'] },
  );

export type EntryOfFile = z.infer<typeof entryShape>;

const shapes: Readonly<Record<ToldName, z.ZodType>> = {
  alarms: alarmShape,
  alarmJournal: changeShape,
  entries: entryShape,
};

/** undefined: there is none. */
export function toldFault(name: ToldName, row: StoredRow): string | undefined {
  const result = shapes[name].safeParse(row, { error: expectedWords });
  if (result.success) return undefined;
  const { path, message } = result.error.issues[0]!;
  const [field] = path;
  return `${field === undefined ? 'the row' : String(field)}: ${message}${field === undefined ? '' : `, got ${shownCell(row[String(field)])}`}.`;
}
