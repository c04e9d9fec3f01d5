/* Keeps what a file told of a run's alarms and what people wrote into its record, as part of the import's one transaction. Called by keep-imported.ts. */
import type { RunEntryBody } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { keepImportedAlarms } from '../watch/imported-alarms.js';
import type { ToldName } from './run-tables.js';
import type { RunName } from './stored-run.js';
import type { AlarmOfFile, ChangeOfFile, EntryOfFile } from './told-shape.js';

/** Rows as they were checked, from the table `told` of the file aside. */
export function keepTold(store: Store, name: RunName): void {
  const rows = <Row>(table: ToldName): Row[] =>
    store.database
      .prepare<[string], string>('SELECT row FROM aside.told WHERE name = ? ORDER BY number')
      .pluck()
      .all(table)
      .map((row) => JSON.parse(row) as Row);
  const changes = new Map<number, ChangeOfFile[]>();
  for (const change of rows<ChangeOfFile>('alarmJournal')) {
    const before = changes.get(change.alarmNumber);
    if (before === undefined) changes.set(change.alarmNumber, [change]);
    else before.push(change);
  }
  keepImportedAlarms(
    store,
    name.controllerId,
    rows<AlarmOfFile>('alarms').map((alarm) => ({ alarm, journal: changes.get(alarm.alarmNumber) ?? [] })),
  );
  keepEntries(store, name, rows<EntryOfFile>('entries'));
}

function keepEntries({ database }: Store, { controllerId, incarnation, run }: RunName, entries: EntryOfFile[]): void {
  const insert = database.prepare(
    `INSERT INTO run_entries (controller_id, incarnation, run, at_ms, written_at_ms, who, note, body)
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?)`,
  );
  const undo = database.prepare('INSERT INTO run_entries_undone VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?)');
  for (const entry of entries) {
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
