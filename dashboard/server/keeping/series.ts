/*
 * What was logged of a controller between two instants as a Series, in trade units; null for what was not read. Asked by series-routes.ts.
 */
import type Database from 'better-sqlite3';
import type { Phase } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '@bathkeeper/shared-core/trade';
import { type BucketQuestion, bucketsOf } from './buckets.js';

export type SeriesQuestion = Omit<BucketQuestion, 'of'>;

/** Rotation is told from this many seconds on: a slow part gives a pulse in ten. */
const ROTATION_SECONDS_MIN = 10;

export function seriesOf(database: Database.Database, asked: SeriesQuestion): Series {
  const { controllerId, fromMs, toMs } = asked;
  const { source, bucketMs, buckets } = bucketsOf(database, asked);
  const mean = (sum: number, count: number, unit: number): number | null => (count > 0 ? sum / count / unit : null);
  const amps = (centiamperes: number | null): number | null => (centiamperes === null ? null : centiamperes / 100);
  return {
    controllerId,
    fromMs,
    toMs,
    bucketMs,
    source,
    startMs: buckets.map((one) => one.bucket * bucketMs),
    seconds: buckets.map((one) => one.seconds),
    run: buckets.map((one) => one.run),
    phase: buckets.map((one) => one.phase as Phase),
    permittedAmps: buckets.map((one) => one.permitted_sum / one.seconds / 100),
    currentMeanAmps: buckets.map((one) => mean(one.current_sum, one.electric, 100)),
    currentMinAmps: buckets.map((one) => amps(one.current_min)),
    currentMaxAmps: buckets.map((one) => amps(one.current_max)),
    voltageVolts: buckets.map((one) => mean(one.voltage_sum, one.electric, 1000)),
    temperatureCelsius: buckets.map((one) => mean(one.temperature_sum, one.temperature_count, 100)),
    turnsPerMinute: buckets.map((one) => (one.seconds < ROTATION_SECONDS_MIN ? null : (one.pulses / one.seconds) * 60)),
    chargeAmpereHours: buckets.map((one) => one.charge / MILLICOULOMBS_PER_AMPERE_HOUR),
  };
}
