/*
 * The logbook: every run in a list, and one run with everything that is known of it, from plan to finish. Asked by the routes of the logbook and by the run
 * sheet. It reads what other rooms have stored; what a run has become is computed by the core.
 */
import {
  MILLICOULOMBS_PER_AMPERE_HOUR,
  type CalibrationInForce,
  depositOfRun,
  happenedInRun,
  interruptionsOfRun,
  phasesOfRun,
  type RunKey,
  type RunListEntry,
  type RunRecord,
  type ToldEvent,
  type WeighedInBath,
  weighedDeposit,
  weighingsOf,
} from '@bathkeeper/shared-core/trade';
import { BringUpStep, isImported } from '@bathkeeper/shared-core/messages';
import { EventKind } from '@bathkeeper/shared-core/control';
import { endWords } from '../baths/answer-words.js';
import type { BathBook, RunRow } from '../baths/bath-book.js';
import type { Store } from '../store/store.js';
import type { AlarmList } from '../watch/alarm-list.js';
import { importedStories } from '../watch/imported-alarms.js';
import type { RecipePlans } from './recipe-plans.js';
import type { AgeOfBath } from './bath-age.js';
import type { CostOfRun } from './run-costs.js';
import type { RunEntries } from './run-entries.js';
import type { RunMeasuring } from './run-measures.js';

export const RUNS_IN_A_LIST = 200;
const FOR_EVER_MS = Number.MAX_SAFE_INTEGER;
/** Of an imported run without an end of its own; a controller always tells why it ended. */
const FILE_OF_OPEN_RUN = 'its file was written while it went on';
/** An alarm that changed more often has other troubles. */
const JOURNAL_OF_AN_ALARM = 60;
/** Steps whose outcome a run stands on. */
const CALIBRATION_STEPS = [
  BringUpStep.currentCalibrated,
  BringUpStep.temperatureCalibrated,
  BringUpStep.limitsSet,
  BringUpStep.supplyCalibrated,
];

/** A recipe that names no bath is of bright acid copper, as is a plan that names none. */
const UNNAMED_BATH = 'bright-copper';

export interface Logbook {
  /** Newest first; `beforeMs`: those that started earlier. */
  list(beforeMs: number, count: number): RunListEntry[];
  /** Every run of the logbook that was weighed before and after. */
  weighed(nowMs: number): Promise<WeighedInBath[]>;
  /** undefined: there is no such run. Rejects with UnreadRecords. All but its sums is as it stands when they are there. */
  record(key: RunKey, nowMs: number): Promise<RunRecord | undefined>;
}

const NOT_DELETED =
  'NOT EXISTS (SELECT 1 FROM deleted_runs d WHERE d.controller_id = o.controller_id AND d.incarnation = o.incarnation AND d.run = o.run)';

interface ListedRow extends RunRow {
  /** Its end, else the start of its controller's next run, else FOR_EVER_MS. */
  latest_ms: number;
  last_charge: number | null;
  alarm_count: number;
}

export interface LogbookParts {
  readonly store: Store;
  readonly book: BathBook;
  readonly alarms: AlarmList;
  readonly plans: RecipePlans;
  readonly measuring: RunMeasuring;
  readonly entries: RunEntries;
  readonly costOf: CostOfRun;
  readonly ageOf: AgeOfBath;
}

