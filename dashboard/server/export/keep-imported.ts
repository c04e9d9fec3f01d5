/*
 * Keeps a run that came from a file: every row is read and checked into a file of its own first, then all of it enters the store in one transaction, or nothing
 * does. It stands under a name that no controller can have (`imported:1`), so that nothing that this store's controllers told can be confused with it.
 */
import Database from 'better-sqlite3';
import { rmSync } from 'node:fs';
import { type ImportedRun, RECORD_COLUMNS, RecordColumn } from '@bathkeeper/shared-core/messages';
import { KEPT_AFTER_DELETION_MS } from '../plans/saved-plans.js';
import { openLoggedRecords, type TimedRecord } from '../store/logged-records.js';
import type { Store } from '../store/store.js';
import { readRunFile } from './read-run-file.js';
import { keepTold } from './keep-told.js';
import type { StoredRow } from './run-columns.js';
import { ofThisVersion, type RunHeader } from './run-header.js';
import { numberHeading, type TableName, toldTables } from './run-tables.js';
import { storedColumns } from './stored-run.js';
import { takenRun } from './taken-run.js';

export interface RunFile {
  readonly path: string;
  /** As the person's device called it. */
  readonly fileName: string;
  readonly importedBy: string;
}

/** A run that is in the store already; nothing was changed. */
export interface KnownBefore {
  readonly knownAs: ImportedRun;
  /** It can still be brought back into the logbook. */
  readonly isDeleted: boolean;
}

/** Throws UnreadableRun. */
export async function keepImported(store: Store, file: RunFile, nowMs: number): Promise<ImportedRun | KnownBefore> {
  const aside = `${file.path}.rows`;
  const rows = new Database(aside);
  try {
    const add = openAside(rows);
    const taken = takenRun(add.row);
    await readRunFile(file.path, taken);
    const header = taken.whole();
    add.close();
    return keptTogether(store, aside, header, file, nowMs);
  } finally {
    rows.close();
    rmSync(aside, { force: true });
  }
}

/** Rows wait in a file of their own, in tables as the store's, without the run's name. It need not survive anything. */
function openAside(rows: Database.Database): { row: (table: TableName, row: StoredRow) => void; close: () => void } {
  rows.pragma('journal_mode = OFF');
  rows.pragma('synchronous = OFF');
  const insert = {} as Record<TableName, (row: StoredRow) => void>;
  for (const table of ['records', 'events'] as const) {
    const columns = Object.values(storedColumns[table]);
    const headings = Object.keys(storedColumns[table]);
    rows.exec(
      `CREATE TABLE ${table} (${columns.map((column, place) => `${column} INTEGER ${place === 0 ? 'PRIMARY KEY' : 'NOT NULL'}`).join(', ')}) STRICT`,
    );
    const statement = rows.prepare(
      `INSERT INTO ${table} VALUES (${columns.map(() => 'CAST(? AS INTEGER)').join(', ')})`,
    );
    insert[table] = (row) => statement.run(headings.map((heading) => row[heading]));
  }
  rows.exec('CREATE TABLE told (name TEXT NOT NULL, number INTEGER NOT NULL, row TEXT NOT NULL, PRIMARY KEY (name, number)) STRICT, WITHOUT ROWID'); // prettier-ignore
  const tell = rows.prepare('INSERT INTO told VALUES (?, CAST(? AS INTEGER), ?)');
  for (const table of toldTables)
    insert[table.name] = (row) => tell.run(table.name, row[numberHeading(table)], JSON.stringify(row));
  rows.exec('BEGIN');
  return {
    row: (table, row) => {
      insert[table](row);
    },
    close: () => {
      rows.exec('COMMIT');
    },
  };
}

function keptTogether(
  store: Store,
  aside: string,
  header: RunHeader,
  file: RunFile,
  nowMs: number,
): ImportedRun | KnownBefore {
  const { database } = store;
  database.prepare('ATTACH ? AS aside').run(aside);
  try {
    return store.together(() => {
      const known = knownBefore(store, header, nowMs);
      return known ?? keep(store, header, file, nowMs);
    });
  } finally {
    database.exec('DETACH aside');
  }
}

