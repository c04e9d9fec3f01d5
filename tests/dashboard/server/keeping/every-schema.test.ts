/* A store of each schema that there ever was, with a row in every table of it: opened by this version, every row is kept. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';

/** What a column needs to be one that its table takes; JSON where the name says so. */
const VALUES: Readonly<Record<string, string | number | null>> = {
  'alarm_silences.kind': 'shelved', 'alarms.priority': 'high', 'calls.kind': 'alarm', 'channels.kind': 'webhook',
  'ledger_entries.kind': 'added', 'ledger_entries.undoes_entry_id': null,
  'stock_entries.kind': 'bought', 'stock_entries.undoes_entry_id': null,
}; // prettier-ignore
const IS_ONE = /(_id|_number|_by)$|^(controller|memory|incarnation|run|boot|is_\w+|latches|version)$/;
const IS_JSON = /^(value|view|row|body|header|request|measures|state_json)$/;

function valueOf(table: string, column: { name: string; type: string }, place: number): unknown {
  const given = VALUES[`${table}.${column.name}`];
  if (given !== undefined) return given;
  if (column.type === 'INTEGER') return BigInt(IS_ONE.test(column.name) ? 1 : 1000 + place);
  if (column.type === 'BLOB') return Buffer.from(`${table} ${column.name}`);
  return IS_JSON.test(column.name) ? '{}' : column.name === 'controller_id' ? 'north-bench' : `${table} ${column.name}`;
}
const tablesOf = (database: Database.Database): string[] =>
  database.prepare<[], string>("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name").pluck().all(); // prettier-ignore
const columnsOf = (database: Database.Database, table: string): { name: string; type: string }[] =>
  database.prepare<[string], { name: string; type: string }>('SELECT name, type FROM pragma_table_info(?)').all(table);

/** A row in every table that there is, `records` of old aside: they become another table, and are looked at there. */
function fill(database: Database.Database): Map<string, Record<string, unknown>> {
  const rows = new Map<string, Record<string, unknown>>();
  for (const table of tablesOf(database)) {
    if (table === 'records') continue;
    const columns = columnsOf(database, table);
    const values = columns.map((column, place) => valueOf(table, column, place));
    database.prepare(`INSERT INTO ${table} VALUES (${columns.map(() => '?').join(', ')})`).run(...values);
    rows.set(table, database.prepare<[], Record<string, unknown>>(`SELECT * FROM ${table}`).get()!);
  }
  return rows;
}

describe('a store of each schema', () => {
  it.each(migrations.map((_, index) => index + 1))(
    '%i opens with every row, and says before that it is rewritten',
    (version) => {
      const file = join(folderOnTrial(), 'bathkeeper.sqlite');
      const old = new Database(file);
      for (const text of migrations.slice(0, version)) old.exec(text);
      old.pragma(`user_version = ${String(version)}`);
      const filled = fill(old);
      const hasOldRecords = old.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'records' AND type = 'table'").get() !== undefined; // prettier-ignore
      if (hasOldRecords)
        old.exec(`INSERT INTO records (controller_id, incarnation, first, span, boot, uptime_tenths, taken_at_ms, run, phase, conditions,
          charge_millicoulombs, permitted_sum, electric_count, current_sum, current_min, current_max, voltage_sum, temperature_count, temperature_sum, pulses)
        VALUES ('north-bench', 7, 1, 1, 1, 10, 2000, 1, 4, 0, 19000, 1900, 1, 1900, 1890, 1910, 2100, 1, 2400, 0),
          ('north-bench', 7, 2, 1, 1, 20, 3000, 1, 4, 0, 38000, 1900, 1, 1900, 1880, 1920, 2100, 1, 2400, 1)`);
      old.close();
      const told: number[][] = [];
      const store = openStore(file, (...schemas) => told.push(schemas));
      expect(told).toEqual(version < migrations.length ? [[version, migrations.length]] : []);
      for (const [table, row] of filled) {
        expect(tablesOf(store.database), table).toContain(table);
        // What a column became that there is no more is said by its migration; every other one is as it was.
        const now = new Set(columnsOf(store.database, table).map(({ name }) => name));
        const kept = Object.fromEntries(Object.entries(row).filter(([name]) => now.has(name)));
        expect(Object.keys(kept).length, table).toBeGreaterThan(1);
        expect(store.database.prepare(`SELECT * FROM ${table}`).all(), table).toContainEqual(
          expect.objectContaining(kept),
        );
      }
      expect(filled.size).toBeGreaterThan(11);
      if (hasOldRecords) {
        const records = store.database.prepare(
          'SELECT first, taken_at_ms, charge_millicoulombs FROM records ORDER BY first',
        );
        expect(records.all()).toEqual([
          { first: 1, taken_at_ms: 2000, charge_millicoulombs: 19_000 },
          { first: 2, taken_at_ms: 3000, charge_millicoulombs: 38_000 },
        ]);
        const minutes = store.database.prepare('SELECT seconds, charge_added, current_min, current_max FROM minutes');
        expect(minutes.all()).toEqual([{ seconds: 2, charge_added: 38_000, current_min: 1880, current_max: 1920 }]);
      }
      expect(store.database.pragma('foreign_key_check')).toEqual([]);
      expect(store.database.pragma('user_version', { simple: true })).toBe(migrations.length);
      store.close();
    },
  );
});