export function openLogbook({ store, book, alarms, plans, measuring, entries, costOf, ageOf }: LogbookParts): Logbook {
  const { database } = store;
  // A run whose end nobody heard lasted until the next one of its controller at most; within these bounds its newest record is found at once.
  const listed = database.prepare<[number, number], ListedRow>(
    `SELECT r.*,
       (SELECT charge_millicoulombs FROM records c WHERE r.ended_at_ms IS NULL AND c.controller_id = r.controller_id AND c.run = r.run
         AND c.incarnation = r.incarnation AND c.taken_at_ms BETWEEN r.started_at_ms AND r.latest_ms ORDER BY c.taken_at_ms DESC LIMIT 1) AS last_charge,
       (SELECT count(*) FROM alarms a WHERE a.controller_id = r.controller_id AND a.raised_at_ms BETWEEN r.started_at_ms AND r.latest_ms)
         + (SELECT count(*) FROM imported_alarms i WHERE i.controller_id = r.controller_id) AS alarm_count
     FROM (SELECT *, coalesce(ended_at_ms, (SELECT min(n.started_at_ms) FROM runs n
         WHERE n.controller_id = o.controller_id AND n.started_at_ms > o.started_at_ms), ${String(FOR_EVER_MS)}) AS latest_ms
       FROM runs o WHERE o.started_at_ms < CAST(? AS INTEGER) AND ${NOT_DELETED} ORDER BY o.started_at_ms DESC LIMIT CAST(? AS INTEGER)) r
     ORDER BY r.started_at_ms DESC`,
  );
  const one = database.prepare<[string, number, number], RunRow>(
    `SELECT * FROM runs o WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER) AND ${NOT_DELETED}`,
  );
  const nextStart = database.prepare<[string, number], { at: number | null }>(
    'SELECT min(started_at_ms) AS at FROM runs WHERE controller_id = ? AND started_at_ms > CAST(? AS INTEGER)',
  );
  const lastRecord = database.prepare<[string, number, number, number, number], { at: number }>(
    `SELECT taken_at_ms AS at FROM records WHERE controller_id = ? AND run = CAST(? AS INTEGER) AND incarnation = CAST(? AS INTEGER)
       AND taken_at_ms BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER) ORDER BY taken_at_ms DESC LIMIT 1`,
  );
  const told = database.prepare<[string, number, number], ToldEvent>(
    `SELECT taken_at_ms AS atMs, kind, code, a, b FROM events
     WHERE controller_id = ? AND run = CAST(? AS INTEGER) AND incarnation = CAST(? AS INTEGER) ORDER BY sequence`,
  );
  const calibrated = database.prepare<[string, number, number], CalibrationInForce>(
    `SELECT code AS step, taken_at_ms AS atMs, a FROM events WHERE controller_id = ? AND kind = ${String(EventKind.bringUpDone)}
     AND code = CAST(? AS INTEGER) AND taken_at_ms <= CAST(? AS INTEGER) ORDER BY taken_at_ms DESC LIMIT 1`,
  );

  const imported = database.prepare<[string], { bathName: string; isSimulated: number }>(
    `SELECT header ->> '$.run.bathName' AS bathName, header ->> '$.run.isSimulated' AS isSimulated FROM imported_runs WHERE controller_id = ?`,
  );

  const bathOf = (controllerId: string): { bathName: string; isSimulated: boolean } => {
    const from = imported.get(controllerId);
    if (from !== undefined) return { bathName: `${from.bathName}, imported`, isSimulated: from.isSimulated === 1 };
    const paired = book.bath(controllerId)?.paired;
    // Of one that is not paired any more its id is all that is left.
    return paired === undefined
      ? { bathName: controllerId, isSimulated: store.setting(`simulated:${controllerId}`) !== undefined }
      : { bathName: paired.bathName, isSimulated: paired.isSimulated };
  };
  const keyOf = (row: RunRow): RunKey => ({
    controllerId: row.controller_id,
    incarnation: row.incarnation,
    run: row.run,
  });
  const endOf = (row: RunRow): Pick<RunRecord, 'startedAtMs' | 'endedAtMs' | 'endedBecause'> => ({
    startedAtMs: row.started_at_ms,
    endedAtMs: row.ended_at_ms,
    endedBecause:
      row.ended_at_ms === null ? null : row.ended_code === null ? FILE_OF_OPEN_RUN : endWords(row.ended_code),
  });
  /** Whether it goes on: it has not ended, and none of its controller began after it. */
  const lastedUntil = (row: RunRow, nowMs: number): { untilMs: number; isOpen: boolean } => {
    if (row.ended_at_ms !== null) return { untilMs: row.ended_at_ms, isOpen: false };
    const next = nextStart.get(row.controller_id, row.started_at_ms)?.at ?? null;
    if (next === null) return { untilMs: nowMs, isOpen: true };
    const last = lastRecord.get(row.controller_id, row.run, row.incarnation, row.started_at_ms, next)?.at;
    return { untilMs: last ?? row.started_at_ms, isOpen: false };
  };

  return {
    list: (beforeMs, count) =>
      listed.all(beforeMs, Math.min(count, RUNS_IN_A_LIST)).map((row): RunListEntry => {
        const recipe = book.recipe(row.recipe_id);
        const charge = row.ended_at_ms === null ? (row.last_charge ?? 0) : row.charge_millicoulombs;
        const chargeAmpereHours = charge / MILLICOULOMBS_PER_AMPERE_HOUR;
        return {
          ...keyOf(row),
          ...bathOf(row.controller_id),
          ...endOf(row),
          goesOn: row.latest_ms === FOR_EVER_MS,
          partName: recipe?.partName ?? null,
          chargeAmpereHours,
          askedChargeAmpereHours: recipe?.chargeAmpereHours ?? null,
          averageThicknessMicrometres:
            recipe === undefined || recipe.chargeAmpereHours <= 0
              ? null
              : (recipe.averageThicknessMicrometres * chargeAmpereHours) / recipe.chargeAmpereHours,
          alarmCount: row.alarm_count,
        };
      }),
    weighed: async (nowMs) => {
      const found: WeighedInBath[] = [];
      for (const key of entries.weighedRuns()) {
        const row = one.get(key.controllerId, key.incarnation, key.run);
        const weighings = row === undefined ? undefined : weighingsOf(entries.ofRun(key));
        if (row === undefined || weighings === undefined) continue;
        const recipe = book.recipe(row.recipe_id) ?? null;
        // The controller's own word at the end; records are summed only where nobody heard it.
        const told = row.charge_millicoulombs / MILLICOULOMBS_PER_AMPERE_HOUR;
        const chargeAmpereHours =
          row.ended_at_ms !== null && told > 0
            ? told
            : (await measuring.measures(key, row.started_at_ms, lastedUntil(row, nowMs).untilMs)).chargeAmpereHours;
        found.push({
          controllerId: row.controller_id,
          startedAtMs: row.started_at_ms,
          ...bathOf(row.controller_id),
          profile: recipe?.bath ?? UNNAMED_BATH,
          chargeAmpereHours,
          weighed: weighedDeposit(weighings, { recipe, chargeAmpereHours }),
        });
      }
      return found;
    },
    record: async (key, nowMs) => {
      const { controllerId } = key;
      const known = one.get(controllerId, key.incarnation, key.run);
      if (known === undefined) return undefined;
      const summed = await measuring.measures(key, known.started_at_ms, lastedUntil(known, nowMs).untilMs);
      // Meanwhile it may have ended, or been deleted.
      const row = one.get(controllerId, key.incarnation, key.run);
      if (row === undefined) return undefined;
      const { untilMs, isOpen } = lastedUntil(row, nowMs);
      const recipe = book.recipe(row.recipe_id) ?? null;
      const plan = recipe === null ? null : plans.of(recipe.recipeId);
      const written = entries.ofRun(key);
      const weighings = weighingsOf(written);
      const events = told.all(controllerId, row.run, row.incarnation);
      // The controller's own word at the end counts what records may lack; it is in whole coulombs.
      const chargeAmpereHours = Math.max(
        summed.chargeAmpereHours,
        row.charge_millicoulombs / MILLICOULOMBS_PER_AMPERE_HOUR,
      );
      const measures = { ...summed, chargeAmpereHours };
      return {
        ...keyOf(row),
        ...bathOf(controllerId),
        ...endOf(row),
        recipe,
        plan,
        lastedUntilMs: untilMs,
        goesOn: isOpen,
        phases: phasesOfRun(events, untilMs),
        interruptions: interruptionsOfRun(events, untilMs, isOpen),
        happened: happenedInRun(events),
        measures,
        deposit: recipe === null ? null : (depositOfRun(recipe, plan, chargeAmpereHours) ?? null),
        calibration: CALIBRATION_STEPS.flatMap((step) => calibrated.all(controllerId, step, row.started_at_ms)),
        alarms: isImported(controllerId)
          ? importedStories(store, controllerId).map(({ alarm, journal }) => ({
              alarm,
              journal: journal.slice(-JOURNAL_OF_AN_ALARM),
            }))
          : alarms.ofRun(controllerId, row.started_at_ms, untilMs, nowMs).map((alarm) => ({
              alarm,
              journal: alarms.journal({ alarmId: alarm.alarmId, count: JOURNAL_OF_AN_ALARM }).reverse(),
            })),
        entries: written,
        weighed: weighings === undefined ? null : weighedDeposit(weighings, { recipe, chargeAmpereHours }),
        bathAge: ageOf({ controllerId, startedAtMs: row.started_at_ms, lastedUntilMs: untilMs }),
        cost: costOf({ controllerId, recipe, plan, measures, startedAtMs: row.started_at_ms, lastedUntilMs: untilMs }),
      };
    },
  };
}
