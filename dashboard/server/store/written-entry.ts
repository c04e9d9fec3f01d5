/*
 * An entry of a book that is only added to, as its row stands in the store, with its undoing where there is one. Read by the ledger and by the records of runs, whose
 * entries differ in their bodies alone.
 */
import type { Undone } from '@bathkeeper/shared-core/trade';

/** `undone_…` come from the row that undid it; null: none did. */
export interface WrittenRow {
  readonly entry_id: number;
  readonly at_ms: number;
  readonly written_at_ms: number;
  readonly who: string;
  readonly note: string;
  /** JSON. */
  readonly body: string;
  readonly undone_at_ms: number | null;
  readonly undone_who: string | null;
  readonly undone_reason: string | null;
}

export interface WrittenEntry<Body> {
  readonly entryId: number;
  readonly atMs: number;
  readonly writtenAtMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: Body;
  readonly undone: Undone | null;
}

export function entryOf<Body>(row: WrittenRow): WrittenEntry<Body> {
  return {
    entryId: row.entry_id,
    atMs: row.at_ms,
    writtenAtMs: row.written_at_ms,
    who: row.who,
    note: row.note,
    body: JSON.parse(row.body) as Body,
    undone:
      row.undone_at_ms === null
        ? null
        : { atMs: row.undone_at_ms, who: row.undone_who ?? '', reason: row.undone_reason ?? '' },
  };
}
