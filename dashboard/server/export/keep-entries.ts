/*
 * Keeps what people wrote into the record of an imported run, as part of the import's last transaction: what was written goes with its run alone, and before that there is
 * none. Called by keep-run.ts.
 */
import type { RunEntryBody } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import type { RowsAside } from './rows-aside.js';
import type { RunName } from './stored-run.js';
import type { EntryOfFile } from './told-shape.js';

const PAGE_ROWS = 500;

export function keepEntries({ database }: Store, name: RunName, aside: RowsAside): void {
  const { controllerId, incarnation, run } = name;
  const insert = database.prepare(
    `INSERT INTO run_entries (controller_id, incarnation, run, at_ms, written_at_ms, who, note, body)
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?)`,
  );
  const undo = database.prepare('INSERT INTO run_entries_undone VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?)');
  for (const page of aside.told<EntryOfFile>('entries', PAGE_ROWS))
    for (const entry of page) {
      const { atMs, writtenAtMs, who, note, undoneAtMs, undoneBy, undoneBecause } = entry;
      const body = JSON.stringify(bodyOf(entry));
      const kept = insert.run(controllerId, incarnation, run, atMs, writtenAtMs, who, note ?? '', body);
      if (undoneAtMs !== null) undo.run(Number(kept.lastInsertRowid), undoneAtMs, undoneBy, undoneBecause);
    }
}

function bodyOf(entry: EntryOfFile): RunEntryBody {
  switch (entry.kind) {
    case 'note':
      return { kind: 'note' };
    case 'weighing': {
      const { kind, weighedWhen: when, massGrams: grams, massUncertaintyGrams: uncertaintyGrams } = entry;
      return { kind, when, grams, uncertaintyGrams };
    }
    case 'photograph': {
      const { kind, photographType: type, widthPixels, heightPixels, byteCount } = entry;
      return { kind, type, widthPixels, heightPixels, byteCount, isElsewhere: true };
    }
  }
}
