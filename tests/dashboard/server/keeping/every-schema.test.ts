/* A store of each schema that there ever was, with rows in what all of them have: opened by this version, every row is kept. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';

const ROWS = `
  INSERT INTO settings VALUES ('passphrase', 'kept');
  INSERT INTO controllers VALUES ('north-bench', 'Copper 60 L', 'hash', 0, 5);
  INSERT INTO boots VALUES ('north-bench', 7, 1, 1000);
  INSERT INTO queues VALUES ('north-bench', 7, 2, 1, 0, 0, 2);
  INSERT INTO events VALUES ('north-bench', 7, 1, 1, 10, 2000, 1, 1, 2, 3, 4);
  INSERT INTO quarantine VALUES (1, 'north-bench', 3000, 'why', '{}');
  INSERT INTO recipes VALUES (1, 'north-bench', 4000, '{}', '[]');
  INSERT INTO runs VALUES ('north-bench', 1, 7, 1, 1000, 5000, 1, 38000);
  INSERT INTO commands VALUES (1, 'north-bench', 'recipe', 4000, 'done', '');
  INSERT INTO sessions VALUES ('digest', 6000);`;
const TABLES = ['settings', 'controllers', 'boots', 'queues', 'events', 'quarantine', 'recipes', 'runs', 'commands', 'sessions']; // prettier-ignore

describe('a store of each schema', () => {
  it.each(migrations.map((_, index) => index + 1))('%i opens with every row', (version) => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    const old = new Database(file);
    for (const text of migrations.slice(0, version)) old.exec(text);
    old.pragma(`user_version = ${String(version)}`);
    old.exec(ROWS);
    const hasOldRecords = old.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'records' AND type = 'table'").get() !== undefined; // prettier-ignore
    if (hasOldRecords)
      old.exec(`INSERT INTO records (controller_id, incarnation, first, span, boot, uptime_tenths, taken_at_ms, run, phase, conditions,
          charge_millicoulombs, permitted_sum, electric_count, current_sum, current_min, current_max, voltage_sum, temperature_count, temperature_sum, pulses)
        VALUES ('north-bench', 7, 1, 1, 1, 10, 2000, 1, 4, 0, 19000, 1900, 1, 1900, 1890, 1910, 2100, 1, 2400, 0),
          ('north-bench', 7, 2, 1, 1, 20, 3000, 1, 4, 0, 38000, 1900, 1, 1900, 1880, 1920, 2100, 1, 2400, 1)`);
    const rowsOf = (database: Database.Database): unknown[] =>
      TABLES.map((table) => database.prepare(`SELECT * FROM ${table}`).all());
    const before = rowsOf(old);
    old.close();
    const store = openStore(file);
    expect(rowsOf(store.database)).toEqual(before);
    expect(store.database.prepare('SELECT first, taken_at_ms, charge_millicoulombs FROM records ORDER BY first').all()).toEqual(
      hasOldRecords ? [{ first: 1, taken_at_ms: 2000, charge_millicoulombs: 19_000 }, { first: 2, taken_at_ms: 3000, charge_millicoulombs: 38_000 }] : [],
    ); // prettier-ignore
    expect(store.database.prepare('SELECT seconds, charge_added, current_min, current_max FROM minutes').all()).toEqual(
      hasOldRecords ? [{ seconds: 2, charge_added: 38_000, current_min: 1880, current_max: 1920 }] : [],
    );
    expect(store.database.pragma('foreign_key_check')).toEqual([]);
    expect(store.database.pragma('user_version', { simple: true })).toBe(migrations.length);
    store.close();
  });
});
