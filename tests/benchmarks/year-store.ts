/*
 * Fills a store with a year of three baths at one record a second: each second of its last days, minutes and ten minutes of all of it. Loaded in
 * bulk, since a year cannot be waited for, but in the order in which it would have been written (the baths in turns), so that the file is as large
 * and as scattered as one that grew. Called by the year's benchmark and, with a few days, by its test.
 */
import Database from 'better-sqlite3';
import { recipeRow } from '@bathkeeper/dashboard';
import { Condition, EventKind, Phase, type Recipe } from '@bathkeeper/shared-core/control';

const DAY_SECONDS = 86_400;
const EXTREMES = ['voltage', 'resistance', 'temperature'] as const;
const KEPT = EXTREMES.flatMap((one) => [`${one}_min`, `${one}_max`]).join(', ');
const WIDEST = EXTREMES.flatMap((one) => [`min(${one}_min)`, `max(${one}_max)`]).join(', ');
/** Of a record of one second, as all of these are, and of no voltage below zero: said again here, and not taken from what is measured. */
const EXTREMES_OF_RECORD = `CASE WHEN electric_count > 0 THEN voltage_sum END AS voltage_min, CASE WHEN electric_count > 0 THEN voltage_sum END AS voltage_max,
  CASE WHEN electric_count > 0 AND current_sum >= 20 THEN voltage_sum * 100000 / current_sum END AS resistance_min,
  CASE WHEN electric_count > 0 AND current_sum >= 20 THEN (voltage_sum * 100000 + current_sum - 1) / current_sum END AS resistance_max,
  CASE WHEN temperature_count > 0 THEN temperature_sum END AS temperature_min, CASE WHEN temperature_count > 0 THEN temperature_sum END AS temperature_max`;
export const MEMORY_OF_YEAR = 7;
const PLATING_SECONDS = 72_000;
const RECIPE: Recipe = {
  ...{ recipeId: 1, areaDm2: 12, strikeAmps: 19.2, strikeSeconds: 0, rampSeconds: 0, plateAmps: 19.2 },
  ...{
    chargeMilliCoulombs: PLATING_SECONDS * 19_200,
    finishAmps: 0,
    finishSeconds: 0,
    holdAmps: 2,
    longestSeconds: 86_400,
  },
  ...{ rotationPulsesPerMinute: 6, startCelsiusMin: 18, bathWarnCelsius: 28, bathHoldCelsius: 32 },
};
/** Each night the bath grows warm so many times, and cools again. */
const WARM_TIMES = 8;

export interface YearAsked {
  /** Of an empty store in which the controllers are paired. */
  readonly file: string;
  readonly controllerIds: readonly string[];
  /** Whole days; `rawDays` of them with each second. */
  readonly days: number;
  readonly rawDays: number;
  /** The end of the last whole day, milliseconds. */
  readonly endMs: number;
}

export interface LoadedYear {
  readonly beginMs: number;
  readonly rawFromMs: number;
  readonly endMs: number;
  readonly rawRecords: number;
  /** The number of the newest record of each controller, and its run's count. */
  readonly newest: number;
}

/*
 * A second of a bath: 20 hours of plating at 19.2 A and 4 of standing each day, a run a day, readings that mutter, and now and then a spike of one
 * second. `t` is the second since 1970 in which it ended, `n` the bath. The numbers only have to be as long as real ones and differ from each other.
 */
const SECONDS_OF_A_DAY = `
  WITH RECURSIVE seconds(s) AS (SELECT 0 UNION ALL SELECT s + 1 FROM seconds WHERE s < ${String(DAY_SECONDS - 1)}),
    baths AS (SELECT memory AS n FROM memories),
    drawn AS (SELECT n, s, :dayStart + s AS t, s < 72000 AS plating, ((:dayStart + s) * 7919 + n * 104729) % 25 - 12 AS noise,
      ((:dayStart + s) * 31 + n * 17) % 9973 = 0 AS spike FROM seconds CROSS JOIN baths)
  INSERT INTO raw_records
    SELECT n, t * 1000 + n * 137, n, t - :yearStart + 1, 1, 1, (t - :yearStart) * 10 + 10, (:dayStart - :yearStart) / ${String(DAY_SECONDS)} + 1,
      CASE WHEN plating THEN ${String(Phase.plate)} ELSE ${String(Phase.done)} END, 0, min(s + 1, 72000) * 19200, plating * 1920, 1, plating * 1920 + noise, plating * 1920 + noise - 3,
      plating * 1920 + noise + 5 + spike * 900, plating * 2100 + noise * 2 + 24, 1, 2400 + (t / 600) % 60, (t + n) % 10 = 0, 0
    FROM drawn`;

