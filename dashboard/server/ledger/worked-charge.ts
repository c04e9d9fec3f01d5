/*
 * The charge that went through a bath: of every run that its controller began while the bath stood under it, in all and when each entry was done. Called by the
 * ledger's routes and for the bath's age on a run sheet. The controller's own count, whole millicoulombs; an entry is placed to the minute.
 */
import {
  type ControllerSpan,
  controllerSpans,
  dosedAtMs,
  inOrder,
  type LedgerBath,
  type LedgerEntry,
  type Worked,
} from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { openOwnSpans } from './own-spans.js';

interface RunRow {
  incarnation: number;
  run: number;
  charge: number;
  startedAtMs: number;
  endedAtMs: number | null;
}

/** One run of the bath: what it counted in all, and up to the end of a minute. */
export interface CountedRun {
  readonly startedAtMs: number;
  readonly endedAtMs: number | null;
  readonly millicoulombs: number;
  readonly until: (minute: number) => number;
}

const FAR_MINUTE = 1e9;
const minuteOf = (atMs: number): number => Math.floor(atMs / 60_000);

type OfBath<T> = (bath: Pick<LedgerBath, 'isSimulated'>, entries: readonly LedgerEntry[]) => T;

/** Of the runs of a bath, by its entries. */
export function openCountedRuns(store: Store): OfBath<CountedRun[]> {
  const { database } = store;
  const ownSpans = openOwnSpans(store);
  const runsWithin = database.prepare<[string, number, number], RunRow>(
    `SELECT incarnation, run, charge_millicoulombs AS charge, started_at_ms AS startedAtMs, ended_at_ms AS endedAtMs FROM runs
     WHERE controller_id = ? AND started_at_ms >= CAST(? AS INTEGER) AND started_at_ms < CAST(? AS INTEGER)`,
  );
  // The sums of a run are kept for ever, each with the run's count at its end.
  const countIn = (table: 'minutes' | 'ten_minutes', at: 'minute' | 'ten_minute') =>
    database.prepare<[string, number, number, number, number], { charge: number | null }>(
      `SELECT max(s.charge_millicoulombs) AS charge FROM memories m JOIN ${table} s ON s.controller = m.controller AND s.memory = m.memory
       WHERE m.controller_id = ? AND m.incarnation = CAST(? AS INTEGER) AND s.run = CAST(? AS INTEGER)
         AND s.${at} BETWEEN CAST(? AS INTEGER) AND CAST(? AS INTEGER)`,
    );
  const countWithin = countIn('minutes', 'minute');
  // A tenth of the rows: a bath of years has thousands of runs, and all that is asked of one that has ended is its whole.
  const countOfEnded = countIn('ten_minutes', 'ten_minute');
  const counted = (controllerId: string, one: RunRow): CountedRun => {
    const until = (minute: number): number =>
      countWithin.get(controllerId, one.incarnation, one.run, minuteOf(one.startedAtMs) - 1, minute)?.charge ?? 0;
    // An end tells whole coulombs, the minutes the millicoulombs.
    const millicoulombs =
      (one.endedAtMs === null ? until(FAR_MINUTE) : wholeOf(controllerId, one, one.endedAtMs)) || one.charge;
    return { startedAtMs: one.startedAtMs, endedAtMs: one.endedAtMs, millicoulombs, until };
  };
  const wholeOf = (controllerId: string, one: RunRow, endedAtMs: number): number => {
    const [first, last] = [minuteOf(one.startedAtMs) - 1, minuteOf(endedAtMs) + 1].map((minute) =>
      Math.floor(minute / 10),
    );
    return countOfEnded.get(controllerId, one.incarnation, one.run, first!, last!)?.charge ?? 0;
  };
  return (bath, entries) =>
    ownSpans(bath, entries).flatMap(({ controllerId, fromMs, toMs }) =>
      runsWithin.all(controllerId, fromMs, toMs ?? Number.MAX_SAFE_INTEGER).map((one) => counted(controllerId, one)),
    );
}

export function openWorkedCharge(store: Store): OfBath<Worked> {
  const runsOf = openCountedRuns(store);
  const ownSpans = openOwnSpans(store);
  return (bath, entries) => {
    const runs = runsOf(bath, entries);
    const doseMs = dosedAtMs(entries);
    const millicoulombs = runs.reduce((sum, run) => sum + run.millicoulombs, 0);
    const controllerId = standsUnder(ownSpans(bath, entries));
    const last = standsUnder(controllerSpans(entries));
    return {
      controllerId,
      uncountedControllerId: last === controllerId ? null : last,
      millicoulombs,
      sinceDoseMillicoulombs: millicoulombs - (doseMs === null ? 0 : countedAt(runs, doseMs)),
      dosedAtMs: doseMs,
      atEntries: Object.fromEntries(inOrder(entries).map(({ entryId, atMs }) => [entryId, countedAt(runs, atMs)])),
    };
  };
}

function standsUnder(spans: readonly ControllerSpan[]): string | null {
  const last = spans.at(-1);
  return last?.toMs === null ? last.controllerId : null;
}

/** What had gone through at a time: whole runs before it, and of one that was on the way what it had counted. */
export function countedAt(runs: readonly CountedRun[], atMs: number): number {
  let sum = 0;
  for (const { startedAtMs, endedAtMs, millicoulombs, until } of runs) {
    if (endedAtMs !== null && endedAtMs <= atMs) sum += millicoulombs;
    else if (startedAtMs <= atMs) sum += until(minuteOf(atMs));
  }
  return sum;
}
