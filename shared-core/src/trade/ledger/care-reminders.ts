/*
 * What care of a bath is due by days or by ampere-hours, as somebody set it for this bath. Called by the bath's page and by the server for its reminders. Without a
 * reminder that somebody wrote down nothing is due: how often depends on the bath, its anodes and its parts.
 */
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '../faraday.js';
import { inOrder } from './bath-account.js';
import type { LedgerEntry, Worked } from './ledger-entry.js';

/** What can be reminded of: an entry of that kind is what answers it. */
export const remindedKinds = {
  filtration: { name: 'filtration' },
  'carbon-treatment': { name: 'carbon treatment' },
  analysis: { name: 'an analysis' },
  'hull-cell': { name: 'a Hull cell panel' },
  level: { name: 'a look at the level' },
  'anodes-weighed': { name: 'weighing the anodes' },
} as const;
export type RemindedKind = keyof typeof remindedKinds;
export const remindedKeys = Object.keys(remindedKinds) as [RemindedKind, ...RemindedKind[]];

/** From then on; the newest of its kind counts. Neither days nor ampere-hours: no longer. */
export interface ReminderAsked {
  readonly kind: 'reminder';
  readonly of: RemindedKind;
  readonly everyDays?: number | undefined;
  readonly everyAmpereHours?: number | undefined;
}

export interface CareDue {
  readonly of: RemindedKind;
  readonly everyDays: number | undefined;
  readonly everyAmpereHours: number | undefined;
  /** Since it was done last, else since the bath was made up, else since the reminder was set. */
  readonly sinceMs: number;
  readonly wasDone: boolean;
  readonly days: number;
  readonly ampereHours: number;
  readonly isDue: boolean;
}

/** Whole days in words. Example: `daysWords(1.9)` is "1 day". */
export function daysWords(days: number): string {
  const whole = Math.floor(days);
  return whole === 1 ? '1 day' : `${String(whole)} days`;
}

const DAY_MS = 86_400_000;

/** Example: filtration each 30 days or 500 Ah, last 31 days and 200 Ah ago: due, by its days. */
export function careDue(
  entries: readonly LedgerEntry[],
  { millicoulombs, atEntries }: Pick<Worked, 'millicoulombs' | 'atEntries'>,
  nowMs: number,
): CareDue[] {
  const counted = inOrder(entries);
  return remindedKeys.flatMap((of) => {
    const set = counted.findLast(({ body }) => body.kind === 'reminder' && body.of === of);
    if (set?.body.kind !== 'reminder') return [];
    const { everyDays, everyAmpereHours } = set.body;
    if (everyDays === undefined && everyAmpereHours === undefined) return [];
    const done = counted.findLast(({ body }) => body.kind === of);
    const since = done ?? counted.findLast(({ body }) => body.kind === 'made-up') ?? set;
    const days = Math.max(0, nowMs - since.atMs) / DAY_MS;
    const ampereHours =
      Math.max(0, millicoulombs - (atEntries[since.entryId] ?? millicoulombs)) / MILLICOULOMBS_PER_AMPERE_HOUR;
    const isDue = days >= (everyDays ?? Infinity) || ampereHours >= (everyAmpereHours ?? Infinity);
    return [{ of, everyDays, everyAmpereHours, sinceMs: since.atMs, wasDone: done !== undefined, days, ampereHours, isDue }]; // prettier-ignore
  });
}
