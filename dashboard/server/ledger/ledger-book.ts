/*
 * The ledgers in the store: baths, their entries, and what undoes an entry. Called by the ledger's routes, which check what comes in. It only ever adds rows; the
 * store itself refuses to change or delete one. It computes nothing.
 */
import type { EntryBody, LedgerBath, LedgerEntry, NewBathRequest } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { entryOf, type WrittenRow } from '../store/written-entry.js';

export interface NewEntry {
  readonly bathId: number;
  readonly atMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: EntryBody;
}

export interface LedgerBook {
  /** Oldest first. */
  baths(): LedgerBath[];
  bath(bathId: number): LedgerBath | undefined;
  addBath(bath: NewBathRequest & { readonly isSimulated?: boolean }, nowMs: number): LedgerBath;
  /** Newest first, what was undone with the reason. */
  entries(bathId: number): LedgerEntry[];
  add(entry: NewEntry, nowMs: number): LedgerEntry;
  /** What an entry says no longer counts. 'none': there is no such entry in this bath. 'undone': it is undone already. */
  undo(bathId: number, entryId: number, who: string, reason: string, nowMs: number): LedgerEntry | 'none' | 'undone';
}

interface BathRow {
  bath_id: number;
  name: string;
  profile: string;
  is_simulated: number;
  written_at_ms: number;
  who: string;
}
const withUndoing = `
  SELECT e.*, u.written_at_ms AS undone_at_ms, u.who AS undone_who, u.note AS undone_reason
  FROM ledger_entries e LEFT JOIN ledger_entries u ON u.undoes_entry_id = e.entry_id
  WHERE e.undoes_entry_id IS NULL AND e.bath_id = CAST(? AS INTEGER)`;

export function openLedgerBook({ database }: Store): LedgerBook {
  const allBaths = database.prepare<[], BathRow>('SELECT * FROM ledger_baths ORDER BY bath_id');
  const oneBath = database.prepare<[number], BathRow>('SELECT * FROM ledger_baths WHERE bath_id = CAST(? AS INTEGER)');
  const insertBath = database.prepare(
    'INSERT INTO ledger_baths (name, profile, is_simulated, written_at_ms, who) VALUES (?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER), ?)',
  );
  const entriesOf = database.prepare<[number], WrittenRow>(`${withUndoing} ORDER BY e.at_ms DESC, e.entry_id DESC`);
  const oneEntry = database.prepare<[number, number], WrittenRow>(`${withUndoing} AND e.entry_id = CAST(? AS INTEGER)`);
  const insertEntry = database.prepare(
    `INSERT INTO ledger_entries (bath_id, at_ms, written_at_ms, who, note, kind, body, undoes_entry_id)
     VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?, ?, CAST(? AS INTEGER))`,
  );

  return {
    baths: () => allBaths.all().map(bathOf),
    bath: (bathId) => {
      const row = oneBath.get(bathId);
      return row === undefined ? undefined : bathOf(row);
    },
    addBath: ({ name, profile, who, isSimulated = false }, nowMs) => {
      const { lastInsertRowid } = insertBath.run(name, profile, isSimulated ? 1 : 0, nowMs, who);
      return bathOf(oneBath.get(Number(lastInsertRowid))!);
    },
    entries: (bathId) => entriesOf.all(bathId).map(entryOf<EntryBody>),
    add: ({ bathId, atMs, who, note, body }, nowMs) => {
      const { lastInsertRowid } = insertEntry.run(
        bathId,
        atMs,
        nowMs,
        who,
        note,
        body.kind,
        JSON.stringify(body),
        null,
      );
      return entryOf<EntryBody>(oneEntry.get(bathId, Number(lastInsertRowid))!);
    },
    undo: (bathId, entryId, who, reason, nowMs) => {
      const row = oneEntry.get(bathId, entryId);
      if (row === undefined) return 'none';
      if (row.undone_at_ms !== null) return 'undone';
      insertEntry.run(bathId, nowMs, nowMs, who, reason, 'undone', '{}', entryId);
      return entryOf<EntryBody>(oneEntry.get(bathId, entryId)!);
    },
  };
}

function bathOf(row: BathRow): LedgerBath {
  return {
    bathId: row.bath_id,
    name: row.name,
    profile: row.profile,
    isSimulated: row.is_simulated === 1,
    writtenAtMs: row.written_at_ms,
    who: row.who,
  };
}
