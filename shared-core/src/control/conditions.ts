/*
 * The table of everything that can be wrong during a run, and the one evaluator that judges all of it.
 * Called by the supervisor when what is seen differs from what stands. A new condition is a row at the end, and a line in the looks.
 * Flat and typed, since the interpreter walks ordinary arrays element by element. Never decides phases: it names the worst reaction.
 */
import { Condition } from './codes.js';
import { isLive, Phase } from './phase.js';
import { isSetByHand, NOTED_PLACES, type RunState, tell } from './run-state.js';
import { EventKind, type Inputs } from './signals.js';

/** What a condition does while it stands, mildest first; of all that stand, the worst is done. */
export const Reaction = {
  none: 0,
  /** told and kept, nobody is called */
  note: 1,
  warn: 2,
  /** a fraction of the set-point */
  derate: 3,
  /** the run has reached its aim: finish, but not out of a hold */
  finish: 4,
  /** keep-alive current until a press at the bath */
  hold: 5,
  /** the run may not last longer: finish, out of a hold as well */
  finishNow: 6,
  /** contactor open until a reset at the bath with the cause gone */
  trip: 7,
} as const;
export type Reaction = (typeof Reaction)[keyof typeof Reaction];

/** Columns of a row. Limits and deadbands stand with the looks. */
export const RowColumn = {
  reaction: 0,
  onDelayTenths: 1,
  offDelayTenths: 2,
  /** derate: per cent of the set-point that is left. Others: one of the two below, or 0 when only a live phase can raise it. */
  extra: 3,
} as const;
export const ROW_COLUMNS = 4;
/** Judged in every phase. */
const EVERYWHERE = 1;
/** Not cleared by itself: a person at the bath has to press start (which leaves the hold) or reset, with the cause gone. */
const BY_PRESS = 2;

/**
 * A row for each code, in their order, delays in tenths of a second. Delays and fractions are the defaults of our own practice; where no
 * source is named there is none.
 * @onceAtBoot
 */
