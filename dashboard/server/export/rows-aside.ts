/*
 * The rows of a run that comes from a file, in a file of their own until they enter the store: written while the run is read and checked, then read page by page. In
 * tables as the store's, without the run's name. It need not survive anything. Used by set-aside.ts and by the import.
 */
import Database from 'better-sqlite3';
import type { Cell, NumbersRow, StoredRow } from './run-columns.js';
import { numberHeading, type TableName, type ToldName, toldTables } from './run-tables.js';
import { type LoggedName, storedColumns } from './stored-run.js';
import type { KeptRows } from './taken-run.js';

/** Of the newest of all rows; 0 and null where there is none. */
export interface LastRows {
  readonly recordsThrough: number;
  readonly eventsThrough: number;
  readonly newestAtMs: number | null;
  readonly chargeMillicoulombs: number;
}

export interface RowsToBe extends KeptRows {
  /** When all of them are there. */
  last(): LastRows;
  close(): void;
}

/** Heading under which a row names an alarm. */
const namesAlarm: Readonly<Partial<Record<ToldName, string>>> = {
  alarms: 'causedByAlarmNumber',
  alarmJournal: 'alarmNumber',
};

export function openRowsToBe(file: string): RowsToBe {
  const rows = new Database(file);
  rows.pragma('journal_mode = OFF');
  rows.pragma('synchronous = OFF');
  const insert = {} as Record<TableName, (row: StoredRow, place: string) => void>;
  for (const table of ['records', 'events'] as const) {
    const columns = Object.values(storedColumns[table]);
    const headings = Object.keys(storedColumns[table]);
    rows.exec(
      `CREATE TABLE ${table} (${columns.map((column, place) => `${column} INTEGER ${place === 0 ? 'PRIMARY KEY' : 'NOT NULL'}`).join(', ')}) STRICT`,
    );
    const statement = rows.prepare(`INSERT INTO ${table} VALUES (${columns.map(() => 'CAST(? AS INTEGER)').join(', ')})`); // prettier-ignore
    insert[table] = (row) => statement.run(headings.map((heading) => row[heading]));
  }
  for (const table of toldTables) {
    const { name } = table;
    rows.exec(
      `CREATE TABLE ${name} (number INTEGER PRIMARY KEY, alarm INTEGER, place TEXT NOT NULL, row TEXT NOT NULL) STRICT`,
    );
    const statement = rows.prepare(`INSERT INTO ${name} VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?)`);
    const heading = namesAlarm[name];
    const alarmOf = (row: StoredRow): Cell => (heading === undefined ? null : (row[heading] ?? null));
    insert[name] = (row, place) => statement.run(row[numberHeading(table)], alarmOf(row), place, JSON.stringify(row));
  }
  rows.exec('BEGIN');
  return {
    row: (table, row, place) => {
      insert[table](row, place);
    },
    lostAlarm: () => {
      for (const [table, heading] of Object.entries(namesAlarm)) {
        const lost = rows
          .prepare<[], { place: string; number: number }>(
            `SELECT place, alarm AS number FROM ${table} WHERE alarm NOT IN (SELECT number FROM alarms) ORDER BY ${table}.number LIMIT 1`,
          )
          .get();
        if (lost !== undefined) return { heading, ...lost };
      }
      return undefined;
    },
    last: () => {
      rows.exec('CREATE INDEX journal_by_alarm ON alarmJournal (alarm)');
      const last = rows
        .prepare<[], LastRows>(
          `SELECT coalesce(max(first + span - 1), 0) AS recordsThrough, (SELECT coalesce(max(sequence), 0) FROM events) AS eventsThrough,
             max(taken_at_ms) AS newestAtMs, coalesce(max(charge_millicoulombs), 0) AS chargeMillicoulombs FROM records`,
        )
        .get()!;
      rows.exec('COMMIT');
      return last;
    },
    close: () => {
      rows.close();
    },
  };
}

export interface RowsAside {
  /** In the order of their numbers, under the columns of the store. */
  logged(table: LoggedName, pageRows: number): Generator<readonly NumbersRow[]>;
  /** Likewise, as they were checked. */
  told<Row>(table: ToldName, pageRows: number): Generator<readonly Row[]>;
  /** Of one alarm. */
  changesOf<Row>(alarmNumber: number): Row[];
  close(): void;
}

export function openRowsAside(file: string): RowsAside {
  const rows = new Database(file, { readonly: true, fileMustExist: true });
  const changes = rows
    .prepare<[number], string>('SELECT row FROM alarmJournal WHERE alarm = ? ORDER BY number')
    .pluck();
  function* pages<Row>(table: TableName, number: string, pageRows: number): Generator<Row[]> {
    const page = rows.prepare<[number, number], Row>(
      `SELECT * FROM ${table} WHERE ${number} > CAST(? AS INTEGER) ORDER BY ${number} LIMIT CAST(? AS INTEGER)`,
    );
    for (let after = 0; ;) {
      const found = page.all(after, pageRows);
      if (found.length > 0) yield found;
      if (found.length < pageRows) return;
      after = Number((found.at(-1) as Record<string, unknown>)[number]);
    }
  }
  return {
    logged: (table, pageRows) => pages<NumbersRow>(table, Object.values(storedColumns[table])[0]!, pageRows),
    told: function* <Row>(table: ToldName, pageRows: number) {
      for (const page of pages<{ row: string }>(table, 'number', pageRows))
        yield page.map(({ row }) => JSON.parse(row) as Row);
    },
    changesOf: <Row>(alarmNumber: number) => changes.all(alarmNumber).map((row) => JSON.parse(row) as Row),
    close: () => {
      rows.close();
    },
  };
}
