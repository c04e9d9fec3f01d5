/*
 * Sums over every record of a run: charge, energy, current, temperature. Called for the run record, and by the dashboard's clock for each run that has
 * ended: what is summed is kept, so that it outlives the records. It thins nothing and guesses nothing.
 */
import type { RunKey, RunMeasures } from '@bathkeeper/shared-core/trade';
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

/** Records of an outage may come long after the end; then the run is summed once more. */
const SUMMED_AGAIN_AFTER_MS = 86_400_000;
/** Runs summed in one step, so that no message waits for it. */
const RUNS_IN_A_STEP = 1;

export interface RunMeasuring {
  /** From the records that are there, or as it was kept where more was there once. */
  measures(run: RunKey, fromMs: number, toMs: number): RunMeasures;
  /** Keeps the sums of a run that has ended; called now and then. */
  keepNext(nowMs: number): void;
}

interface SumRow {
  seconds: number | null;
  charge: number | null;
  electric: number | null;
  current_sum: number | null;
  current_min: number | null;
  current_max: number | null;
  /** Millivolt times centiampere times seconds. */
  energy: number | null;
  warm: number | null;
  temperature_sum: number | null;
  temperature_min: number | null;
  temperature_max: number | null;
}

interface EndedRow {
  controller_id: string;
  incarnation: number;
  run: number;
  started_at_ms: number;
  ended_at_ms: number;
}

export function openRunMeasuring({ database }: Store): RunMeasuring {
  const sum = database.prepare<[string, number, number, number, number], SumRow>(
    `SELECT sum(span) AS seconds, max(charge_millicoulombs) AS charge, sum(electric_count) AS electric, sum(current_sum) AS current_sum,
       min(CASE WHEN electric_count > 0 THEN current_min END) AS current_min,
       max(CASE WHEN electric_count > 0 THEN current_max END) AS current_max,
       sum(CASE WHEN electric_count > 0 THEN 1.0 * voltage_sum * current_sum / electric_count END) AS energy,
       sum(temperature_count) AS warm, sum(temperature_sum) AS temperature_sum,
       min(CASE WHEN temperature_count > 0 THEN 1.0 * temperature_sum / temperature_count END) AS temperature_min,
       max(CASE WHEN temperature_count > 0 THEN 1.0 * temperature_sum / temperature_count END) AS temperature_max
     FROM records WHERE controller_id = ? AND run = CAST(? AS INTEGER) AND incarnation = CAST(? AS INTEGER)
       AND taken_at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)`,
  );
  const readKept = database.prepare<[string, number, number], { recorded_seconds: number; measures: string }>(
    `SELECT recorded_seconds, measures FROM run_measures
     WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)`,
  );
  const keep = database.prepare(
    `INSERT OR REPLACE INTO run_measures
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?)`,
  );
  // A run whose end nobody heard has ended when the next one of its controller began.
  const endedUnkept = database.prepare<[number, number], EndedRow>(
    `SELECT * FROM (
       SELECT r.controller_id, r.incarnation, r.run, r.started_at_ms, coalesce(r.ended_at_ms, (
         SELECT min(n.started_at_ms) FROM runs n WHERE n.controller_id = r.controller_id AND n.started_at_ms > r.started_at_ms)) AS ended_at_ms,
         m.measured_at_ms
       FROM runs r LEFT JOIN run_measures m ON m.controller_id = r.controller_id AND m.incarnation = r.incarnation AND m.run = r.run)
     WHERE ended_at_ms IS NOT NULL AND (measured_at_ms IS NULL
       OR (measured_at_ms < ended_at_ms + ${String(SUMMED_AGAIN_AFTER_MS)} AND ended_at_ms + ${String(SUMMED_AGAIN_AFTER_MS)} <= ?))
     ORDER BY started_at_ms DESC LIMIT CAST(? AS INTEGER)`,
  );

  const logged = database
    .prepare<[string, number, number, number, number], number>(
      `SELECT coalesce(sum(t.seconds), 0) FROM memories m JOIN ten_minutes t ON t.controller = m.controller AND t.memory = m.memory
       WHERE m.controller_id = ? AND m.incarnation = CAST(? AS INTEGER) AND t.run = CAST(? AS INTEGER)
         AND t.ten_minute BETWEEN CAST(? AS INTEGER) / 600000 - 1 AND CAST(? AS INTEGER) / 600000`,
    )
    .pluck();

  const measures: RunMeasuring['measures'] = ({ controllerId, incarnation, run }, fromMs, toMs) => {
    const kept = readKept.get(controllerId, incarnation, run);
    // Nothing came since: a night of records need not be read again.
    if (kept !== undefined && kept.recorded_seconds >= logged.get(controllerId, incarnation, run, fromMs, toMs)!)
      return JSON.parse(kept.measures) as RunMeasures;
    const row = sum.get(controllerId, run, incarnation, fromMs, toMs)!;
    if (kept !== undefined && kept.recorded_seconds > (row.seconds ?? 0))
      return JSON.parse(kept.measures) as RunMeasures;
    return measuresOf(row);
  };
  return {
    measures,
    keepNext: (nowMs) => {
      for (const row of endedUnkept.all(nowMs, RUNS_IN_A_STEP)) {
        const key = { controllerId: row.controller_id, incarnation: row.incarnation, run: row.run };
        const summed = measures(key, row.started_at_ms, row.ended_at_ms);
        keep.run(key.controllerId, key.incarnation, key.run, nowMs, summed.recordedSeconds, JSON.stringify(summed));
      }
    },
  };
}

function measuresOf(row: SumRow): RunMeasures {
  const electric = row.electric ?? 0;
  const warm = row.warm ?? 0;
  const hundredth = (value: number | null): number | null => (value === null ? null : value / 100);
  return {
    recordedSeconds: row.seconds ?? 0,
    chargeAmpereHours: (row.charge ?? 0) / MILLICOULOMBS_PER_AMPERE_HOUR,
    // Millivolt × centiampere is a hundred-thousandth of a watt.
    energyWattHours: row.energy === null ? null : row.energy / 1e5 / 3600,
    currentMeanAmps: electric === 0 ? null : row.current_sum! / electric / 100,
    currentMinAmps: hundredth(row.current_min),
    currentMaxAmps: hundredth(row.current_max),
    bathMeanCelsius: warm === 0 ? null : row.temperature_sum! / warm / 100,
    bathMinCelsius: hundredth(row.temperature_min),
    bathMaxCelsius: hundredth(row.temperature_max),
  };
}