function tableOfConditions(): Uint16Array {
  // prettier-ignore
  return new Uint16Array([
    /* currentHigh */          Reaction.hold, 20, 50, 0,
    /* currentVeryHigh */      Reaction.trip, 4, 10, EVERYWHERE,
    /* alertLatch */           Reaction.trip, 0, 0, 0,
    /* monitorSilent */        Reaction.trip, 10, 10, 0,
    /* monitorChanged */       Reaction.trip, 10, 10, 0,
    /* monitorClipped */       Reaction.trip, 10, 10, 0,
    // 60 s off-delay: a usual start value for temperatures (from memory: alarm practice after ISA-18.2, EEMUA 191)
    /* bathWarm */             Reaction.warn, 300, 600, 0,
    /* bathHot */              Reaction.hold, 300, 600, 0,
    /* bathOverheated */       Reaction.trip, 300, 600, 0,
    /* probeFault */           Reaction.warn, 300, 100, 0,
    /* probeFaultLong */       Reaction.hold, 6000, 100, 0,
    // the off-delay lets one lonely pulse of a jammed shaft not count as turning
    /* rotationStopped */      Reaction.warn, 0, 300, 0,
    /* rotationStoppedLong */  Reaction.derate, 0, 300, 40,
    /* emergencyStop */        Reaction.trip, 0, 0, 0,
    /* contactorDropped */     Reaction.trip, 0, 0, 0,
    /* restartedInRun */       Reaction.trip, 0, 0, 0, // raised by restoreRun
    /* chargeReached */        Reaction.finish, 0, 0, 0,
    /* longestRun */           Reaction.finishNow, 0, 0, 0,
    /* contactorContradicts */ Reaction.trip, 30, 10, EVERYWHERE,
    /* currentOutsideBand */   Reaction.warn, 100, 100, 0, // on-delay of a supply set by hand: see onDelayTenths
    // The film needs time at a low current to dissolve; too early a return would only bring it back.
    /* anodePassivating */     Reaction.derate, 100, 18000, 50,
    /* contactLost */          Reaction.hold, 30, 10, BY_PRESS,
    /* shortCircuit */         Reaction.trip, 10, 10, 0,
    /* reverseCurrent */       Reaction.trip, 4, 10, 0,
    /* senseImplausible */     Reaction.trip, 10, 10, 0,
    /* bathWillOverheat */     Reaction.warn, 300, 600, 0,
    /* bathCold */             Reaction.derate, 3000, 600, 50,
    /* probeStuck */           Reaction.warn, 0, 0, 0, // its hour is counted by the look, as only time with current counts
    /* probeStuckLong */       Reaction.hold, 0, 0, 0,
    /* clipHot */              Reaction.warn, 100, 600, 0,
    /* clipOverheated */       Reaction.trip, 100, 600, 0,
    /* rotationGivenUp */      Reaction.warn, 0, 0, 0,
    /* rotationSlow */         Reaction.warn, 600, 300, 0,
    /* leak */                 Reaction.trip, 20, 100, EVERYWHERE,
    /* smoke */                Reaction.trip, 20, 100, EVERYWHERE,
    /* agitationStopped */     Reaction.derate, 20, 100, 50,
    /* filterStopped */        Reaction.derate, 20, 100, 50,
    /* liquidLow */            Reaction.hold, 100, 100, 0,
    /* currentDoesNotFall */   Reaction.trip, 50, 10, EVERYWHERE,
    /* longestPhase */         Reaction.warn, 0, 0, 0,
    /* longestDerate */        Reaction.hold, 0, 0, 0,
    /* longestHold */          Reaction.warn, 0, 0, 0,
    /* notAcknowledged */      Reaction.warn, 0, 0, EVERYWHERE,
    /* dashboardUnseen */      Reaction.note, 0, 0, 0,
    /* supplyFault */          Reaction.warn, 50, 50, 0,
    /* voltageHigh */          Reaction.trip, 20, 10, 0,
    /* memoryFault */          Reaction.warn, 300, 100, 0,
    /* rampWaiting */          Reaction.note, 0, 100, 0,
    /* contactWeakInStart */   Reaction.warn, 0, 0, 0, // its delays are the ramp watch's own
    /* noCurrentAtStart */     Reaction.trip, 0, 0, 0,
    /* polarityReversed */     Reaction.trip, 4, 10, 0,
    /* alertLatchNotOpening */ Reaction.warn, 0, 0, EVERYWHERE,
  ]);
}
export const conditionRows = tableOfConditions();

/** True while the condition stands. */
export function isRaised(state: RunState, condition: Condition): boolean {
  return (((condition > 32 ? state.conditionsHigh : state.conditions) >> ((condition - 1) & 31)) & 1) === 1;
}

/** What the condition does with this supply: what a person has to set by hand cannot be lowered from here. */
export function reactionOf(state: RunState, condition: Condition): Reaction {
  const reaction = conditionRows[(condition - 1) * ROW_COLUMNS + RowColumn.reaction]! as Reaction;
  if (isSetByHand(state)) {
    if (reaction === Reaction.derate) return Reaction.warn;
    if (reaction === Reaction.hold) return Reaction.trip;
  }
  return reaction;
}

/** A person needs time to set a new current by hand; once it was set, its leaving is as odd as with any supply. */
function onDelayTenths(state: RunState, condition: Condition): number {
  return condition === Condition.currentOutsideBand && isSetByHand(state) && !state.askedIsSet
    ? 1200
    : conditionRows[(condition - 1) * ROW_COLUMNS + RowColumn.onDelayTenths]!;
}

/** May a condition that stands be cleared in this step, once its cause has been gone for its off-delay? */
function mayClear(state: RunState, reaction: Reaction, extra: number, inputs: Inputs): boolean {
  if (reaction === Reaction.trip) return inputs.resetPressed;
  return extra !== BY_PRESS || inputs.resetPressed || (inputs.startPressed && state.phase === Phase.hold);
}