/** The same run of the same controller; one that was deleted for good is none. */
function knownBefore(store: Store, { run }: RunHeader, nowMs: number): KnownBefore | undefined {
  const before = importRows(store.database, nowMs - KEPT_AFTER_DELETION_MS)
    .map((row) => ({ knownAs: viewOf(row), isDeleted: row.is_deleted === 1 }))
    .find(
      ({ knownAs: { original, incarnation, run: number } }) =>
        original.controllerId === run.controllerId && incarnation === run.incarnation && number === run.run,
    );
  return before;
}

function keep(store: Store, header: RunHeader, { fileName, importedBy }: RunFile, nowMs: number): ImportedRun {
  const { database } = store;
  const { incarnation, run, startedAtMs, endedAtMs, endedCode, chargeMillicoulombs } = header.run;
  const importNumber =
    1 + Number(database.prepare('SELECT coalesce(max(import_number), 0) FROM imported_runs').pluck().get());
  const controllerId = importedName(importNumber);
  database
    .prepare(
      `INSERT INTO imported_runs VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?)`,
    )
    .run(importNumber, controllerId, incarnation, run, nowMs, importedBy, fileName, JSON.stringify(header));
  keepRecords(store, controllerId, incarnation, run);
  const events = Object.values(storedColumns.events).join(', ');
  database
    .prepare(
      `INSERT INTO events (controller_id, incarnation, run, ${events})
       SELECT ?, CAST(? AS INTEGER), CAST(? AS INTEGER), ${events} FROM aside.events`,
    )
    .run(controllerId, incarnation, run);
  keepTold(store, { controllerId, incarnation, run });
  const last = database
    .prepare<[], { records: number; events: number; at: number | null; charge: number }>(
      `SELECT coalesce((SELECT max(first + span - 1) FROM aside.records), 0) AS records,
         coalesce((SELECT max(sequence) FROM aside.events), 0) AS events, (SELECT max(taken_at_ms) FROM aside.records) AS at,
         coalesce((SELECT max(charge_millicoulombs) FROM aside.records), 0) AS charge`,
    )
    .get()!;
  database
    .prepare(
      `INSERT INTO queues (controller_id, incarnation, records_through, events_through) VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
    )
    .run(controllerId, incarnation, last.records, last.events);
  database
    .prepare(
      `INSERT INTO runs (controller_id, run, incarnation, recipe_id, started_at_ms, ended_at_ms, ended_code, charge_millicoulombs)
       VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
    )
    .run(
      controllerId, run, incarnation, keptRecipe(store, controllerId, header), startedAtMs,
      // It goes on nowhere: a run that was still going on when it was written ends here with its last record, and with the charge of that.
      endedAtMs ?? last.at ?? startedAtMs, endedCode, endedAtMs === null ? last.charge : chargeMillicoulombs,
    ); // prettier-ignore
  return viewOf({
    controller_id: controllerId,
    imported_at_ms: nowMs,
    imported_by: importedBy,
    file_name: fileName,
    header: JSON.stringify(header),
  });
}

/** As if its controller told them now: with the sums of their minutes. */
function keepRecords({ database }: Store, controllerId: string, incarnation: number, run: number): void {
  const keepThem = openLoggedRecords(database);
  const page = database.prepare<[number], Record<string, number>>(
    `SELECT * FROM aside.records WHERE first > ? ORDER BY first LIMIT ${String(ROWS_AT_ONCE)}`,
  );
  for (let after = 0; ;) {
    const rows = page.all(after);
    const timed = rows.map((row): TimedRecord => {
      const told = new Array<number>(RECORD_COLUMNS).fill(0);
      for (const [column, name] of Object.entries(wireColumns)) told[Number(column)] = row[name]!;
      told[RecordColumn.run] = run;
      return { row: told, takenAtMs: row.taken_at_ms! };
    });
    keepThem(controllerId, incarnation, timed);
    if (rows.length < ROWS_AT_ONCE) return;
    after = rows.at(-1)!.first!;
  }
}