/** As the store sums them, see logged-records.ts. The count begins anew with each day's run. */
const MINUTES_OF_A_DAY = `
  INSERT INTO minutes
    SELECT controller, taken_at_ms / 60000, memory, run, count(*), max(first * 16 + phase) % 16, max(charge_millicoulombs), sum(added),
      sum(permitted_sum), sum(electric_count), sum(current_sum), min(current_min), max(current_max), sum(voltage_sum), sum(temperature_count),
      sum(temperature_sum), sum(pulses), ${WIDEST}
    FROM (SELECT *, ${EXTREMES_OF_RECORD}, charge_millicoulombs - coalesce(lag(charge_millicoulombs) OVER (ORDER BY taken_at_ms), 0) AS added
      FROM raw_records WHERE controller = :controller AND taken_at_ms >= :dayStart * 1000 AND taken_at_ms < (:dayStart + ${String(DAY_SECONDS)}) * 1000)
    GROUP BY 1, 2, 3, 4`;

/** The days before those whose seconds are kept look like them. */
const EARLIER_MINUTES = `
  INSERT INTO minutes
    SELECT controller, minute - :shift * 1440, memory, run - :shift, seconds, phase, charge_millicoulombs, charge_added, permitted_sum, electric_count,
      current_sum, current_min, current_max, voltage_sum, temperature_count, temperature_sum, pulses, ${KEPT}
    FROM minutes WHERE controller = :controller AND minute >= :rawStart / 60 AND minute >= :yearStart / 60 + :shift * 1440`;

const TEN_MINUTES = `
  INSERT INTO ten_minutes
    SELECT controller, minute / 10, memory, run, sum(seconds), max(minute * 16 + phase) % 16, max(charge_millicoulombs), sum(charge_added),
      sum(permitted_sum), sum(electric_count), sum(current_sum), min(current_min), max(current_max), sum(voltage_sum), sum(temperature_count),
      sum(temperature_sum), sum(pulses), ${WIDEST}
    FROM minutes GROUP BY 1, 2, 3, 4`;

/** What the controller told of a day's run: second into it, kind, code, a, b. */
function toldOfRun(run: number): number[][] {
  const warm = Array.from({ length: WARM_TIMES }, (_, index) => {
    const second = (index + 1) * 8000;
    return [
      [second, EventKind.conditionRaised, Condition.bathWarm, 28_100, 28_000],
      [second + 10, EventKind.conditionCleared, Condition.bathWarm, 10, 0],
    ];
  }).flat();
  return [
    [0, EventKind.runStarted, 0, RECIPE.recipeId, run],
    [0, EventKind.phaseEntered, Phase.plate, Phase.ready, 0],
    ...warm,
    [PLATING_SECONDS, EventKind.phaseEntered, Phase.done, Phase.plate, PLATING_SECONDS * 19.2],
    [PLATING_SECONDS, EventKind.runEnded, 0, PLATING_SECONDS * 19.2, PLATING_SECONDS],
  ];
}
const EVENTS_A_RUN = toldOfRun(1).length;

function loadRuns(database: Database.Database, controllerIds: readonly string[], days: number, yearStart: number): void {
  const insertRun = database.prepare(wholeNumbers(`INSERT INTO runs VALUES (@id, :run, ${String(MEMORY_OF_YEAR)}, 1, :fromMs, :toMs, 0, :charge)`));
  const insertEvent = database.prepare(wholeNumbers(`INSERT INTO events VALUES (@id, ${String(MEMORY_OF_YEAR)}, :sequence, 1, :uptime, :atMs, :run, :kind, :code, :a, :b)`));
  database.prepare('INSERT INTO recipes VALUES (1, ?, 0, ?, ?)').run(controllerIds[0], '{}', JSON.stringify(recipeRow(RECIPE)));
  for (const id of controllerIds)
    for (let run = 1, sequence = 1; run <= days; run++) {
      const start = yearStart + (run - 1) * DAY_SECONDS;
      insertRun.run({ id, run, fromMs: start * 1000, toMs: (start + PLATING_SECONDS) * 1000, charge: PLATING_SECONDS * 19_200 });
      for (const [second, kind, code, a, b] of toldOfRun(run)) {
        const at = start + second!;
        insertEvent.run({ id, sequence: sequence++, uptime: (at - yearStart) * 10, atMs: at * 1000, run, kind, code, a, b });
      }
    }
} // prettier-ignore

/** The numbers in them are whole: the driver hands over REAL. */
function wholeNumbers(sql: string): string {
  return sql.replace(/:(\w+)/g, 'CAST(:$1 AS INTEGER)');
}

