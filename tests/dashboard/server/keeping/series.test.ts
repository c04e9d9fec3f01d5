/* What was logged over time, thinned: through the route, against the records themselves. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Series } from '@bathkeeper/shared-core/messages';
import { bucketMsFor } from '../../../../dashboard/server/keeping/buckets.js';
import { seriesOf } from '../../../../dashboard/server/keeping/series.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS } from '../dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';
import { outbox, recordRow } from '../quiet-bath.js';

/** What each column must agree in length with. */
function columnsOf(series: Series): (readonly unknown[])[] {
  return Object.values(series).filter((value) => Array.isArray(value)) as (readonly unknown[])[];
}

async function pageWithRecords(
  rows: readonly number[][],
  uptimeTenths: number,
): Promise<(query: string) => ReturnType<Page['ask']>> {
  const page = await pageOnTrial();
  const session = await letIn(page);
  page.trial.bath.say('outbox', outbox(rows, [], uptimeTenths));
  await page.trial.dashboard.settle();
  return (query) => page.ask('GET', `/api/series?${query}`, undefined, session);
}

describe('GET /api/series', () => {
  it('answers columns of equal length in trade units, and null for what was not read', async () => {
    const ask = await pageWithRecords(
      [
        recordRow({ first: 1, uptime: 1000, phase: 3, pulses: 1 }),
        recordRow({ first: 2, uptime: 1010, electricCount: 0, currentSum: 0, currentMin: 0, currentMax: 0, voltageSum: 0, temperatureCount: 0, temperatureSum: 0, charge: 36_000 }),
        recordRow({ first: 3, uptime: 1120, span: 11, charge: 72_000, pulses: 2, run: 2 }),
      ],
      1120,
    ); // prettier-ignore
    const fromMs = EVENING_MS - 60_000;
    const toMs = EVENING_MS + 1000;
    const query = `controllerId=${CONTROLLER}&fromMs=${String(fromMs)}&toMs=${String(toMs)}&points=100`;
    const { status, body } = await ask(query);
    expect(status).toBe(200);
    expect(body).toEqual({
      controllerId: CONTROLLER,
      fromMs,
      toMs,
      bucketMs: 1000,
      source: 'records',
      startMs: [EVENING_MS - 12_000, EVENING_MS - 11_000, EVENING_MS - 10_000],
      seconds: [1, 1, 11],
      run: [1, 1, 2],
      phase: [3, 4, 4],
      permittedAmps: [19, 19, 19],
      // Of no run was told that it began.
      setPointAmps: [null, null, null],
      currentMeanAmps: [19, null, 19],
      currentMinAmps: [18.9, null, 18.9],
      currentMaxAmps: [19.1, null, 19.1],
      voltageVolts: [2.1, null, 2.1],
      voltageMinVolts: [2.1, null, 2.1],
      voltageMaxVolts: [2.1, null, 2.1],
      // 2.1 V by 19 A are 110.526 315… mΩ, the least down and the most up to the microohm.
      resistanceMinMilliohms: [110.526, null, 110.526],
      resistanceMaxMilliohms: [110.527, null, 110.527],
      temperatureCelsius: [24, null, 24],
      temperatureMinCelsius: [24, null, 24],
      temperatureMaxCelsius: [24, null, 24],
      rotationPulsesPerMinute: [null, null, null],
      chargeAmpereHours: [19_000 / 3.6e6, 0.01, 0.02],
    } satisfies Series);
  });

  it('shows a merged record to whoever looks at a second within it', async () => {
    const ask = await pageWithRecords([recordRow({ first: 1, uptime: 1000, span: 64 })], 1000);
    const { body } = await ask(`controllerId=${CONTROLLER}&fromMs=${String(EVENING_MS - 30_000)}&toMs=${String(EVENING_MS - 20_000)}&points=10`); // prettier-ignore
    expect(body).toMatchObject({ seconds: [64], currentMeanAmps: [19] });
    expect((body.startMs as number[])[0]).toBeLessThanOrEqual(EVENING_MS - 63_000);
  });

  it('is empty where nothing was logged', async () => {
    const ask = await pageWithRecords([recordRow({ first: 1, uptime: 1000 })], 1000);
    const { body } = await ask(`controllerId=${CONTROLLER}&fromMs=1000&toMs=90000`);
    for (const column of columnsOf(body as unknown as Series)) expect(column).toEqual([]);
  });

  it('refuses what does not fit with every fault, and a controller of which nothing was ever logged', async () => {
    const ask = await pageWithRecords([], 1000);
    for (const [query, problems] of [
      ['fromMs=0&toMs=10', ['controllerId: expected the name of a controller, got nothing.']],
      [`controllerId=${CONTROLLER}&fromMs=x&toMs=1e3`, ['fromMs: expected a whole number from 0 to 4102444800000, got "x".', 'toMs: expected a whole number from 0 to 4102444800000, got "1e3".']],
      [`controllerId=${CONTROLLER}&fromMs=10&toMs=10`, ['toMs: expected a time after fromMs, got "10".']],
      [`controllerId=${CONTROLLER}&fromMs=0&toMs=10&points=5`, ['points: expected a whole number from 10 to 4000, got "5".']],
      [`controllerId=${CONTROLLER}&fromMs=0&toMs=10&points=4001`, ['points: expected a whole number from 10 to 4000, got "4001".']],
    ] as const) {
      const answer = await ask(query);
      expect(answer.status, query).toBe(400);
      expect(answer.body.problems, query).toEqual(problems);
    }
    const answer = await ask('controllerId=south-bench&fromMs=0&toMs=10');
    expect(answer.status).toBe(404);
    expect(answer.body.error).toContain('"south-bench"');
  }); // prettier-ignore

  it('stays behind the door', async () => {
    const page = await pageOnTrial();
    expect((await page.ask('GET', `/api/series?controllerId=${CONTROLLER}&fromMs=0&toMs=10`)).status).toBe(401);
  });
});

