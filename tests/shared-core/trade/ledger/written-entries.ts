/* Entries of a ledger for the tests beside this file: what was asked, one a day, some undone. */
import { type EntryAsked, type LedgerEntry, settledEntry } from '@bathkeeper/shared-core/trade';

export const DAY_MS = 86_400_000;

/** As the dashboard keeps it; numbered from 1 by `at`, which is also its day. */
export function entryOn(at: number, asked: EntryAsked, isUndone = false): LedgerEntry {
  return {
    entryId: at + 1,
    atMs: at * DAY_MS,
    writtenAtMs: at * DAY_MS,
    who: 'A',
    note: '',
    body: settledEntry(asked),
    undone: isUndone ? { atMs: at * DAY_MS, who: 'A', reason: 'the wrong bath' } : null,
  };
}

/** One a day, newest first, as the dashboard tells them. */
export function entriesOf(asked: readonly EntryAsked[]): LedgerEntry[] {
  return asked.map((one, at) => entryOn(at, one)).reverse();
}
