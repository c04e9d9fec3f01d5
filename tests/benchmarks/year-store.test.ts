/* The year that the benchmark loads, with three days of which one has its seconds: it is what the store itself would have kept. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { seriesOf } from '../../dashboard/server/keeping/series.js';
import { openStore } from '../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard/server/dashboard-on-trial.js';
import { recordRow } from '../dashboard/server/quiet-bath.js';
import { inexactMinutes, loadYear, MEMORY_OF_YEAR } from './year-store.js';

const END_MS = Date.UTC(2026, 0, 10);
const DAY_MS = 86_400_000;

describe('the year of the benchmark', () => {
  it('has each second of its last days, exact minutes for all of it, and goes on where it ended', () => {
    const file = join(folderOnTrial(), 'year.sqlite');
    openStore(file).close();
    const controllerIds = ['north-bench', 'south-bench'];
    const year = loadYear({ file, controllerIds, days: 3, rawDays: 1, endMs: END_MS });
    expect(inexactMinutes(file, year.rawFromMs)).toBe(0);
    const store = openStore(file);
    const count = (sql: string): unknown => store.database.prepare(sql).pluck().get();
    expect(count('SELECT count(*) FROM raw_records')).toBe(2 * 86_400);
    expect(count('SELECT sum(seconds) FROM minutes')).toBe(2 * 3 * 86_400);
    expect(count('SELECT count(*) FROM minutes')).toBe(2 * 3 * 1440);
    expect(count('SELECT sum(seconds) FROM ten_minutes')).toBe(2 * 3 * 86_400);
    // 20 hours at 19.2 A of each of three days, counted by 384 Ah a run.
    const asked = { controllerId: 'south-bench', fromMs: year.beginMs, toMs: year.endMs, points: 300 };
    const series = seriesOf(store.database, asked);
    expect(series.source).toBe('ten-minutes');
    expect(Math.max(...series.chargeAmpereHours)).toBeCloseTo((20 * 3600 * 19.2) / 3600, 9);
    expect(new Set(series.run)).toEqual(new Set([1, 2, 3]));
    // The recipe asked for 19.2 A, and the events of its runs tell from when to when.
    expect(new Set(series.setPointAmps)).toEqual(new Set([19.2, 0]));
    expect(Math.max(...series.currentMaxAmps.map(Number)), 'the spike of one second').toBeGreaterThan(28);
    expect(seriesOf(store.database, { ...asked, fromMs: END_MS - DAY_MS / 2, toMs: END_MS - DAY_MS / 2 + 60_000 }).source).toBe('records'); // prettier-ignore

    const first = year.newest + 1;
    const taken = store.takeOutbox({ controllerId: 'south-bench', incarnation: MEMORY_OF_YEAR, boot: 1, uptimeTenths: first * 10, receivedAtMs: END_MS + 1000, records: [recordRow({ first, run: 3, charge: 72_000 * 19_200 + 5 })], events: [] }); // prettier-ignore
    expect(taken.recordsThrough).toBe(first);
    store.close();
    expect(inexactMinutes(file, year.rawFromMs)).toBe(0);
  });
});