describe('a series', () => {
  const takenEach = (rows: readonly number[][]): Store => {
    const store = openStore(':memory:');
    store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: 10 * rows.length, receivedAtMs: EVENING_MS, records: rows, events: [] }); // prettier-ignore
    return store;
  };

  it('tells rotation of a second from pulse to pulse, and none until two were logged without a gap', () => {
    // A turn each five seconds is 12 a minute; seconds 21 to 25 were never logged.
    const numbers = Array.from({ length: 40 }, (_, index) => index + 1).filter((number) => number <= 20 || number > 25);
    const store = takenEach(
      numbers.map((first) => recordRow({ first, uptime: first * 10, pulses: first % 5 === 0 ? 1 : 0 })),
    );
    const { rotationPulsesPerMinute, bucketMs } = seriesOf(store.database, { controllerId: CONTROLLER, fromMs: EVENING_MS - 60_000, toMs: EVENING_MS + 60_000, points: 1000 }); // prettier-ignore
    store.close();
    expect(bucketMs).toBe(1000);
    const [none, twelve] = [(count: number): null[] => Array.from({ length: count }, () => null), (count: number): number[] => Array.from({ length: count }, () => 12)]; // prettier-ignore
    expect(rotationPulsesPerMinute).toEqual([...none(9), ...twelve(11), ...none(9), ...twelve(6)]);
  });

  it('tells a steady slow rotation as steady at any distance, its slowing and its standing still as such', () => {
    // A pulse each ten seconds for ten minutes, each fifteen for five, then none for five.
    const isPulse = (second: number): boolean =>
      second <= 600 ? second % 10 === 0 : second <= 900 && second % 15 === 0;
    const store = takenEach(Array.from({ length: 1200 }, (_, index) => recordRow({ first: index + 1, uptime: (index + 1) * 10, pulses: isPulse(index + 1) ? 1 : 0 }))); // prettier-ignore
    const rates = (
      points: number,
    ): { at: (second: number) => number | null; of: readonly (number | null)[]; bucketMs: number } => {
      const { rotationPulsesPerMinute: of, startMs, bucketMs } = seriesOf(store.database, { controllerId: CONTROLLER, fromMs: EVENING_MS - 1_200_000, toMs: EVENING_MS + 1000, points }); // prettier-ignore
      const at = (second: number): number | null => of[startMs.findIndex((start) => start + bucketMs > EVENING_MS - (1200 - second) * 1000)]!; // prettier-ignore
      return { at, of, bucketMs };
    };
    const close = rates(2000);
    expect(close.bucketMs).toBe(1000);
    for (let second = 20; second <= 600; second++) expect(close.at(second), `second ${String(second)}`).toBe(6);
    for (let second = 690; second <= 900; second++) expect(close.at(second), `second ${String(second)}`).toBe(4);
    // 15 seconds without a pulse are as before; then no more than one in the time that has passed.
    expect([915, 920, 930, 960].map(close.at)).toEqual([4, 3, 2, 1]);
    expect(close.at(1100)).toBe(0);
    for (const points of [240, 100, 40]) {
      const far = rates(points);
      // Counted over two minutes, within one pulse of twelve.
      for (let second = 240; second <= 560; second += 7) expect(Math.abs(far.at(second)! - 6)).toBeLessThanOrEqual(0.5);
      expect(far.at(1150)).toBe(0);
    }
    store.close();
  });

  it('keeps one second’s spike of voltage, resistance and temperature at any distance, and none where its records went before extremes were kept', () => {
    const rows = Array.from({ length: 1800 }, (_, index) => recordRow({ first: index + 1, uptime: (index + 1) * 10, ...(index === 900 ? { voltageSum: 5600, temperatureSum: 2710 } : {}) })); // prettier-ignore
    const store = takenEach(rows);
    const asked = { controllerId: CONTROLLER, fromMs: EVENING_MS - 7_200_000, toMs: EVENING_MS + 7_200_000 };
    for (const points of [4000, 200, 12]) {
      const series = seriesOf(store.database, { ...asked, points });
      const most = (column: readonly (number | null)[]): number =>
        Math.max(...column.map((value) => value ?? -Infinity));
      expect([series.source, most(series.voltageMaxVolts), most(series.temperatureMaxCelsius)]).toEqual([series.source, 5.6, 27.1]); // prettier-ignore
      expect(most(series.resistanceMaxMilliohms)).toBeCloseTo(5600 / 19, 2);
    }
    store.database.exec('UPDATE ten_minutes SET voltage_min = NULL, voltage_max = NULL WHERE ten_minute % 3 = 0');
    const { voltageMaxVolts, voltageVolts, source } = seriesOf(store.database, { ...asked, points: 12 });
    store.close();
    expect(source).toBe('ten-minutes');
    expect(voltageVolts.every((value) => value !== null)).toBe(true);
    expect(voltageMaxVolts).toContain(null);
  });

  it('keeps least, most and the seconds of all records in at most so many buckets', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ current: fc.option(fc.integer({ min: -500, max: 3000 })), span: fc.constantFrom(1, 1, 1, 2, 64) }), { minLength: 1, maxLength: 200 }),
        fc.integer({ min: 10, max: 60 }),
        fc.nat(5000),
        (logged, points, before) => {
          const store = openStore(':memory:');
          let last = 0;
          const records = logged.map(({ current, span }) => {
            const first = last + 1;
            last += span;
            const electric = current === null ? { electricCount: 0, currentSum: 0, currentMin: 0, currentMax: 0, voltageSum: 0 } : { currentSum: current * span, currentMin: current, currentMax: current };
            return recordRow({ first, span, uptime: 10 * last, ...electric });
          });
          store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: 10 * last, receivedAtMs: EVENING_MS, records, events: [] });
          const series = seriesOf(store.database, { controllerId: CONTROLLER, fromMs: EVENING_MS - last * 1000 - before, toMs: EVENING_MS + 1, points });
          store.close();
          expect(series.startMs.length).toBeLessThanOrEqual(points);
          for (const column of columnsOf(series)) expect(column).toHaveLength(series.startMs.length);
          expect(series.seconds.reduce((sum, seconds) => sum + seconds, 0)).toBe(last);
          const good = logged.flatMap(({ current }) => (current === null ? [] : [current]));
          const known = (column: readonly (number | null)[]): number[] => column.filter((value) => value !== null);
          expect(Math.min(...known(series.currentMinAmps), Infinity)).toBe(Math.min(...good, Infinity) / 100);
          expect(Math.max(...known(series.currentMaxAmps), -Infinity)).toBe(Math.max(...good, -Infinity) / 100);
          for (const [index, mean] of series.currentMeanAmps.entries()) {
            if (mean === null) continue;
            expect(mean).toBeGreaterThanOrEqual(series.currentMinAmps[index]! - 1e-9);
            expect(mean).toBeLessThanOrEqual(series.currentMaxAmps[index]! + 1e-9);
          }
          for (let index = 1; index < series.startMs.length; index++) expect(series.startMs[index]! - series.startMs[index - 1]!).toBeGreaterThanOrEqual(series.bucketMs);
        },
      ),
      { numRuns: 60 },
    );
  }); // prettier-ignore

  it('never takes more buckets than were asked, wherever it begins', () => {
    fc.assert(
      fc.property(fc.nat(4e9), fc.integer({ min: 1, max: 4e10 }), fc.integer({ min: 10, max: 4000 }), fc.constantFrom(1000, 60_000, 600_000), (fromMs, lengthMs, points, stepMs) => {
        const toMs = fromMs + lengthMs;
        const bucketMs = bucketMsFor({ fromMs, toMs, points }, stepMs);
        expect(bucketMs % stepMs).toBe(0);
        expect(Math.floor((toMs - 1) / bucketMs) - Math.floor(fromMs / bucketMs) + 1).toBeLessThan(points);
      }),
    );
  }); // prettier-ignore
});
