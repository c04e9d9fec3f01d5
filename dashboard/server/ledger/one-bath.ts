/*
 * A controller stands at one bath at a time, or the charge of a run counts in two ledgers and brightener is dosed for it twice. Asked before a bath is put under a
 * controller, before such an entry is undone, and by the simulated bath, which takes no controller from another one.
 */
import { controllerSpans, type EntryBody, type LedgerEntry, sharedSpan } from '@bathkeeper/shared-core/trade';
import type { LedgerBook, NewEntry } from './ledger-book.js';

/** Where a bath would stand where another one does. */
export interface TakenPlace {
  readonly controllerId: string;
  /** The name of the other bath. */
  readonly takenBy: string;
}

/** With the entry written at `atMs`; undefined: the place is free, or the entry puts it nowhere. */
export function takenPlaceWith(book: LedgerBook, entry: NewEntry): TakenPlace | undefined {
  if (entry.body.kind !== 'put-on') return undefined;
  const written: LedgerEntry = { ...entry, entryId: Number.MAX_SAFE_INTEGER, writtenAtMs: entry.atMs, undone: null };
  return takenPlace(book, entry.bathId, [...book.entries(entry.bathId), written]);
}

/** With the entry undone. */
export function takenPlaceWithout(book: LedgerBook, bathId: number, entryId: number): TakenPlace | undefined {
  const entries = book.entries(bathId);
  const moves: readonly EntryBody['kind'][] = ['put-on', 'taken-off'];
  if (!entries.some((entry) => entry.entryId === entryId && entry.undone === null && moves.includes(entry.body.kind)))
    return undefined;
  return takenPlace(
    book,
    bathId,
    entries.filter((entry) => entry.entryId !== entryId),
  );
}

function takenPlace(book: LedgerBook, bathId: number, entries: readonly LedgerEntry[]): TakenPlace | undefined {
  const spans = controllerSpans(entries);
  for (const other of book.baths()) {
    if (other.bathId === bathId) continue;
    const shared = sharedSpan(spans, controllerSpans(book.entries(other.bathId)));
    if (shared !== undefined) return { controllerId: shared.controllerId, takenBy: other.name };
  }
  return undefined;
}

/** What somebody reads instead. */
export function takenPlaceWords({ controllerId, takenBy }: TakenPlace): string {
  return `${controllerId} stands at the bath “${takenBy}” at that time, and at one bath alone: a run would count in two ledgers. Write into the ledger of “${takenBy}” when that was taken off its controller, or name a time after it; then write this again.`;
}