const ROWS_AT_ONCE = 2000;

/** Column of the wire → of the store; the run is that of the file's head. */
const wireColumns: Readonly<Record<number, string>> = {
  [RecordColumn.first]: 'first',
  [RecordColumn.span]: 'span',
  [RecordColumn.boot]: 'boot',
  [RecordColumn.uptime]: 'uptime_tenths',
  [RecordColumn.phase]: 'phase',
  [RecordColumn.conditions]: 'conditions',
  [RecordColumn.charge]: 'charge_millicoulombs',
  [RecordColumn.permittedSum]: 'permitted_sum',
  [RecordColumn.electricCount]: 'electric_count',
  [RecordColumn.currentSum]: 'current_sum',
  [RecordColumn.currentMin]: 'current_min',
  [RecordColumn.currentMax]: 'current_max',
  [RecordColumn.voltageSum]: 'voltage_sum',
  [RecordColumn.temperatureCount]: 'temperature_count',
  [RecordColumn.temperatureSum]: 'temperature_sum',
  [RecordColumn.pulses]: 'pulses',
  [RecordColumn.conditionsHigh]: 'conditions_high',
};

/** Its recipe under a number of this store. 0: the file has none. */
function keptRecipe({ database }: Store, controllerId: string, { recipe }: RunHeader): number {
  if (recipe === null) return 0;
  const recipeId = 1 + Number(database.prepare('SELECT coalesce(max(recipe_id), 0) FROM recipes').pluck().get());
  database
    .prepare('INSERT INTO recipes VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER), ?, ?)')
    .run(
      recipeId,
      controllerId,
      recipe.madeAtMs,
      JSON.stringify({ ...recipe.view, recipeId }),
      JSON.stringify(recipe.row),
    );
  return recipeId;
}

/** A colon stands in no name that a controller can be paired under. */
const importedName = (importNumber: number): string => `imported:${String(importNumber)}`;

interface ImportedRow {
  readonly controller_id: string;
  readonly imported_at_ms: number;
  readonly imported_by: string;
  readonly file_name: string;
  readonly header: string;
}

/** Newest first, those included that can be brought back: that were deleted after `forgottenBeforeMs`. */
function importRows(database: Store['database'], forgottenBeforeMs: number): (ImportedRow & { is_deleted: number })[] {
  return database
    .prepare<[number], ImportedRow & { is_deleted: number }>(
      `SELECT i.controller_id, i.imported_at_ms, i.imported_by, i.file_name, i.header, d.controller_id IS NOT NULL AS is_deleted
       FROM imported_runs i JOIN runs r ON r.controller_id = i.controller_id LEFT JOIN deleted_runs d ON d.controller_id = i.controller_id
       WHERE d.controller_id IS NULL OR (d.is_gone = 0 AND d.deleted_at_ms > CAST(? AS INTEGER)) ORDER BY i.import_number DESC`,
    )
    .all(forgottenBeforeMs);
}

/** Those that are in the logbook, newest first. */
export function importedRuns({ database }: Store): ImportedRun[] {
  return importRows(database, Number.MAX_SAFE_INTEGER).map(viewOf);
}

function viewOf(row: ImportedRow): ImportedRun {
  const header = ofThisVersion(JSON.parse(row.header) as RunHeader);
  const { run, recipe, recordCount, eventCount, alarmCount, entryCount } = header;
  return {
    controllerId: row.controller_id,
    incarnation: run.incarnation,
    run: run.run,
    startedAtMs: run.startedAtMs,
    partName: recipe?.view.partName ?? null,
    recordCount,
    eventCount,
    alarmCount,
    entryCount,
    importedAtMs: row.imported_at_ms,
    importedBy: row.imported_by,
    fileName: row.file_name,
    original: { controllerId: run.controllerId, bathName: run.bathName, isSimulated: run.isSimulated },
  };
}
