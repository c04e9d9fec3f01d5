/*
 * What was logged of a controller, summed into buckets of equal length: whole sums, the least and the most of each, from raw records, minutes or
 * ten minutes, whichever is the coarsest that gives enough of them. Asked by series.ts and by the night band. It reads only, and never mixes
 * tables within one answer.
 */
import type Database from 'better-sqlite3';
import type { Series } from '@bathkeeper/shared-core/messages';
import { MINUTE_MS, TEN_MINUTES_MS } from '../store/logged-records.js';
import { EXTREMES, EXTREMES_OF_RECORD } from '../store/record-extremes.js';

export interface Bucket {
  readonly bucket: number;
  readonly run: number;
  readonly seconds: number;
  readonly electric: number;
  readonly current_sum: number;
  readonly current_min: number | null;
  readonly current_max: number | null;
  readonly permitted_sum: number;
  readonly voltage_sum: number;
  readonly temperature_count: number;
  readonly temperature_sum: number;
  readonly pulses: number;
  /** Of the records' means: millivolts, microohms, hundredths of a degree. null: no reading, or it is no longer known. */
  readonly voltage_min: number | null;
  readonly voltage_max: number | null;
  readonly resistance_min: number | null;
  readonly resistance_max: number | null;
  readonly temperature_min: number | null;
  readonly temperature_max: number | null;
  /** Of the newest record, as are run and charge (the run's count, millicoulombs). */
  readonly phase: number;
  readonly charge: number;
  /** When the newest record was taken; from summaries the end of the newest one. */
  readonly newest_at_ms: number;
}

export interface BucketQuestion {
  readonly controllerId: string;
  readonly fromMs: number;
  /** Exclusive; after `fromMs`. */
  readonly toMs: number;
  /** At most so many buckets. */
  readonly points: number;
  /** Of this run alone. */
  readonly of?: { readonly incarnation: number; readonly run: number };
}

export interface Buckets {
  readonly source: Series['source'];
  readonly bucketMs: number;
  /** In order of time. */
  readonly buckets: readonly Bucket[];
}

interface Table {
  readonly source: Series['source'];
  /** The bucket's length is a whole multiple of it. */
  readonly stepMs: number;
  /** What is read, with the bounds :from and :to of when it began; one that began before and reaches in is the first. */
  readonly rows: string;
  /** Those of a bucket. */
  readonly extremes: string;
}

const SUMMED = 'charge_millicoulombs, permitted_sum, electric_count, current_sum, voltage_sum, temperature_count, temperature_sum, pulses'; // prettier-ignore
const KEPT_EXTREMES = EXTREMES.flatMap((one) => [`${one}_min`, `${one}_max`]).join(', ');
const ALL_EXTREMES = EXTREMES.map((one) => `min(${one}_min) AS ${one}_min, max(${one}_max) AS ${one}_max`).join(', ');
/** Unknown as a whole where one of the sums was read and has lost them: half of an extreme is none. */
const WHOLE_EXTREMES = EXTREMES.map((one) => {
  const isLost = one === 'temperature' ? 'temperature_count > 0 AND temperature_min IS NULL' : 'electric_count > 0 AND voltage_min IS NULL';
  return `CASE WHEN total(${isLost}) = 0 THEN min(${one}_min) END AS ${one}_min, CASE WHEN total(${isLost}) = 0 THEN max(${one}_max) END AS ${one}_max`;
}).join(', '); // prettier-ignore
const MINE = 'controller = :controller AND (:memory IS NULL OR memory = :memory) AND (:run IS NULL OR run = :run)';

function summaries(source: Series['source'], table: string, start: string, stepMs: number): Table {
  const columns = `${start} * ${String(stepMs)} AS begun_at_ms, (${start} + 1) * ${String(stepMs)} AS newest_at_ms, memory, run, phase, seconds,
    current_min, current_max, ${SUMMED}, ${KEPT_EXTREMES}`;
  return {
    source,
    stepMs,
    rows: `SELECT ${columns} FROM ${table}
        WHERE ${MINE} AND ${start} >= :from / ${String(stepMs)} AND ${start} < :to / ${String(stepMs)}
      UNION ALL SELECT * FROM (SELECT ${columns} FROM ${table}
        WHERE ${MINE} AND ${start} < :from / ${String(stepMs)} ORDER BY ${start} DESC LIMIT 1)
      WHERE begun_at_ms + seconds * 1000 > :asked`,
    extremes: WHOLE_EXTREMES,
  };
}

const RECORDS: Table = {
  source: 'records',
  stepMs: 1000,
  rows: `SELECT * FROM (
      SELECT taken_at_ms - (span - 1) * 1000 AS begun_at_ms, taken_at_ms AS newest_at_ms, memory, run, phase, span AS seconds,
        CASE WHEN electric_count > 0 THEN current_min END AS current_min, CASE WHEN electric_count > 0 THEN current_max END AS current_max, ${SUMMED}, ${EXTREMES_OF_RECORD}
      FROM raw_records WHERE ${MINE} AND taken_at_ms >= :from AND taken_at_ms < :beyond)
    WHERE begun_at_ms < :to AND (begun_at_ms >= :from OR newest_at_ms >= :asked)`,
  // A record has its own.
  extremes: ALL_EXTREMES,
};
const MINUTES = summaries('minutes', 'minutes', 'minute', MINUTE_MS);
const TEN_MINUTES = summaries('ten-minutes', 'ten_minutes', 'ten_minute', TEN_MINUTES_MS);

