/*
 * Sums over every record of a run: charge, energy, current, temperature. A week takes half a second, so that it is asked in the thread that reads (questions.ts). Energy is
 * the sum over records of voltage by current: sums of minutes do not tell it. It thins nothing and guesses nothing.
 */
import type Database from 'better-sqlite3';
import { MILLICOULOMBS_PER_AMPERE_HOUR, type RunKey, type RunMeasures } from '@bathkeeper/shared-core/trade';

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

export interface SumsAsked extends RunKey {
  readonly fromMs: number;
  readonly toMs: number;
}

/** Of the records that are there. */
export function runSums(database: Database.Database, asked: SumsAsked): RunMeasures {
  return measuresOf(summed(database, asked));
}

function summed(database: Database.Database, { controllerId, run, incarnation, fromMs, toMs }: SumsAsked): SumRow {
  return database
    .prepare<[string, number, number, number, number], SumRow>(
      `SELECT sum(span) AS seconds, max(charge_millicoulombs) AS charge, sum(electric_count) AS electric, sum(current_sum) AS current_sum,
       min(CASE WHEN electric_count > 0 THEN current_min END) AS current_min,
       max(CASE WHEN electric_count > 0 THEN current_max END) AS current_max,
       sum(CASE WHEN electric_count > 0 THEN 1.0 * voltage_sum * current_sum / electric_count END) AS energy,
       sum(temperature_count) AS warm, sum(temperature_sum) AS temperature_sum,
       min(CASE WHEN temperature_count > 0 THEN 1.0 * temperature_sum / temperature_count END) AS temperature_min,
       max(CASE WHEN temperature_count > 0 THEN 1.0 * temperature_sum / temperature_count END) AS temperature_max
     FROM records WHERE controller_id = ? AND run = CAST(? AS INTEGER) AND incarnation = CAST(? AS INTEGER)
       AND taken_at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)`,
    )
    .get(controllerId, run, incarnation, fromMs, toMs)!;
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
