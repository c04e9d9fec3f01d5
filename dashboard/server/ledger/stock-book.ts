/*
 * The stock of chemicals in the store: what was bought, counted and asked to be told of, and what undoes an entry. Called by the stock's routes, which check what comes
 * in. It only ever adds rows; the store itself refuses to change or delete one. It computes nothing.
 */
import type { StockBody, StockEntry } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

export interface NewStockEntry {
  readonly atMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: StockBody;
}

export interface StockBook {
  /** Newest first, what was undone with the reason. */
  entries(): StockEntry[];
  add(entry: NewStockEntry, nowMs: number): void;
  /** What an entry says no longer counts. */
  undo(entryId: number, who: string, reason: string, nowMs: number): 'done' | 'none' | 'undone';
}

interface StockRow {
  entry_id: number;
  at_ms: number;
  written_at_ms: number;
  who: string;
  note: string;
  body: string;
  undone_at_ms: number | null;
  undone_who: string | null;
  undone_reason: string | null;
}

export function openStockBook({ database }: Store): StockBook {
  const all = database.prepare<[], StockRow>(
    `SELECT e.*, u.written_at_ms AS undone_at_ms, u.who AS undone_who, u.note AS undone_reason
     FROM stock_entries e LEFT JOIN stock_entries u ON u.undoes_entry_id = e.entry_id
     WHERE e.undoes_entry_id IS NULL ORDER BY e.at_ms DESC, e.entry_id DESC`,
  );
  const insert = database.prepare(
    `INSERT INTO stock_entries (at_ms, written_at_ms, who, note, kind, body, undoes_entry_id)
     VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?, ?, CAST(? AS INTEGER))`,
  );
  const entries = (): StockEntry[] => all.all().map(entryOf);
  return {
    entries,
    add: ({ atMs, who, note, body }, nowMs) => {
      insert.run(atMs, nowMs, who, note, body.kind, JSON.stringify(body), null);
    },
    undo: (entryId, who, reason, nowMs) => {
      const entry = entries().find((one) => one.entryId === entryId);
      if (entry === undefined) return 'none';
      if (entry.undone !== null) return 'undone';
      insert.run(nowMs, nowMs, who, reason, 'undone', '{}', entryId);
      return 'done';
    },
  };
}

function entryOf(row: StockRow): StockEntry {
  return {
    entryId: row.entry_id,
    atMs: row.at_ms,
    writtenAtMs: row.written_at_ms,
    who: row.who,
    note: row.note,
    body: JSON.parse(row.body) as StockBody,
    undone: row.undone_at_ms === null ? null : { atMs: row.undone_at_ms, who: row.undone_who ?? '', reason: row.undone_reason ?? '' }, // prettier-ignore
  };
}
