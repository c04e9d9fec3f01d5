/*
 * The table of everything that can be wrong during a run, and the one evaluator that judges all of it.
 * Called once a step by the supervisor. A new condition is one row here (and a line in readings.ts if it looks at something new).
 * A flat typed array, since the interpreter walks ordinary arrays element by element. Never decides phases: it only names the worst reaction.
 */
import { Condition } from './codes.js';
import { isLive } from './phase.js';
import { Reading } from './readings.js';
import { type RunState, tell } from './run-state.js';
import { EventKind } from './signals.js';

/** What a condition does while it stands, mildest first; of all that stand, the worst is done. */
export const Reaction = {
  none: 0,
  warn: 1,
  /** a fraction of the set-point */
  derate: 2,
  /** the run has reached its aim: finish, but not out of a hold */
  finish: 3,
  /** keep-alive current until a press at the bath */
  hold: 4,
  /** the run may not last longer: finish, out of a hold as well */
  finishNow: 5,
  /** contactor open until a reset at the bath with the cause gone */
  trip: 6,
} as const;
export type Reaction = (typeof Reaction)[keyof typeof Reaction];

/** Columns of a row. A condition acts at its limit (value >= limit) and clears below it by more than the deadband. */
export const RowColumn = {
  condition: 0,
  reaction: 1,
  value: 2,
  limit: 3,
  /** in the unit of the value, whole */
  deadband: 4,
  onDelayMs: 5,
  offDelayMs: 6,
  /** derate: per cent of the set-point that is left. Others: 1 when it is judged in every phase, 0 when only a live phase can raise it. */
  extra: 7,
} as const;
export const ROW_COLUMNS = 8;

/** Delays and limits are the defaults of our own practice; where no source is named there is none. */
// prettier-ignore
export const conditionRows = new Int32Array([
  // current: by at least 0.5 A, see readings.ts
  Condition.currentHigh, Reaction.hold, Reading.currentAmps, Reading.currentHighAmps, 0, 2000, 5000, 0,
  Condition.currentVeryHigh, Reaction.trip, Reading.currentAmps, Reading.currentVeryHighAmps, 0, 400, 1000, 1,
  Condition.alertLatch, Reaction.trip, Reading.alertLatchOpen, Reading.one, 0, 0, 0, 0,
  Condition.monitorSilent, Reaction.trip, Reading.monitorSilent, Reading.one, 0, 1000, 1000, 0,
  Condition.monitorChanged, Reaction.trip, Reading.monitorChanged, Reading.one, 0, 1000, 1000, 0,
  Condition.monitorClipped, Reaction.trip, Reading.monitorClipped, Reading.one, 0, 1000, 1000, 0,
  // 60 s off-delay: a usual start value for temperatures (from memory: alarm practice after ISA-18.2, EEMUA 191)
  Condition.bathWarm, Reaction.warn, Reading.bathCelsius, Reading.bathWarnCelsius, 1, 30000, 60000, 0,
  Condition.bathHot, Reaction.hold, Reading.bathCelsius, Reading.bathHoldCelsius, 1, 30000, 60000, 0,
  Condition.bathOverheated, Reaction.trip, Reading.bathCelsius, Reading.bathTripCelsius, 1, 30000, 60000, 0,
  Condition.probeFault, Reaction.warn, Reading.probeBad, Reading.one, 0, 30000, 10000, 0,
  Condition.probeFaultLong, Reaction.hold, Reading.probeBad, Reading.one, 0, 600000, 10000, 0,
  // the off-delay lets one lonely pulse of a jammed shaft not count as turning
  Condition.rotationStopped, Reaction.warn, Reading.pulseAgeSeconds, Reading.pulseAgeWarnSeconds, 0, 0, 30000, 0,
  Condition.rotationStoppedLong, Reaction.derate, Reading.pulseAgeSeconds, Reading.pulseAgeDerateSeconds, 0, 0, 30000, 40,
  Condition.emergencyStop, Reaction.trip, Reading.emergencyStopPressed, Reading.one, 0, 0, 0, 0,
  Condition.contactorDropped, Reaction.trip, Reading.contactorDropped, Reading.one, 0, 0, 0, 0,
  Condition.restartedInRun, Reaction.trip, Reading.restartedInRun, Reading.one, 0, 0, 0, 1,
  Condition.chargeReached, Reaction.finish, Reading.chargeAmpereHours, Reading.chargeAimAmpereHours, 0, 0, 0, 0,
  Condition.longestRun, Reaction.finishNow, Reading.liveSeconds, Reading.longestSeconds, 0, 0, 0, 0,
  Condition.contactorContradicts, Reaction.trip, Reading.contactorContradicts, Reading.one, 0, 3000, 1000, 1,
]);

/**
 * Judges every row on the readings of this step: runs its delays, raises and clears it (an event each), and returns the worst reaction that stands.
 * Sets `derateFraction` to the smallest fraction that stands. A reading that cannot be had (NaN) changes nothing, neither way.
 * A trip's condition stays raised when its cause goes; it clears only with `isReset`, and only when its cause is gone.
 */
export function judgeConditions(state: RunState, isReset: boolean): Reaction {
  const nowMs = state.clockMs;
  let worst: number = Reaction.none;
  state.derateFraction = 1;
  for (let row = 0; row < conditionRows.length; row += ROW_COLUMNS) {
    const code = conditionRows[row + RowColumn.condition]!;
    const reaction = conditionRows[row + RowColumn.reaction]!;
    const extra = conditionRows[row + RowColumn.extra]!;
    const value = state.readings[conditionRows[row + RowColumn.value]!]!;
    const limit = state.readings[conditionRows[row + RowColumn.limit]!]!;
    const bit = 1 << (code - 1);
    const wasRaised = (state.conditions & bit) !== 0;
    const isTurning = wasRaised
      ? value < limit - conditionRows[row + RowColumn.deadband]!
      : value >= limit && (extra === 1 || isLive(state.phase));
    if (!isTurning) {
      if (!isNaN(value)) state.turningSinceMs[code] = 0;
    } else {
      const delayMs = conditionRows[row + (wasRaised ? RowColumn.offDelayMs : RowColumn.onDelayMs)]!;
      const sinceMs = (state.turningSinceMs[code] = state.turningSinceMs[code] || nowMs);
      if (nowMs - sinceMs >= delayMs && (!wasRaised || reaction !== Reaction.trip || isReset)) {
        state.turningSinceMs[code] = 0;
        state.conditions ^= bit;
        if (wasRaised) {
          tell(state, EventKind.conditionCleared, code, (nowMs - state.raisedAtMs[code]!) / 1000, 0);
        } else {
          state.raisedAtMs[code] = nowMs;
          if (reaction !== Reaction.finish && reaction !== Reaction.finishNow) state.unacknowledged = true;
          // What is only true or false has no value to tell.
          const thousand = conditionRows[row + RowColumn.limit] ? 1000 : 0;
          tell(state, EventKind.conditionRaised, code, value * thousand, limit * thousand);
        }
      }
    }
    if (state.conditions & bit) {
      worst = Math.max(worst, reaction);
      if (reaction === Reaction.derate) state.derateFraction = Math.min(state.derateFraction, extra / 100);
    }
  }
  return worst as Reaction;
}
