/* Minutes and ten minutes against the records that they sum: as they are written, and as a store of the version before gets them. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

interface Logged {
  current: number | null;
  span: number;
  amount: number;
  newRun: boolean;
  newMemory: boolean;
}
type Sums = Record<string, number | null>;

const logged = fc.array(
  fc.record<Logged>({
    current: fc.option(fc.integer({ min: -500, max: 3000 })),
    span: fc.constantFrom(1, 1, 1, 1, 2, 64, 700),
    amount: fc.integer({ min: 0, max: 2 ** 34 }),
    newRun: fc.nat(30).map((drawn) => drawn === 0),
    newMemory: fc.nat(60).map((drawn) => drawn === 0),
  }),
  { minLength: 1, maxLength: 150 },
);

/** Books them in messages of `together` records, as a controller sends them. */
function take(store: Store, all: readonly Logged[], together: number): void {
  let [last, run, charge, incarnation] = [0, 1, 0, 7];
  let uptime = 0;
  let waiting: number[][] = [];
  const send = (): void => {
    if (waiting.length > 0)
      store.takeOutbox({ controllerId: CONTROLLER, incarnation, boot: 1, uptimeTenths: uptime, receivedAtMs: EVENING_MS + uptime * 100, records: waiting, events: [] }); // prettier-ignore
    waiting = [];
  };
  for (const one of all) {
    if (one.newMemory) {
      send();
      incarnation++;
      last = 0;
    }
    if (one.newRun) {
      run++;
      charge = 0;
    }
    const first = last + 1;
    last += one.span;
    uptime += one.span * 10;
    charge += one.amount;
    const electric =
      one.current === null
        ? { electricCount: 0, currentSum: 0, currentMin: 0, currentMax: 0, voltageSum: 0 }
        : { currentSum: one.current * one.span, currentMin: one.current - 3, currentMax: one.current + 5 };
    waiting.push(recordRow({ first, span: one.span, uptime, run, charge, pulses: one.amount % 3, phase: 2 + (one.amount % 5), ...electric })); // prettier-ignore
    if (waiting.length >= together) send();
  }
  send();
}

/** From the records themselves, one after the other. */
function summedBySelf(store: Store, lengthMs: number): Map<string, Sums> {
  const sums = new Map<string, Sums>();
  const before = new Map<number, { run: number; charge: number }>();
  for (const row of store.database.prepare<[], Record<string, number>>('SELECT * FROM records ORDER BY incarnation, first').all()) {
    const start = Math.floor((row.taken_at_ms! - (row.span! - 1) * 1000) / lengthMs);
    const key = `${String(start)} ${String(row.incarnation)} ${String(row.run)}`;
    const sum = sums.get(key) ?? { seconds: 0, electric_count: 0, current_sum: 0, current_min: null, current_max: null, charge_added: 0, charge_millicoulombs: 0, phase: 0, pulses: 0, permitted_sum: 0, voltage_sum: 0, temperature_count: 0, temperature_sum: 0 };
    sums.set(key, sum);
    const earlier = before.get(row.incarnation!);
    before.set(row.incarnation!, { run: row.run!, charge: row.charge_millicoulombs! });
    for (const column of ['electric_count', 'current_sum', 'pulses', 'permitted_sum', 'voltage_sum', 'temperature_count', 'temperature_sum'])
      sum[column] = sum[column]! + row[column]!;
    sum.seconds = sum.seconds! + row.span!;
    sum.charge_added = sum.charge_added! + row.charge_millicoulombs! - (earlier?.run === row.run ? earlier!.charge : 0);
    sum.charge_millicoulombs = row.charge_millicoulombs!;
    sum.phase = row.phase!;
    if (row.electric_count! > 0) {
      sum.current_min = Math.min(sum.current_min ?? Infinity, row.current_min!);
      sum.current_max = Math.max(sum.current_max ?? -Infinity, row.current_max!);
    }
  }
  return sums;
} // prettier-ignore

