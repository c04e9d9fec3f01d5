/*
 * The table of everything that can be wrong during a run, and the one evaluator that judges all of it.
 * Called by the supervisor when what is seen differs from what stands. A new condition is a row at the end, and a line in looks.ts.
 * Flat and typed, since the interpreter walks ordinary arrays element by element. Never decides phases: it names the worst reaction.
 */
import { isLive } from './phase.js';
import { Noted, type RunState, tell } from './run-state.js';
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

/** Columns of a row. Limits and deadbands stand with the looks. */
export const RowColumn = {
  reaction: 0,
  onDelayMs: 1,
  offDelayMs: 2,
  /** derate: per cent of the set-point that is left. Others: 1 when it is judged in every phase, 0 when only a live phase can raise it. */
  extra: 3,
} as const;
export const ROW_COLUMNS = 4;

/** A row for each code, in their order. Delays are the defaults of our own practice; where no source is named there is none. */
// prettier-ignore
export const conditionRows = new Int32Array([
  /* currentHigh */          Reaction.hold, 2000, 5000, 0,
  /* currentVeryHigh */      Reaction.trip, 400, 1000, 1,
  /* alertLatch */           Reaction.trip, 0, 0, 0,
  /* monitorSilent */        Reaction.trip, 1000, 1000, 0,
  /* monitorChanged */       Reaction.trip, 1000, 1000, 0,
  /* monitorClipped */       Reaction.trip, 1000, 1000, 0,
  // 60 s off-delay: a usual start value for temperatures (from memory: alarm practice after ISA-18.2, EEMUA 191)
  /* bathWarm */             Reaction.warn, 30000, 60000, 0,
  /* bathHot */              Reaction.hold, 30000, 60000, 0,
  /* bathOverheated */       Reaction.trip, 30000, 60000, 0,
  /* probeFault */           Reaction.warn, 30000, 10000, 0,
  /* probeFaultLong */       Reaction.hold, 600000, 10000, 0,
  // the off-delay lets one lonely pulse of a jammed shaft not count as turning
  /* rotationStopped */      Reaction.warn, 0, 30000, 0,
  /* rotationStoppedLong */  Reaction.derate, 0, 30000, 40,
  /* emergencyStop */        Reaction.trip, 0, 0, 0,
  /* contactorDropped */     Reaction.trip, 0, 0, 0,
  /* restartedInRun */       Reaction.trip, 0, 0, 0, // raised by restoreRun
  /* chargeReached */        Reaction.finish, 0, 0, 0,
  /* longestRun */           Reaction.finishNow, 0, 0, 0,
  /* contactorContradicts */ Reaction.trip, 3000, 1000, 1,
]);

/**
 * Runs the delays of what was seen, raises and clears (an event each), and sets `worst`, the worst reaction that stands, and `standingFraction`,
 * the smallest that stands. What cannot be told changes nothing, neither way. A trip's condition stays raised when its cause
 * goes; it clears only with `isReset`, and only when its cause is gone.
 */
export function judgeConditions(state: RunState, isReset: boolean): void {
  const nowMs = state.clockMs;
  state.worst = Reaction.none;
  state.standingFraction = 1;
  let code = 0;
  for (let left = state.seen | state.conditions | state.delayed; left; left >>>= 1) {
    const row = code * ROW_COLUMNS;
    const bit = 1 << code++;
    if (!(left & 1)) continue;
    const reaction = conditionRows[row]!;
    const extra = conditionRows[row + RowColumn.extra]!;
    const isRaised = state.conditions & bit;
    const isTurning = (state.seen ^ state.conditions) & bit && (isRaised || extra === 1 || isLive(state.phase));
    if (!(state.unknown & bit)) {
      if (!isTurning) {
        state.delayed &= ~bit;
      } else {
        if (!(state.delayed & bit)) {
          state.delayed |= bit;
          state.noted[code + Noted.delayedSinceMs] = nowMs;
        }
        const delayMs = conditionRows[row + (isRaised ? RowColumn.offDelayMs : RowColumn.onDelayMs)]!;
        if (
          nowMs - state.noted[code + Noted.delayedSinceMs]! >= delayMs &&
          (!isRaised || reaction !== Reaction.trip || isReset)
        ) {
          state.delayed &= ~bit;
          state.conditions ^= bit;
          if (isRaised) {
            tell(state, EventKind.conditionCleared, code, (nowMs - state.noted[code + Noted.raisedAtMs]!) / 1000, 0);
          } else {
            state.noted[code + Noted.raisedAtMs] = nowMs;
            if (reaction !== Reaction.finish && reaction !== Reaction.finishNow) state.unacknowledged = true;
            // What is only true or false has zeros there.
            tell(
              state,
              EventKind.conditionRaised,
              code,
              state.noted[code + Noted.value]! * 1000,
              state.noted[code + Noted.limit]! * 1000,
            );
          }
        }
      }
    }
    if (state.conditions & bit) {
      state.worst = Math.max(state.worst, reaction) as Reaction;
      if (reaction === Reaction.derate) state.standingFraction = Math.min(state.standingFraction, extra / 100);
    }
  }
}
