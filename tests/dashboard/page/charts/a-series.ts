/* A series as the dashboard answers it, for the tests of the charts: a steady run at 19 A unless a bucket says otherwise. */
import { Phase } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';

export interface Logged {
  readonly startMs: number;
  readonly seconds?: number;
  readonly run?: number;
  readonly permitted?: number;
  readonly setPoint?: number | null;
  readonly mean?: number | null;
  readonly min?: number | null;
  readonly max?: number | null;
  readonly volts?: number | null;
  /** Least and most; absent: as the mean. */
  readonly voltsSpread?: readonly [number, number];
  /** Least and most; absent: not known. */
  readonly milliohmsSpread?: readonly [number, number];
  readonly celsius?: number | null;
  /** As of volts. */
  readonly celsiusSpread?: readonly [number, number];
  readonly ampereHours?: number;
}

export function aSeries(bucketMs: number, logged: readonly Logged[]): Series {
  const column = <T>(of: (one: Logged) => T): T[] => logged.map(of);
  return {
    controllerId: 'north-bench',
    fromMs: logged[0]?.startMs ?? 0,
    toMs: (logged.at(-1)?.startMs ?? 0) + bucketMs,
    bucketMs,
    source: bucketMs < 60_000 ? 'records' : bucketMs < 600_000 ? 'minutes' : 'ten-minutes',
    startMs: column((one) => one.startMs),
    seconds: column((one) => one.seconds ?? bucketMs / 1000),
    run: column((one) => one.run ?? 3),
    phase: column(() => Phase.plate),
    permittedAmps: column(({ permitted }) => permitted ?? 19.2),
    setPointAmps: column(({ setPoint }) => (setPoint === undefined ? 19.2 : setPoint)),
    currentMeanAmps: column(({ mean }) => (mean === undefined ? 19 : mean)),
    currentMinAmps: column(({ min, mean }) => (min === undefined ? (mean === undefined ? 18.9 : mean) : min)),
    currentMaxAmps: column(({ max, mean }) => (max === undefined ? (mean === undefined ? 19.1 : mean) : max)),
    voltageVolts: column(({ volts }) => (volts === undefined ? 1.9 : volts)),
    voltageMinVolts: column(({ volts, voltsSpread }) => voltsSpread?.[0] ?? (volts === undefined ? 1.9 : volts)),
    voltageMaxVolts: column(({ volts, voltsSpread }) => voltsSpread?.[1] ?? (volts === undefined ? 1.9 : volts)),
    resistanceMinMilliohms: column(({ milliohmsSpread }) => milliohmsSpread?.[0] ?? null),
    resistanceMaxMilliohms: column(({ milliohmsSpread }) => milliohmsSpread?.[1] ?? null),
    temperatureCelsius: column(({ celsius }) => (celsius === undefined ? 24.1 : celsius)),
    temperatureMinCelsius: column(
      ({ celsius, celsiusSpread }) => celsiusSpread?.[0] ?? (celsius === undefined ? 24.1 : celsius),
    ),
    temperatureMaxCelsius: column(
      ({ celsius, celsiusSpread }) => celsiusSpread?.[1] ?? (celsius === undefined ? 24.1 : celsius),
    ),
    rotationPulsesPerMinute: column(() => 12),
    chargeAmpereHours: column((one) => one.ampereHours ?? 64.1),
  };
}

/** Buckets one after the other from a moment on. */
export const inARow = (fromMs: number, bucketMs: number, count: number): Logged[] =>
  Array.from({ length: count }, (_, index) => ({ startMs: fromMs + index * bucketMs }));
