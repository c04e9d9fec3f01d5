/*
 * The night band's series: records of a run thinned to a given number of buckets, so that extremes survive. Asked by the page.
 */
import type { NightPoint, NightSeries, PlannedPoint } from '@bathkeeper/shared-core/messages';
import type { Phase } from '@bathkeeper/shared-core/control';
import { EventKind } from '@bathkeeper/shared-core/control';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import { type Bucket, bucketsOf } from '../keeping/buckets.js';
import type { Store } from '../store/store.js';

export const POINTS_MIN = 10;
export const POINTS_MAX = 4000;

export function nightSeries(
  store: Store,
  run: { controllerId: string; incarnation: number; runNumber: number; startedAtMs: number; endedAtMs: number | null },
  points: number,
  nowMs: number,
  planned: readonly PlannedPoint[],
  alarms: readonly AlarmView[],
): NightSeries {
  const toMs = run.endedAtMs ?? nowMs;
  const { buckets } = bucketsOf(store.database, {
    controllerId: run.controllerId,
    fromMs: run.startedAtMs,
    toMs: Math.max(toMs, run.startedAtMs) + 1,
    points: Math.max(POINTS_MIN, Math.min(points, POINTS_MAX)),
    of: { incarnation: run.incarnation, run: run.runNumber },
  });
  const phases = store.database
    .prepare<(string | number)[], { code: number; at: number }>(
      `SELECT code, taken_at_ms AS at FROM events WHERE controller_id = ? AND run = ? AND incarnation = CAST(? AS INTEGER)
       AND kind = ${String(EventKind.phaseEntered)} AND taken_at_ms <= ? ORDER BY sequence`,
    )
    .all(run.controllerId, run.runNumber, run.incarnation, toMs + 1000);
  return {
    controllerId: run.controllerId,
    runNumber: run.runNumber,
    startedAtMs: run.startedAtMs,
    fromMs: run.startedAtMs,
    toMs: Math.max(toMs, planned.at(-1)?.atMs ?? 0),
    measured: buckets.map((bucket) => pointOf(bucket, toMs)),
    planned,
    alarms: alarms.map((alarm) => ({
      alarmId: alarm.alarmId,
      name: alarm.name,
      atMs: alarm.causeAtMs,
      // The part stands without current until somebody resets a trip, though its cause is mostly gone at once.
      untilMs: alarm.isLatched === true ? null : (alarm.resetAtMs ?? alarm.returnedAtMs),
    })),
    phases: phases.map((row) => ({ phase: row.code as Phase, fromMs: row.at })),
  };
}

function pointOf(row: Bucket, toMs: number): NightPoint {
  const hasElectric = row.electric > 0;
  return {
    atMs: Math.min(row.newest_at_ms, toMs),
    currentAmps: hasElectric ? row.current_sum / row.electric / 100 : null,
    currentAmpsMin: row.current_min === null ? null : row.current_min / 100,
    currentAmpsMax: row.current_max === null ? null : row.current_max / 100,
    permittedAmps: row.permitted_sum / row.seconds / 100,
    terminalVolts: hasElectric ? row.voltage_sum / row.electric / 1000 : null,
    bathTemperatureCelsius: row.temperature_count > 0 ? row.temperature_sum / row.temperature_count / 100 : null,
    rotationPulsesPerMinute: row.seconds >= 10 ? (row.pulses / row.seconds) * 60 : null,
    chargeAmpereHours: row.charge / 3.6e6,
  };
}
