/*
 * What was logged of a controller between two instants as a Series: sums, least and most of each bucket, in whole numbers until the last step.
 * Asked by series-routes.ts. It writes nothing.
 */
import type Database from 'better-sqlite3';
import type { Phase } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';

export interface SeriesQuestion {
  readonly controllerId: string;
  readonly fromMs: number;
  /** Exclusive; after `fromMs`. */
  readonly toMs: number;
  /** At most so many buckets. */
  readonly points: number;
}

/** Rotation is told from this many seconds on: a slow part gives a pulse in ten. */
const ROTATION_SECONDS_MIN = 10;
const MILLICOULOMBS_PER_AMPERE_HOUR = 3.6e6;

interface Bucket {
  readonly bucket: number;
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
  readonly run: number;
  readonly phase: number;
  readonly charge: number;
}

export function seriesOf(database: Database.Database, asked: SeriesQuestion): Series {
  const { controllerId, fromMs, toMs } = asked;
  const bucketMs = bucketMsFor(asked, 1000);
  const rows = database
    .prepare<[string, number, number, number], Bucket>(
      `WITH logged AS (
         SELECT *, taken_at_ms - (span - 1) * 1000 AS begun_at_ms FROM records WHERE controller_id = ?),
       grouped AS (
         SELECT begun_at_ms / CAST(? AS INTEGER) AS bucket, sum(span) AS seconds, sum(electric_count) AS electric,
           sum(current_sum) AS current_sum,
           min(CASE WHEN electric_count > 0 THEN current_min END) AS current_min,
           max(CASE WHEN electric_count > 0 THEN current_max END) AS current_max,
           sum(permitted_sum) AS permitted_sum, sum(voltage_sum) AS voltage_sum,
           sum(temperature_count) AS temperature_count, sum(temperature_sum) AS temperature_sum, sum(pulses) AS pulses,
           max(begun_at_ms) AS newest_at_ms
         FROM logged WHERE taken_at_ms >= ? AND begun_at_ms < ? GROUP BY bucket)
       SELECT grouped.*, run, phase, max(charge_millicoulombs) AS charge
       FROM grouped JOIN logged ON logged.begun_at_ms = newest_at_ms GROUP BY bucket ORDER BY bucket`,
    )
    .all(controllerId, bucketMs, fromMs, toMs);
  const mean = (sum: number, count: number, unit: number): number | null => (count > 0 ? sum / count / unit : null);
  return {
    controllerId,
    fromMs,
    toMs,
    bucketMs,
    source: 'records',
    startMs: rows.map((row) => row.bucket * bucketMs),
    seconds: rows.map((row) => row.seconds),
    run: rows.map((row) => row.run),
    phase: rows.map((row) => row.phase as Phase),
    permittedAmps: rows.map((row) => row.permitted_sum / row.seconds / 100),
    currentMeanAmps: rows.map((row) => mean(row.current_sum, row.electric, 100)),
    currentMinAmps: rows.map((row) => mean(row.current_min ?? 0, row.electric && 1, 100)),
    currentMaxAmps: rows.map((row) => mean(row.current_max ?? 0, row.electric && 1, 100)),
    voltageVolts: rows.map((row) => mean(row.voltage_sum, row.electric, 1000)),
    temperatureCelsius: rows.map((row) => mean(row.temperature_sum, row.temperature_count, 100)),
    turnsPerMinute: rows.map((row) => (row.seconds < ROTATION_SECONDS_MIN ? null : (row.pulses / row.seconds) * 60)),
    chargeAmpereHours: rows.map((row) => row.charge / MILLICOULOMBS_PER_AMPERE_HOUR),
  };
}

/**
 * The shortest bucket, a whole multiple of `stepMs`, of which no more than `points` are needed; one is left for a record that reaches in.
 * Example: a year by 1200 points in steps of ten minutes is buckets of 7 h 20 min.
 */
export function bucketMsFor(
  { fromMs, toMs, points }: Pick<SeriesQuestion, 'fromMs' | 'toMs' | 'points'>,
  stepMs: number,
): number {
  let bucketMs = Math.max(1, Math.ceil((toMs - fromMs) / (points - 1) / stepMs)) * stepMs;
  while (Math.floor((toMs - 1) / bucketMs) - Math.floor(fromMs / bucketMs) + 2 > points) bucketMs += stepMs;
  return bucketMs;
}