export function bucketsOf(database: Database.Database, asked: BucketQuestion): Buckets {
  const { controllerId, fromMs, toMs, of } = asked;
  const known = database
    .prepare<[string], { controller: number; memory: number; incarnation: number; gone_before_ms: number | null }>(
      `SELECT m.controller, m.memory, m.incarnation, e.gone_before_ms FROM memories m
       LEFT JOIN raw_ends e ON e.controller = m.controller WHERE m.controller_id = ?`,
    )
    .all(controllerId)
    .filter(({ incarnation }) => of === undefined || incarnation === of.incarnation);
  const table = tableFor(asked, known[0]?.gone_before_ms ?? -Infinity);
  const bucketMs = bucketMsFor(asked, table.stepMs);
  const first = known[0];
  if (first === undefined) return { source: table.source, bucketMs, buckets: [] };
  // Whole buckets, so that the same ones come again when somebody pans.
  const bounds = { from: Math.floor(fromMs / bucketMs) * bucketMs, to: Math.ceil(toMs / bucketMs) * bucketMs };
  const beyond =
    table === RECORDS
      ? database
          .prepare<[number, number], number>('SELECT taken_at_ms FROM raw_records WHERE controller = ? AND taken_at_ms >= ? ORDER BY taken_at_ms LIMIT 1')
          .pluck()
          .get(first.controller, bounds.to)
      : undefined; // prettier-ignore
  const rows = database
    .prepare<[object], Bucket>(
      `SELECT begun_at_ms / CAST(:bucketMs AS INTEGER) AS bucket, run, sum(seconds) AS seconds, sum(electric_count) AS electric,
         sum(current_sum) AS current_sum, min(current_min) AS current_min, max(current_max) AS current_max, sum(permitted_sum) AS permitted_sum,
         sum(voltage_sum) AS voltage_sum, sum(temperature_count) AS temperature_count, sum(temperature_sum) AS temperature_sum,
         ${table.extremes},
         sum(pulses) AS pulses, max(newest_at_ms * 16 + phase) % 16 AS phase, max(charge_millicoulombs) AS charge,
         max(newest_at_ms) AS newest_at_ms
       FROM (${table.rows.replace(/:(from|to|asked|beyond|controller|memory|run)\b/g, 'CAST(:$1 AS INTEGER)')})
       GROUP BY bucket, memory, run ORDER BY bucket, newest_at_ms`,
    )
    .all({
      ...bounds,
      beyond: (beyond ?? bounds.to) + 1,
      asked: fromMs,
      bucketMs,
      controller: first.controller,
      memory: of === undefined ? null : first.memory,
      run: of?.run ?? null,
    });
  return { source: table.source, bucketMs, buckets: merged(rows) };
}

/** The coarsest that gives enough buckets. Where the raw records are gone by their age, a minute is the shortest. */
function tableFor(asked: BucketQuestion, goneBeforeMs: number): Table {
  const wantedMs = bucketMsFor(asked, RECORDS.stepMs);
  if (wantedMs >= TEN_MINUTES.stepMs) return TEN_MINUTES;
  return wantedMs >= MINUTES.stepMs || asked.fromMs < goneBeforeMs ? MINUTES : RECORDS;
}

/** A bucket in which one run ends and another begins comes as one row for each, the newest last. */
function merged(rows: readonly Bucket[]): Bucket[] {
  const buckets: Bucket[] = [];
  for (const row of rows) {
    const before = buckets.at(-1);
    if (before?.bucket !== row.bucket) {
      buckets.push(row);
      continue;
    }
    buckets[buckets.length - 1] = {
      ...row,
      seconds: before.seconds + row.seconds,
      electric: before.electric + row.electric,
      current_sum: before.current_sum + row.current_sum,
      current_min: extreme(Math.min, before.current_min, row.current_min),
      current_max: extreme(Math.max, before.current_max, row.current_max),
      permitted_sum: before.permitted_sum + row.permitted_sum,
      voltage_sum: before.voltage_sum + row.voltage_sum,
      temperature_count: before.temperature_count + row.temperature_count,
      temperature_sum: before.temperature_sum + row.temperature_sum,
      pulses: before.pulses + row.pulses,
      ...widerExtremes(before, row),
    };
  }
  return buckets;
}

/** Of two runs in one bucket. One that was not read at all leaves the other's; one that lost its extremes takes both. */
function widerExtremes(before: Bucket, row: Bucket): Partial<Bucket> {
  const isLost = (one: Bucket): boolean =>
    (one.electric > 0 && one.voltage_min === null) || (one.temperature_count > 0 && one.temperature_min === null);
  const names = EXTREMES.flatMap((one) => [`${one}_min`, `${one}_max`] as const);
  return Object.fromEntries(
    names.map((name) => [
      name,
      isLost(before) || isLost(row)
        ? null
        : extreme(name.endsWith('min') ? Math.min : Math.max, before[name], row[name]),
    ]),
  );
}

function extreme(of: (...values: number[]) => number, one: number | null, other: number | null): number | null {
  const known = [one, other].filter((value) => value !== null);
  return known.length === 0 ? null : of(...known);
}

/**
 * The shortest bucket, a whole multiple of `stepMs`, of which no more than `points` are needed; one is left for a record that reaches in.
 * Example: a year by 1200 points in steps of ten minutes is buckets of 7 h 20 min.
 */
export function bucketMsFor(
  { fromMs, toMs, points }: Pick<BucketQuestion, 'fromMs' | 'toMs' | 'points'>,
  stepMs: number,
): number {
  let bucketMs = Math.max(1, Math.ceil((toMs - fromMs) / (points - 1) / stepMs)) * stepMs;
  while (Math.floor((toMs - 1) / bucketMs) - Math.floor(fromMs / bucketMs) + 2 > points) bucketMs += stepMs;
  return bucketMs;
}
