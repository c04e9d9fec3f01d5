/*
 * Everything the supervisor remembers between two steps. The caller owns it, the supervisor changes it in place: "pure" in this
 * room means no I/O, no clock and no state outside this object, not a new object each step (the controller has no memory for that).
 * The firmware reads the upper part; the lower part belongs to the supervisor alone.
 */
import type { Reaction } from './conditions.js';
import type { Condition } from './codes.js';
import type { Phase } from './phase.js';
import type { Recipe } from './recipe.js';
import { createRampProgress, type RampProgress, type RampState } from './ramp-progress.js';
import { type ControllerEvent, type EventKind, type Outputs, SupplyKind } from './signals.js';
import { createSpans, type Spans } from './spans.js';

/** One place for each code in what is noted of the conditions; codes begin with 1. */
export const NOTED_PLACES = 53;

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
  /** How the set-point reaches the supply; what cannot be lowered from here is warned of or tripped. */
  readonly supplyKind: SupplyKind;
  /** Active conditions of codes 1 to 32, bit (code - 1). */
  conditions: number;
  /** Active conditions of codes 33 to 64, bit (code - 33). */
  conditionsHigh: number;
  /** Missing permissives, bit (code - 1); 0 while live, when they are not asked. */
  permissivesMissing: number;
  /** 1, or the fraction of the set-point that is left while something soft is wrong. */
  derateFraction: number;
  /** The set-point after ramp and derating, before the output gate. */
  commandedAmps: number;
  outputs: Outputs;
  /** What the last step or the last offered recipe had to tell: read it after each. */
  events: ControllerEvent[];

  /** Plating, and after the last step nothing was to be decided, told or waited for: see `isStillQuiet` in the supervisor. */
  isQuiet: boolean;
  /** The events were there to be read; the next act starts a new list. (Those of a restored run wait for the first step.) */
  eventsAreOld: boolean;
  /** Time as the steps saw it, which never runs backwards. */
  clockMs: number;
  lastStepMs: number;
  /** When the recipe's time for this phase is over. */
  phaseEndsAtMs: number;
  /** A run was started and has not ended: the next start continues it. */
  runIsOpen: boolean;
  /** When a live phase was last left; of a run that a restart left, unknown (NaN) until `interruptionBegan` tells. */
  currentLostAtMs: number;
  /** The start was pressed in ready and the contactor's feedback is awaited. */
  startIsPressed: boolean;
  rampFromAmps: number;
  /** No set-point goes above it: the lowest of the three below. */
  ceilingAmps: number;
  /** What flowed when a hold began. NO_CEILING when no hold stands, as those below. */
  heldAtAmps: number;
  /** Lowered from afar, until a press of start at the bath. */
  loweredToAmps: number;
  /** What is left to a start whose contact is being lost. */
  backedOffToAmps: number;
  /** Where a hold began: polarity and strike begin again, out of any other the ramp climbs. */
  heldFrom: Phase;
  /** How strike and ramp get on. */
  rampState: RampState;
  ramp: RampProgress;
  /** In polarity: since when enough current has flowed the right way; NaN while it does not. */
  currentProvenSinceMs: number;
  /** The alert latch was seen to open in its test since ready was entered; when the test began, NaN while none runs. */
  latchIsProven: boolean;
  latchTestSinceMs: number;
  /** When the motor that is being announced will start (0: none is), since when it is on, how often it was started again. */
  motorStartsAtMs: number;
  motorOnSinceMs: number;
  motorTries: number;
  /** The condition that opened the second means, until a reset with its cause gone. */
  secondMeansOpenedBy: Condition | 0;
  /** Supply by hand: what the person is asked to set, and whether it was seen to be set. */
  askedAmps: number;
  askedIsSet: boolean;
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
  /** Conditions at their limit now, and those that cannot be told now; masks like `conditions`, as those below. */
  seen: number;
  seenHigh: number;
  unknown: number;
  unknownHigh: number;
  /** Whose on-delay or, when raised, off-delay is running. */
  delayed: number;
  delayedHigh: number;
  /** What is seen differs from what stands, or a delay runs: the conditions are to be judged. */
  isToJudge: boolean;
  /** Current and voltage (the chain of the contactor) were odd in the last step, so they are looked at closely in this one too. */
  electricityIsOdd: boolean;
  chainIsOdd: boolean;
  /** Within these of the judged current, and between these voltages, no electrical condition can be at its limit. Set once a second. */
  calmAmps: number;
  calmVoltsMin: number;
  calmVoltsMax: number;
  /** Of each condition, at its code: since when its delay runs; NOTED_PLACES further on: when it was raised. The lower 32 bits of clockMs. */
  notedMs: Uint32Array;
  /** Of each condition, at its code: its value when it was last seen (0: a mere fact); NOTED_PLACES further on: its limit. */
  notedValues: Float32Array;
  /** What is judged over minutes and hours. */
  spans: Spans;
  /** Set by what runs the start and the motor, looked at as conditions; of all but the last the delays and hysteresis are theirs. */
  rampWaits: boolean;
  rampBacksOff: boolean;
  motorIsGivenUp: boolean;
  latchTestFailed: boolean;
  /** No current at the low first set-point though its time is over. */
  startHasNoCurrent: boolean;
  /** The first current flows the wrong way in this step; its delay is in the table of conditions. */
  polarityIsWrong: boolean;
  /** The worst reaction, and the smallest fraction of the set-point, of all conditions that stand. */
  worst: Reaction;
  standingFraction: number;
}

