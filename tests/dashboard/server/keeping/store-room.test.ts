/* How long the disk will do: by hand, and the bytes of a row against a store that was really written. */
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  backupGrowth,
  BYTES_A_MINUTE,
  BYTES_A_RECORD,
  BYTES_TEN_MINUTES,
  storeGrowth,
  storeRoom,
} from '../../../../dashboard/server/keeping/store-room.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { loadYear } from '../../../benchmarks/year-store.js';
import { EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';

const DAY_MS = 86_400_000;
const always = { secondsADay: 86_400, recordsDays: 40 };
const growth = (controllers: readonly (typeof always)[], freeInStoreBytes = 0) => ({ storeBytes: 300e6, freeInStoreBytes, controllers, photographBytes: 0, photographBytesLately: 0 }); // prettier-ignore
/** Of a bath that always logs, by hand. */
const RECORDS = 86_400 * BYTES_A_RECORD;
const SUMMARIES = 1440 * BYTES_A_MINUTE + 144 * BYTES_TEN_MINUTES;

const NONE = { bytes: 0, lately: 0 };

describe('the room of the store', () => {
  it('goes to photographs and backups as well, as they came in the last thirty days, unless backups lie on another disk', () => {
    const [photographBytesLately, lately] = [30 * SUMMARIES, 60 * SUMMARIES];
    const of = { ...growth([{ ...always, recordsDays: 90 }]), photographBytes: 5e9, photographBytesLately };
    const room = storeRoom(of, 90, { freeBytes: 40 * SUMMARIES, backups: { bytes: 7e9, lately } });
    // A day takes the summaries, as much of photographs and twice as much of backups.
    expect(room.daysUntilFull).toBeCloseTo(10, 9);
    expect(room).toMatchObject({ photographBytes: 5e9, photographBytesLately, backupBytes: 7e9, backupBytesLately: lately, bytesADay: SUMMARIES });
    const elsewhere = storeRoom(of, 90, { freeBytes: 40 * SUMMARIES, backups: null });
    expect(elsewhere.daysUntilFull).toBeCloseTo(20, 9);
    expect(elsewhere).toMatchObject({ backupBytes: null, backupBytesLately: 0 });
  }); // prettier-ignore

  it('counts the backups that lie there, and of them those of the last thirty days', () => {
    const made = (daysAgo: number, bytes: number) => ({ name: 'x', madeAtMs: EVENING_MS - daysAgo * DAY_MS, bytes });
    expect(backupGrowth([made(1, 5), made(30, 7), made(31, 11)], EVENING_MS)).toEqual({ bytes: 23, lately: 12 });
    expect(backupGrowth([], EVENING_MS)).toEqual(NONE);
  });

  it('lasts by seconds and summaries until the oldest seconds go, then by summaries alone', () => {
    const soon = storeRoom(growth([always]), 90, { freeBytes: 10 * (RECORDS + SUMMARIES), backups: NONE });
    expect(soon).toMatchObject({ recordsFullInDays: 50, bytesADay: RECORDS + SUMMARIES, bytesADayThen: SUMMARIES });
    expect(soon.daysUntilFull).toBeCloseTo(10, 9);
    const later = storeRoom(growth([always]), 90, {
      freeBytes: 50 * (RECORDS + SUMMARIES) + 200 * SUMMARIES,
      backups: NONE,
    });
    expect(later.daysUntilFull).toBeCloseTo(250, 6);
    expect(storeRoom(growth([always]), 90, { freeBytes: 41e9, backups: NONE }).daysUntilFull).toBe(
      'more than ten years',
    );
  });

  it('counts each bath until its own seconds are old enough, and what is free within the file', () => {
    const two = storeRoom(growth([always, { ...always, recordsDays: 90 }], RECORDS), 90, {
      freeBytes: 10 * RECORDS + 22 * SUMMARIES,
      backups: NONE,
    });
    expect(two.bytesADay).toBe(RECORDS + 2 * SUMMARIES);
    expect(two.daysUntilFull).toBeCloseTo(11, 6);
  });

  it('is not guessed where the disk does not say, and lasts where nothing is logged', () => {
    expect(storeRoom(growth([always]), 90, { freeBytes: undefined, backups: NONE })).toMatchObject({
      daysUntilFull: null,
      freeBytes: null,
    });
    expect(storeRoom(growth([]), 90, { freeBytes: 1e9, backups: NONE })).toMatchObject({
      daysUntilFull: 'more than ten years',
      bytesADay: 0,
    });
    expect(storeRoom(growth([always]), 90, { freeBytes: 0, backups: NONE }).daysUntilFull).toBe(0);
  });

  it('is read from the store: seconds a day of the last week, and the age of the oldest record', () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    openStore(file).close();
    const empty = statSync(file).size;
    loadYear({ file, controllerIds: ['north-bench', 'south-bench'], days: 10, rawDays: 3, endMs: EVENING_MS });
    const store = openStore(file);
    const found = storeGrowth(store.database, EVENING_MS);
    expect(found.controllers).toHaveLength(2);
    for (const { secondsADay, recordsDays } of found.controllers) {
      expect(secondsADay).toBeCloseTo(86_400, -3);
      expect(recordsDays).toBeCloseTo(3, 1);
    }
    expect(storeGrowth(store.database, EVENING_MS + 8 * DAY_MS).controllers[0]!.secondsADay).toBe(0);
    const photograph = (entryId: number, daysAgo: number, bytes: number): void => {
      store.database.prepare(`INSERT INTO run_entries VALUES (?, 'north-bench', 1, 1, 0, CAST(? AS INTEGER), 'Kim', '', '{}')`).run(entryId, EVENING_MS - daysAgo * DAY_MS); // prettier-ignore
      store.database.prepare(`INSERT INTO photographs VALUES (?, 'image/jpeg', ?)`).run(entryId, Buffer.alloc(bytes));
    };
    expect(found).toMatchObject({ photographBytes: 0, photographBytesLately: 0 });
    const rows = (table: string): number => store.database.prepare<[], number>(`SELECT count(*) FROM ${table}`).pluck().get()!; // prettier-ignore
    const reckoned = rows('raw_records') * BYTES_A_RECORD + rows('minutes') * BYTES_A_MINUTE + rows('ten_minutes') * BYTES_TEN_MINUTES; // prettier-ignore
    expect((found.storeBytes - found.freeInStoreBytes - empty) / reckoned).toBeGreaterThan(0.75);
    expect((found.storeBytes - found.freeInStoreBytes - empty) / reckoned).toBeLessThan(1.1);
    photograph(1, 31, 20_000);
    photograph(2, 29, 3000);
    expect(storeGrowth(store.database, EVENING_MS)).toMatchObject({ photographBytes: 23_000, photographBytesLately: 3000 }); // prettier-ignore
    store.close();
  });
});
