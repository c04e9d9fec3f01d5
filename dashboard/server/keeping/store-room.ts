/*
 * How much room the store takes, and how many days are left until the disk is full: by what was logged in the last seven days, and by the photographs and backups of the
 * last thirty. Asked by keeping.ts; it reads sums, not records.
 */
import type Database from 'better-sqlite3';
import type { KeptBackup, StoreRoomView } from '@bathkeeper/shared-core/messages';
import { TEN_MINUTES_MS } from '../store/logged-records.js';

const DAY_MS = 86_400_000;
const LOOKED_BACK_DAYS = 7;
/** Photographs and backups come in heaps, one in a week or two. */
const LATELY_DAYS = 30;
const TEN_YEARS_DAYS = 3653;
/** With their share of the pages, as three controllers write them in turns; measured (a minute 83, ten of them 90), see store-room.test.ts. */
export const BYTES_A_RECORD = 62;
export const BYTES_A_MINUTE = 90;
export const BYTES_TEN_MINUTES = 90;

export interface StoreGrowth {
  readonly storeBytes: number;
  /** Free pages within the file: filled before the file grows. */
  readonly freeInStoreBytes: number;
  /** Within the file. */
  readonly photographBytes: number;
  readonly photographBytesLately: number;
  readonly controllers: readonly LoggedController[];
}
export interface LoggedController {
  readonly secondsADay: number;
  /** From its oldest record to its newest. */
  readonly recordsDays: number;
}

/** Runs from files are there, and do not grow. */
export function storeGrowth(database: Database.Database, nowMs: number): StoreGrowth {
  const count = (name: string): number => database.pragma(name, { simple: true }) as number;
  const pageBytes = count('page_size');
  const fromMs = nowMs - LOOKED_BACK_DAYS * DAY_MS;
  const controllers = database
    .prepare<[number], { seconds: number; first_at_ms: number; oldest_at_ms: number | null; newest_at_ms: number }>(
      `SELECT (SELECT coalesce(sum(seconds), 0) FROM ten_minutes t WHERE t.controller = m.controller AND ten_minute >= CAST(? AS INTEGER)) AS seconds,
         (SELECT ten_minute FROM ten_minutes t WHERE t.controller = m.controller ORDER BY ten_minute LIMIT 1) * ${String(TEN_MINUTES_MS)} AS first_at_ms,
         (SELECT taken_at_ms FROM raw_records r WHERE r.controller = m.controller ORDER BY taken_at_ms LIMIT 1) AS oldest_at_ms,
         max(newest_at_ms) AS newest_at_ms
       FROM memories m WHERE m.controller_id NOT GLOB 'imported:*' GROUP BY m.controller`,
    )
    .all(Math.floor(fromMs / TEN_MINUTES_MS));
  // (SQLite tells the length of a blob without reading it.)
  const photographs = database
    .prepare<[number], { bytes: number; lately: number }>(
      `SELECT coalesce(sum(length(p.bytes)), 0) AS bytes,
         coalesce(sum(CASE WHEN e.written_at_ms >= CAST(? AS INTEGER) THEN length(p.bytes) END), 0) AS lately
       FROM photographs p JOIN run_entries e ON e.entry_id = p.entry_id`,
    )
    .get(nowMs - LATELY_DAYS * DAY_MS)!;
  return {
    storeBytes: count('page_count') * pageBytes,
    freeInStoreBytes: count('freelist_count') * pageBytes,
    photographBytes: photographs.bytes,
    photographBytesLately: photographs.lately,
    controllers: controllers.map((one) => ({
      // Of a bath that has not been there for a week, by the days that it was; a first hour is not yet a day of it.
      secondsADay: one.seconds / Math.min(LOOKED_BACK_DAYS, Math.max(1, (nowMs - one.first_at_ms) / DAY_MS)),
      recordsDays: one.oldest_at_ms === null ? 0 : (one.newest_at_ms - one.oldest_at_ms) / DAY_MS,
    })),
  };
}

export interface BackupGrowth {
  readonly bytes: number;
  readonly lately: number;
}

/** Of those that still lie there. */
export function backupGrowth(kept: readonly KeptBackup[], nowMs: number): BackupGrowth {
  const sum = (some: readonly KeptBackup[]): number => some.reduce((all, { bytes }) => all + bytes, 0);
  return { bytes: sum(kept), lately: sum(kept.filter(({ madeAtMs }) => madeAtMs >= nowMs - LATELY_DAYS * DAY_MS)) };
}

export interface DiskOfStore {
  /** undefined: it does not say. */
  readonly freeBytes: number | undefined;
  /** null: they lie on another one. */
  readonly backups: BackupGrowth | null;
}

/**
 * Each second is added until the oldest are as old as they are kept; from then on a second goes for each that comes, and only summaries grow.
 * Example: one bath that always logs, 40 days old, 90 kept: 5.5 MB a day for 50 days, then 0.1 MB a day; with 60 MB of
 * photographs and backups in the last thirty days 2 MB a day more.
 */
export function storeRoom(
  growth: StoreGrowth,
  recordsKeptDays: number,
  { freeBytes, backups }: DiskOfStore,
): StoreRoomView {
  const summaryBytes = (secondsADay: number): number =>
    (secondsADay / 60) * BYTES_A_MINUTE + (secondsADay / 600) * BYTES_TEN_MINUTES;
  const baths = growth.controllers.map(({ secondsADay, recordsDays }) => ({
    recordBytes: secondsADay * BYTES_A_RECORD,
    fullInDays: secondsADay === 0 ? 0 : Math.max(0, recordsKeptDays - recordsDays),
  }));
  const bytesADayThen = growth.controllers.reduce((sum, { secondsADay }) => sum + summaryBytes(secondsADay), 0);
  const addedADay = (growth.photographBytesLately + (backups?.lately ?? 0)) / LATELY_DAYS;
  const bytesADayAfter = (days: number): number =>
    baths.reduce((sum, { recordBytes, fullInDays }) => sum + (fullInDays > days ? recordBytes : 0), bytesADayThen);
  const ends = [...new Set(baths.map((one) => one.fullInDays)), TEN_YEARS_DAYS].sort((one, other) => one - other);
  let left = (freeBytes ?? 0) + growth.freeInStoreBytes;
  let days = 0;
  for (const end of ends) {
    const rate = bytesADayAfter(days) + addedADay;
    if (rate * (end - days) >= left && rate > 0) {
      days += left / rate;
      break;
    }
    left -= rate * (end - days);
    days = Math.max(days, end);
  }
  return {
    storeBytes: growth.storeBytes,
    photographBytes: growth.photographBytes,
    photographBytesLately: growth.photographBytesLately,
    backupBytes: backups?.bytes ?? null,
    backupBytesLately: backups?.lately ?? 0,
    freeBytes: freeBytes ?? null,
    recordsKeptDays,
    bytesADay: bytesADayAfter(0),
    recordsFullInDays: Math.max(0, ...baths.map((one) => one.fullInDays)),
    bytesADayThen,
    daysUntilFull: freeBytes === undefined ? null : days >= TEN_YEARS_DAYS ? 'more than ten years' : days,
  };
}
