/* Raw records that are older than they are kept: they go in small steps, and what was summed of them stays to the last unit. */
import { describe, expect, it } from 'vitest';
import { openRecordAgeing } from '../../../../dashboard/server/keeping/record-ageing.js';
import { seriesOf } from '../../../../dashboard/server/keeping/series.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

const DAY_MS = 86_400_000;

/** An hour of seconds with one spike of 30 A, then one more second ten days later. */
function storeOfAnHour(): Store {
  const store = openStore(':memory:');
  const usual = { controllerId: CONTROLLER, incarnation: 7, boot: 1, events: [] };
  const seconds = Array.from({ length: 3600 }, (_, index) =>
    recordRow({ first: index + 1, ...(index === 1234 ? { currentMax: 3000 } : {}) }),
  );
  store.takeOutbox({ ...usual, uptimeTenths: 36_000, receivedAtMs: EVENING_MS, records: seconds });
  const later = 36_000 + 10 * 864_000;
  store.takeOutbox({ ...usual, uptimeTenths: later, receivedAtMs: EVENING_MS + 10 * DAY_MS, records: [recordRow({ first: 3601, uptime: later })] }); // prettier-ignore
  return store;
}
const summaries = (store: Store): unknown[] =>
  ['minutes', 'ten_minutes'].map((table) => store.database.prepare(`SELECT * FROM ${table}`).all());
const rawCount = (store: Store): unknown => store.database.prepare('SELECT count(*) FROM records').pluck().get();

describe('raw records', () => {
  it('go a few at a time once they are older than they are kept; their minutes stay, and the spike in them', () => {
    const store = storeOfAnHour();
    const before = summaries(store);
    const asked = { controllerId: CONTROLLER, fromMs: EVENING_MS - 3_600_000, toMs: EVENING_MS + 1, points: 4000 };
    const fromRecords = seriesOf(store.database, asked);
    expect(fromRecords.source).toBe('records');
    const step = openRecordAgeing(store, 7, 1000);
    const nowMs = EVENING_MS + 10 * DAY_MS;
    expect([step(nowMs), step(nowMs), step(nowMs), step(nowMs), step(nowMs)]).toEqual([1000, 1000, 1000, 600, 0]);
    expect(rawCount(store)).toBe(1);
    expect(summaries(store)).toEqual(before);
    const fromMinutes = seriesOf(store.database, asked);
    expect(fromMinutes.source).toBe('minutes');
    expect(Math.max(...fromMinutes.currentMaxAmps.map((amps) => amps ?? 0))).toBe(30);
    expect(fromMinutes.chargeAmpereHours.at(-1)).toBe(fromRecords.chargeAmpereHours.at(-1));
    store.close();
  });

  it('of the days that are kept all stay, and of a silent controller its last days, whatever the clock says', () => {
    const store = storeOfAnHour();
    expect(openRecordAgeing(store, 11)(EVENING_MS + 10_000 * DAY_MS)).toBe(0);
    expect(openRecordAgeing(store, 7)(EVENING_MS)).toBe(0);
    expect(rawCount(store)).toBe(3601);
    store.close();
  });

  it('are all there still when a step could not be kept', () => {
    const store = storeOfAnHour();
    const step = openRecordAgeing(store, 7);
    store.database.exec("CREATE TRIGGER full BEFORE DELETE ON raw_records BEGIN SELECT RAISE(ABORT, 'disk is full'); END");
    expect(() => step(EVENING_MS + 10 * DAY_MS)).toThrow('disk is full');
    expect(rawCount(store)).toBe(3601);
    expect(store.database.prepare('SELECT count(*) FROM raw_ends').pluck().get()).toBe(0);
    store.close();
  }); // prettier-ignore
});
