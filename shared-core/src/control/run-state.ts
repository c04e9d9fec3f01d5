/*
 * Everything the supervisor remembers between two steps. The caller owns it, the supervisor changes it in place: "pure" in this
 * room means no I/O, no clock and no state outside this object, not a new object each step (the controller has no memory for that).
 * The firmware reads the upper part; the lower part belongs to the supervisor alone.
 */
import type { Reaction } from './conditions.js';
import type { Phase } from './phase.js';
import type { Recipe } from './recipe.js';
import type { ControllerEvent, EventKind, Outputs } from './signals.js';

/** What is noted of each condition: since when its delay runs, when it was raised, its value and limit when it was last seen (zeros: a mere fact). */
export const Noted = { delayedSinceMs: 0, raisedAtMs: 32, value: 64, limit: 96 } as const;

export interface RunState {
  phase: Phase;
  /** On the clock of the steps, as are all times here. */
  phaseSinceMs: number;
  /** Counts the runs of this controller; 0 before the first. */
  runNumber: number;
  /** The recipe that waits, runs, or ran last. */
  recipe: Recipe | undefined;
  /** Of this run, whole. Never falls within a run. */
  chargeMilliCoulombs: number;
  /** Time that this run spent in live phases. */
  liveMs: number;
  /** Active conditions, bit (code - 1). */
  conditions: number;
  /** Missing permissives, bit (code - 1); 0 while live, when they are not asked. */
  permissivesMissing: number;
  /** 1, or the fraction of the set-point that is left while something soft is wrong. */
  derateFraction: number;
  /** The set-point after ramp and derating, before the output gate. */
  commandedAmps: number;
  outputs: Outputs;
  /** What the last step or the last offered recipe had to tell: read it after each. */
  events: ControllerEvent[];

  /** The events were there to be read; the next act starts a new list. (Those of a restored run wait for the first step.) */
  eventsAreOld: boolean;
  /** Time as the steps saw it, which never runs backwards. */
  clockMs: number;
  lastStepMs: number;
  /** When the recipe's time for this phase is over. */
  phaseEndsAtMs: number;
  /** A run was started and has not ended: the next start continues it. */
  runIsOpen: boolean;
  /** When a live phase was last left, -1 when a restart makes it unknown. */
  currentLostAtMs: number;
  /** The start was pressed in ready and the contactor's feedback is awaited. */
  startIsPressed: boolean;
  rampFromAmps: number;
  /** No set-point goes above it: what flowed when a hold began. Out of reach when no hold stands. */
  ceilingAmps: number;
  heldFromStrike: boolean;
  /** Part of a millicoulomb not yet counted. */
  chargeRemainder: number;
  lastGoodAmps: number;
  lastGoodAtMs: number;
  rotationPulses: number;
  lastPulseAtMs: number;
  /** What the measured current is judged against: the largest permitted one until it has not fallen for 3 s. */
  judgedAmps: number;
  permittedFellAtMs: number;
  /** A warning, derating, hold or trip was raised and nobody has acknowledged it. */
  unacknowledged: boolean;
  /** When what is looked at once a second was looked at. */
  lookedAtMs: number;
  /** Conditions at their limit now, and those that cannot be told now; bits (code - 1), as those below. */
  seen: number;
  unknown: number;
  /** Whose on-delay or, when raised, off-delay is running. */
  delayed: number;
  /** Of each condition, at its code plus one of Noted. */
  noted: Float64Array;
  /** The worst reaction, and the smallest fraction of the set-point, of all conditions that stand. */
  worst: Reaction;
  standingFraction: number;
}

/** The supervisor as it is at power-up: idle, nothing permitted. */
export function createRunState(): RunState {
  // The interpreter walks an object's fields one by one: those of every step come first.
  return {
    phase: 0,
    clockMs: 0,
    lastStepMs: 0,
    liveMs: 0,
    seen: 0,
    conditions: 0,
    outputs: { permittedAmps: 0, contactorEnabled: false, buzzer: 0, motorOn: false, alertLimitAmps: 0 },
    judgedAmps: 0,
    unknown: 0,
    recipe: undefined,
    lastGoodAmps: 0,
    lastGoodAtMs: 0,
    chargeMilliCoulombs: 0,
    chargeRemainder: 0,
    rotationPulses: 0,
    commandedAmps: 0,
    derateFraction: 1,
    standingFraction: 1,
    ceilingAmps: 0,
    delayed: 0,
    lookedAtMs: -1e9,
    worst: 0,
    phaseEndsAtMs: 0,
    phaseSinceMs: 0,
    rampFromAmps: 0,
    permittedFellAtMs: 0,
    unacknowledged: false,
    startIsPressed: false,
    eventsAreOld: false,
    events: [],
    permissivesMissing: 1023,
    lastPulseAtMs: -1e9,
    noted: new Float64Array(129),
    runNumber: 0,
    runIsOpen: false,
    currentLostAtMs: -1,
    heldFromStrike: false,
  };
}

/** Starts a new list of events once the old one was there to be read. Every act on the state begins with it. */
export function forgetOldEvents(state: RunState): void {
  if (state.eventsAreOld && state.events.length) state.events = [];
  state.eventsAreOld = false;
}

/** Adds one event; a and b are rounded to whole numbers. */
export function tell(state: RunState, kind: EventKind, code: number, a: number, b: number): void {
  state.events.push({ kind: kind, code: code, a: Math.round(a), b: Math.round(b) });
}
