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
  { minLength: 1, maxLength: 100 },
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
        : {
            currentSum: one.current * one.span,
            currentMin: one.current - 3,
            currentMax: one.current + 5,
            voltageSum: (one.amount % 6007) - 800,
          };
    const warmth = {
      temperatureCount: one.amount % 3,
      temperatureSum: (one.amount % 3) * 2400 + (one.amount % 3 === 2 ? one.amount % 11 : 0),
    };
    waiting.push(recordRow({ first, span: one.span, uptime, run, charge, pulses: one.amount % 3, phase: 2 + (one.amount % 5), ...electric, ...warmth })); // prettier-ignore
    if (waiting.length >= together) send();
  }
  send();
}

/** A quotient that is whole but for the last bits of a double is that whole number. */
function widen(sum: Sums, name: string, value: number): void {
  const near = Math.abs(value - Math.round(value)) < 1e-6 ? Math.round(value) : value;
  sum[`${name}_min`] = Math.min(sum[`${name}_min`] ?? Infinity, Math.floor(near) || 0);
  // No number is minus nothing once it is stored.
  sum[`${name}_max`] = Math.max(sum[`${name}_max`] ?? -Infinity, Math.ceil(near) || 0);
}

/** From the records themselves, one after the other. */
function summedBySelf(store: Store, lengthMs: number): Map<string, Sums> {
  const sums = new Map<string, Sums>();
  const before = new Map<number, { run: number; charge: number }>();
  for (const row of store.database.prepare<[], Record<string, number>>('SELECT * FROM records ORDER BY incarnation, first').all()) {
    const start = Math.floor((row.taken_at_ms! - (row.span! - 1) * 1000) / lengthMs);
    const key = `${String(start)} ${String(row.incarnation)} ${String(row.run)}`;
    const sum = sums.get(key) ?? { seconds: 0, electric_count: 0, current_sum: 0, current_min: null, current_max: null, charge_added: 0, charge_millicoulombs: 0, phase: 0, pulses: 0, permitted_sum: 0, voltage_sum: 0, temperature_count: 0, temperature_sum: 0, voltage_min: null, voltage_max: null, resistance_min: null, resistance_max: null, temperature_min: null, temperature_max: null };
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
      widen(sum, 'voltage', row.voltage_sum! / row.electric_count!);
      // Volts by amperes in microohms, from 0.2 A on.
      const [volts, amps] = [row.voltage_sum! / row.electric_count! / 1000, row.current_sum! / row.electric_count! / 100];
      if (amps >= 0.2) widen(sum, 'resistance', (volts / amps) * 1e6);
    }
    if (row.temperature_count! > 0) widen(sum, 'temperature', row.temperature_sum! / row.temperature_count!);
  }
  return sums;
} // prettier-ignore

function asKept(store: Store, table: 'minutes' | 'ten_minutes'): Map<string, Sums> {
  const start = table === 'minutes' ? 'minute' : 'ten_minute';
  const rows = store.database
    .prepare<[], Sums & { start: number; incarnation: number; run: number }>(
      `SELECT ${start} AS start, m.incarnation, run, seconds, electric_count, current_sum, current_min, current_max, charge_added, charge_millicoulombs,
         phase, pulses, permitted_sum, voltage_sum, temperature_count, temperature_sum, voltage_min, voltage_max, resistance_min, resistance_max,
         temperature_min, temperature_max FROM ${table} JOIN memories m USING (memory)`,
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
        earlier.transaction(() => {
          for (const text of migrations.slice(0, before)) earlier.exec(text);
          earlier.pragma(`user_version = ${String(before)}`);
          const insert = earlier.prepare(`INSERT INTO records (${names.join(', ')}) VALUES (${names.map(() => '?').join(', ')})`);
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
    // Twelve stores are taken through every schema: each step waits for the disk, which others may keep busy.
  }, 120_000); // prettier-ignore

  it('of an earlier version get no extremes of voltage, resistance and temperature where some of their records had gone by their age', () => {
    const file = join(folderOnTrial(), 'earlier.sqlite');
    const before = migrations.findIndex((text) => text.includes('ADD COLUMN voltage_min'));
    const [raw, minute, goneBefore] = [(seconds: number) => `(1, ${String(seconds * 1000)}, 1, ${String(seconds)}, 1, 1, 1, 1, 4, 0, 5, 0, 1, 1900, 1890, 1910, ${String(2000 + seconds)}, 1, 2400, 0, 0)`, (start: number) => `(1, ${String(start)}, 1, 1, 60, 4, 5, 0, 0, 60, 0, 1890, 1910, 0, 60, 0, 0)`, 90_000];
    const earlier = new Database(file);
    earlier.transaction(() => {
      for (const text of migrations.slice(0, before)) earlier.exec(text);
      earlier.pragma(`user_version = ${String(before)}`);
      // Minutes 0 to 10; the records of the first and of half of the second have gone.
      earlier.exec(`INSERT INTO memories VALUES (1, 1, '${CONTROLLER}', 7, 0, 0, 5, 0); INSERT INTO raw_ends VALUES (1, ${String(goneBefore)});
        INSERT INTO minutes VALUES ${Array.from({ length: 11 }, (_, start) => minute(start)).join(', ')}; INSERT INTO ten_minutes VALUES ${minute(0)}, ${minute(1)};
        INSERT INTO raw_records VALUES ${Array.from({ length: 660 - goneBefore / 1000 }, (_, index) => raw(goneBefore / 1000 + index)).join(', ')}`);
    })();
    earlier.close();
    const store = openStore(file);
    const kept = (table: string, start: string) =>
      store.database.prepare<[], (number | null)[]>(`SELECT ${start}, voltage_min, voltage_max, resistance_min, resistance_max, temperature_min, temperature_max FROM ${table} ORDER BY 1`).raw().all();
    const [minutes, tenMinutes] = [kept('minutes', 'minute'), kept('ten_minutes', 'ten_minute')];
    store.close();
    const gone = (start: number) => [start, null, null, null, null, null, null];
    // Seconds 120 to 179 were read at 2.120 to 2.179 V and 19 A.
    expect(minutes.slice(0, 3)).toEqual([gone(0), gone(1), [2, 2120, 2179, Math.floor(2120 / 0.019), Math.ceil(2179 / 0.019), 2400, 2400]]);
    expect(minutes.every((row, index) => index < 2 || row[1] !== null)).toBe(true);
    expect(tenMinutes).toEqual([gone(0), [1, 2600, 2659, Math.floor(2600 / 0.019), Math.ceil(2659 / 0.019), 2400, 2400]]);
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
