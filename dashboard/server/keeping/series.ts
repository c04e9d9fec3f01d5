/*
 * What was logged of a controller between two instants as a Series, in trade units; null for what was not read. Asked by series-routes.ts.
 */
import type Database from 'better-sqlite3';
import type { Phase } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';
import { meanSetPointAmps, MILLICOULOMBS_PER_AMPERE_HOUR, type SetPointStretch } from '@bathkeeper/shared-core/trade';
import { type Bucket, type BucketQuestion, bucketsOf } from './buckets.js';
import { LATE_MS, pulsesPerMinute } from './rotation-rate.js';
import { toldSetPoints } from './told-set-points.js';

export type SeriesQuestion = Omit<BucketQuestion, 'of'>;

export function seriesOf(database: Database.Database, asked: SeriesQuestion): Series {
  const { controllerId, fromMs, toMs } = asked;
  const { source, bucketMs, buckets } = bucketsOf(database, asked);
  const course = toldSetPoints(database, asked);
  const mean = (sum: number, count: number, unit: number): number | null => (count > 0 ? sum / count / unit : null);
  const each = (name: keyof Bucket, unit: number): (number | null)[] =>
    buckets.map((one) => (one[name] === null ? null : one[name] / unit));
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
    permittedAmps: buckets.map(permittedAmps),
    setPointAmps: buckets.map((one) => setPointOf(course, one, bucketMs)),
    currentMeanAmps: buckets.map((one) => mean(one.current_sum, one.electric, 100)),
    currentMinAmps: each('current_min', 100),
    currentMaxAmps: each('current_max', 100),
    voltageVolts: buckets.map((one) => mean(one.voltage_sum, one.electric, 1000)),
    voltageMinVolts: each('voltage_min', 1000),
    voltageMaxVolts: each('voltage_max', 1000),
    resistanceMinMilliohms: each('resistance_min', 1000),
    resistanceMaxMilliohms: each('resistance_max', 1000),
    temperatureCelsius: buckets.map((one) => mean(one.temperature_sum, one.temperature_count, 100)),
    temperatureMinCelsius: each('temperature_min', 100),
    temperatureMaxCelsius: each('temperature_max', 100),
    rotationPulsesPerMinute: buckets.map((_, index) => pulsesPerMinute(buckets, bucketMs, index)),
    chargeAmpereHours: buckets.map((one) => one.charge / MILLICOULOMBS_PER_AMPERE_HOUR),
  };
}

function permittedAmps({ permitted_sum: sum, seconds }: Bucket): number {
  return sum / seconds / 100;
}

/** A record tells of the seconds before it was taken; what an outage merged reaches back before its bucket. */
function setPointOf(course: readonly SetPointStretch[], one: Bucket, bucketMs: number): number | null {
  const loggedMs = one.seconds * 1000;
  const untilMs = one.newest_at_ms;
  const fromMs = Math.min(one.bucket * bucketMs, untilMs - loggedMs);
  const isWhole = untilMs - fromMs - loggedMs <= LATE_MS;
  return meanSetPointAmps(course, { fromMs, untilMs, phase: one.phase as Phase, permittedMeanAmps: permittedAmps(one), isWhole });
} // prettier-ignore