export function loadYear({ file, controllerIds, days, rawDays, endMs }: YearAsked): LoadedYear {
  const yearStart = endMs / 1000 - days * DAY_SECONDS;
  const rawStart = endMs / 1000 - rawDays * DAY_SECONDS;
  const newest = days * DAY_SECONDS;
  const database = new Database(file);
  try {
    // What is loaded here is thrown away if the power goes.
    database.pragma('journal_mode = OFF');
    database.pragma('synchronous = OFF');
    database.pragma('cache_size = -65536');
    const run = (sql: string, numbers: Record<string, number>): void => {
      database.prepare(wholeNumbers(sql)).run(numbers);
    };
    for (const [index, controllerId] of controllerIds.entries()) {
      const controller = index + 1;
      database.prepare(`INSERT INTO memories VALUES (${String(controller)}, ${String(controller)}, ?, ${String(MEMORY_OF_YEAR)}, ${String(endMs - 1000 + controller * 137)}, ${String(Phase.done)}, ${String(days)}, ${String(PLATING_SECONDS * 19_200)})`).run(controllerId);
      database.prepare(`INSERT INTO queues (controller_id, incarnation, records_through, events_through, records_stored) VALUES (?, ${String(MEMORY_OF_YEAR)}, ${String(newest)}, ${String(days * EVENTS_A_RUN)}, ${String(newest)})`).run(controllerId);
      database.prepare(`INSERT INTO boots VALUES (?, ${String(MEMORY_OF_YEAR)}, 1, ${String(yearStart * 1000)})`).run(controllerId);
      if (rawDays < days) database.exec(`INSERT INTO raw_ends VALUES (${String(controller)}, ${String(rawStart * 1000)})`);
    } // prettier-ignore
    database.transaction(() => {
      loadRuns(database, controllerIds, days, yearStart);
    })();
    const controllers = controllerIds.map((_, index) => index + 1);
    for (let dayStart = rawStart; dayStart < rawStart + rawDays * DAY_SECONDS; dayStart += DAY_SECONDS)
      database.transaction(() => {
        run(SECONDS_OF_A_DAY, { dayStart, yearStart });
        for (const controller of controllers) run(MINUTES_OF_A_DAY, { dayStart, controller });
      })();
    for (let shift = rawDays; shift < days; shift += rawDays)
      for (const controller of controllers) run(EARLIER_MINUTES, { shift, controller, rawStart, yearStart });
    database.exec(TEN_MINUTES);
    database.pragma('journal_mode = WAL');
  } finally {
    database.close();
  }
  return {
    beginMs: yearStart * 1000,
    rawFromMs: rawStart * 1000,
    endMs,
    rawRecords: controllerIds.length * rawDays * DAY_SECONDS,
    newest,
  };
}

/** Summed minutes since `fromMs` that differ in any column from the sums of their records, as said by the records themselves. */
export function inexactMinutes(file: string, fromMs: number): number {
  const database = new Database(file, { readonly: true });
  try {
    return database
      .prepare<[number, number], number>(
        `WITH asked AS (SELECT CAST(? AS INTEGER) / 60000 AS first_minute),
           summed AS (SELECT controller, taken_at_ms / 60000 AS minute, memory, run, count(*), max(charge_millicoulombs), sum(current_sum),
             min(current_min), max(current_max), sum(pulses), sum(voltage_sum), sum(temperature_sum), ${WIDEST}
             FROM memories m JOIN (SELECT *, ${EXTREMES_OF_RECORD} FROM raw_records) USING (controller, memory) WHERE taken_at_ms >= CAST(? AS INTEGER) / 60000 * 60000 GROUP BY 1, 2, 3, 4),
           kept AS (SELECT controller, minute, memory, run, seconds, charge_millicoulombs, current_sum, current_min, current_max, pulses, voltage_sum,
             temperature_sum, ${KEPT} FROM memories JOIN minutes USING (controller, memory), asked WHERE minute >= first_minute)
         SELECT (SELECT count(*) FROM (SELECT * FROM summed EXCEPT SELECT * FROM kept)) + (SELECT count(*) FROM (SELECT * FROM kept EXCEPT SELECT * FROM summed))`,
      )
      .pluck()
      .get(fromMs, fromMs)!;
  } finally {
    database.close();
  }
}

/** Sums of ten minutes that differ in any column from those of their minutes, which stay for ever as they do. */
export function inexactTenMinutes(file: string): number {
  const database = new Database(file, { readonly: true });
  const sums = `seconds, charge_added, permitted_sum, electric_count, current_sum, voltage_sum, temperature_count, temperature_sum, pulses`;
  try {
    return database
      .prepare<[], number>(
        `WITH kept AS (SELECT controller, ten_minute, memory, run, charge_millicoulombs, current_min, current_max, ${sums}, ${KEPT} FROM ten_minutes),
           summed AS (SELECT controller, minute / 10, memory, run, max(charge_millicoulombs), min(current_min), max(current_max),
             ${sums.replace(/\w+/g, 'sum($&)')}, ${WIDEST} FROM minutes GROUP BY 1, 2, 3, 4)
         SELECT (SELECT count(*) FROM (SELECT * FROM summed EXCEPT SELECT * FROM kept)) + (SELECT count(*) FROM (SELECT * FROM kept EXCEPT SELECT * FROM summed))`,
      )
      .pluck()
      .get()!;
  } finally {
    database.close();
  }
}