/** A ceiling that no current reaches. */
export const NO_CEILING = 1e9;

/**
 * The supervisor as it is at power-up: idle, nothing permitted. Without a kind the supply is one that can be set from here.
 * @onceAtBoot
 */
export function createRunState(supplyKind?: SupplyKind): RunState {
  // The interpreter walks an object's fields one by one: those of every step come first.
  return {
    isQuiet: false,
    phase: 0,
    clockMs: 0,
    lastStepMs: 0,
    liveMs: 0,
    electricityIsOdd: true,
    chainIsOdd: true,
    isToJudge: true,
    calmAmps: 0,
    calmVoltsMin: 0,
    calmVoltsMax: 0,
    outputs: {
      permittedAmps: 0,
      contactorEnabled: false,
      buzzer: 0,
      motorOn: false,
      alertLimitAmps: 0,
      alertTestOn: false,
      supplyEnabled: false,
    },
    judgedAmps: 0,
    recipe: undefined,
    lastGoodAmps: 0,
    lastGoodAtMs: 0,
    chargeMilliCoulombs: 0,
    chargeRemainder: 0,
    rotationPulses: 0,
    commandedAmps: 0,
    derateFraction: 1,
    standingFraction: 1,
    ceilingAmps: NO_CEILING,
    supplyKind: supplyKind === undefined ? SupplyKind.analogue : supplyKind,
    motorStartsAtMs: 0,
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
    permissivesMissing: 16383,
    lastPulseAtMs: -1e9,
    seen: 0,
    seenHigh: 0,
    conditions: 0,
    conditionsHigh: 0,
    unknown: 0,
    unknownHigh: 0,
    delayed: 0,
    delayedHigh: 0,
    rampWaits: false,
    rampBacksOff: false,
    motorIsGivenUp: false,
    latchTestFailed: false,
    startHasNoCurrent: false,
    polarityIsWrong: false,
    notedMs: new Uint32Array(2 * NOTED_PLACES),
    notedValues: new Float32Array(2 * NOTED_PLACES),
    spans: createSpans(),
    runNumber: 0,
    runIsOpen: false,
    currentLostAtMs: NaN,
    heldAtAmps: NO_CEILING,
    loweredToAmps: NO_CEILING,
    backedOffToAmps: NO_CEILING,
    heldFrom: 0,
    rampState: 0,
    ramp: createRampProgress(),
    currentProvenSinceMs: NaN,
    latchIsProven: false,
    latchTestSinceMs: NaN,
    motorOnSinceMs: 0,
    motorTries: 0,
    secondMeansOpenedBy: 0,
    askedAmps: 0,
    askedIsSet: false,
  };
}

/** A person sets the supply: nothing can be lowered from here. (The bundle holds the answer for its one kind of supply.) */
export function isSetByHand(state: RunState): boolean {
  return state.supplyKind === SupplyKind.byHand;
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