function asKept(store: Store, table: 'minutes' | 'ten_minutes'): Map<string, Sums> {
  const start = table === 'minutes' ? 'minute' : 'ten_minute';
  const rows = store.database
    .prepare<[], Sums & { start: number; incarnation: number; run: number }>(
      `SELECT ${start} AS start, m.incarnation, run, seconds, electric_count, current_sum, current_min, current_max, charge_added, charge_millicoulombs,
         phase, pulses, permitted_sum, voltage_sum, temperature_count, temperature_sum FROM ${table} JOIN memories m USING (memory)`,
    )
    .all();
  return new Map(rows.map(({ start: at, incarnation, run, ...sums }) => [`${String(at)} ${String(incarnation)} ${String(run)}`, sums]));
} // prettier-ignore

function expectExact(store: Store): void {
  expect(asKept(store, 'minutes')).toEqual(summedBySelf(store, 60_000));
  expect(asKept(store, 'ten_minutes')).toEqual(summedBySelf(store, 600_000));
}

describe('minutes and ten minutes', () => {
  it('hold charge, sums, least and most of their records exactly, however the records came', () => {
    fc.assert(
      fc.property(logged, fc.integer({ min: 1, max: 60 }), (all, together) => {
        const store = openStore(':memory:');
        take(store, all, together);
        expectExact(store);
        store.close();
      }),
      { numRuns: 60 },
    );
  });

  it('are the same in a store that an earlier version wrote, whose records stay as they were', () => {
    fc.assert(
      fc.property(logged, (all) => {
        const now = openStore(':memory:');
        take(now, all, 5);
        const columns = now.database.pragma('table_info(records)') as { name: string }[];
        const names = columns.map(({ name }) => name);
        const rows = now.database.prepare<[], Record<string, number>>('SELECT * FROM records').all();
        now.close();
        const file = join(folderOnTrial(), 'earlier.sqlite');
        const earlier = new Database(file);
        const before = migrations.findIndex((text) => text.includes('CREATE TABLE raw_records'));
        for (const text of migrations.slice(0, before)) earlier.exec(text);
        earlier.pragma(`user_version = ${String(before)}`);
        const insert = earlier.prepare(`INSERT INTO records (${names.join(', ')}) VALUES (${names.map(() => '?').join(', ')})`);
        earlier.transaction(() => {
          for (const row of rows) insert.run(...names.map((name) => (typeof row[name] === 'number' ? BigInt(row[name]) : row[name])));
        })();
        earlier.close();
        const store = openStore(file);
        const kept = store.database.prepare('SELECT * FROM records').all();
        expect(kept).toHaveLength(rows.length);
        expect(new Set(kept.map((row) => JSON.stringify(row)))).toEqual(new Set(rows.map((row) => JSON.stringify(row))));
        expectExact(store);
        store.close();
      }),
      { numRuns: 12 },
    );
  }); // prettier-ignore

  it('say more seconds than a minute has where a record was merged, and begin where it began', () => {
    const store = openStore(':memory:');
    take(store, [{ current: 1900, span: 700, amount: 5, newRun: false, newMemory: false }], 1);
    expect(store.database.prepare('SELECT minute * 60000 AS at, seconds FROM minutes').all()).toEqual([
      { at: EVENING_MS, seconds: 700 },
    ]);
    store.close();
  });

  it('are taken back together with a record that could not be kept', () => {
    const store = openStore(':memory:');
    expect(() =>
      store.together(() => {
        take(store, [{ current: 1900, span: 1, amount: 5, newRun: false, newMemory: false }], 1);
        throw new Error('the disk is full');
      }),
    ).toThrow('the disk is full');
    for (const table of ['raw_records', 'minutes', 'ten_minutes', 'memories', 'queues'])
      expect(store.database.prepare(`SELECT count(*) FROM ${table}`).pluck().get(), table).toBe(0);
    store.close();
  });
});