function raise(state: RunState, condition: Condition, reaction: Reaction): void {
  state.notedMs[condition + NOTED_PLACES] = state.clockMs;
  if (reaction !== Reaction.note && reaction !== Reaction.finish && reaction !== Reaction.finishNow) {
    state.unacknowledged = true;
  }
  // What is only true or false has zeros there.
  tell(
    state,
    EventKind.conditionRaised,
    condition,
    state.notedValues[condition]! * 1000,
    state.notedValues[condition + NOTED_PLACES]! * 1000,
  );
}

/** How long ago the time in a place of `notedMs` was; right for 49 days, also over the end of what 32 bits hold. */
function notedForMs(state: RunState, place: number): number {
  return (state.clockMs - state.notedMs[place]!) >>> 0;
}

/**
 * Runs the delay of a condition that is seen without standing, or stands without being seen. True when its time has come: it turns.
 * `wasDelayed`: its delay ran already.
 */
function isDelayOver(state: RunState, condition: Condition, stands: boolean, wasDelayed: boolean): boolean {
  if (!wasDelayed) state.notedMs[condition] = state.clockMs;
  const delayTenths = stands
    ? conditionRows[(condition - 1) * ROW_COLUMNS + RowColumn.offDelayTenths]!
    : onDelayTenths(state, condition);
  return notedForMs(state, condition) >= delayTenths * 100;
}

/** One word of the masks: `first` is 0 for the codes 1 to 32, 32 for those above. */
function judgeWord(state: RunState, inputs: Inputs, first: number): void {
  const seen = first ? state.seenHigh : state.seen;
  const unknown = first ? state.unknownHigh : state.unknown;
  let standing = first ? state.conditionsHigh : state.conditions;
  let delayed = first ? state.delayedHigh : state.delayed;
  let code = first;
  for (let left = seen | standing | delayed; left; left >>>= 1) {
    const bit = 1 << (code & 31);
    code++;
    if (!(left & 1)) continue;
    const condition = code as Condition;
    const reaction = reactionOf(state, condition);
    const extra = conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.extra]!;
    const stands = (standing & bit) !== 0;
    if (!(unknown & bit)) {
      // A latch that opens as the press closes the contactor has seen over-current, before the phase is live.
      const isDue =
        stands ||
        extra === EVERYWHERE ||
        isLive(state.phase) ||
        (condition === Condition.alertLatch &&
          state.outputs.contactorEnabled &&
          (inputs.startPressed || state.startIsPressed));
      if (!((seen ^ standing) & bit) || !isDue) {
        delayed &= ~bit;
      } else {
        const isOver = isDelayOver(state, condition, stands, (delayed & bit) !== 0);
        delayed |= bit;
        if (isOver && (!stands || mayClear(state, reaction, extra, inputs))) {
          delayed &= ~bit;
          standing ^= bit;
          if (!stands) raise(state, condition, reaction);
          else tell(state, EventKind.conditionCleared, code, notedForMs(state, code + NOTED_PLACES) / 1000, 0);
        }
      }
    }
    if (standing & bit) {
      state.worst = Math.max(state.worst, reaction) as Reaction;
      if (reaction === Reaction.derate) state.standingFraction = Math.min(state.standingFraction, extra / 100);
    }
  }
  if (first) {
    state.conditionsHigh = standing;
    state.delayedHigh = delayed;
  } else {
    state.conditions = standing;
    state.delayed = delayed;
  }
}

/** Something that can be told differs from what stands, or a delay runs. */
export function isToJudge(state: RunState): boolean {
  return (
    (((state.seen ^ state.conditions) & ~state.unknown) |
      state.delayed |
      ((state.seenHigh ^ state.conditionsHigh) & ~state.unknownHigh) |
      state.delayedHigh) !==
    0
  );
}

/**
 * Runs the delays of what was seen, raises and clears (an event each), and sets `worst`, the worst reaction that stands, and `standingFraction`,
 * the smallest that stands. What cannot be told changes nothing, neither way. A trip's condition stays raised when its cause
 * goes; it clears only by a reset, and only when its cause is gone.
 */
export function judgeConditions(state: RunState, inputs: Inputs): void {
  state.worst = Reaction.none;
  state.standingFraction = 1;
  judgeWord(state, inputs, 0);
  judgeWord(state, inputs, 32);
  state.isToJudge = isToJudge(state);
}
