/*
 * The supervisor: one step of a run, from what was read to what is permitted, and the taking of a recipe.
 * Called five times a second by the control loop, and by the virtual bath, the planner and the tests. No I/O, no clock, no exceptions;
 * it changes the RunState that the caller owns. It never closes the contactor: only a press at the bath can, while this lets it.
 *
 *   idle -> ready -> polarity -> strike -> ramp -> plate -> finish -> done     hold: from polarity to finish     trip: from anywhere
 */
import { testAlertLatch } from './alert-latch-test.js';
import { askedByHand } from './by-hand.js';
import { countCharge } from './charge.js';
import { Condition, RecipeFault } from './codes.js';
import { isRaised, judgeConditions, Reaction } from './conditions.js';
import { electricityIsCalm, lookEachStep } from './looks.js';
import { forgetMotorTries, runMotor } from './motor-start.js';
import { closeRun, enter, isReadyOrLive, move } from './moves.js';
import { gatedAmps, runLimitAmps } from './output-gate.js';
import { permissivesMissing } from './permissives.js';
import { isLive, Phase } from './phase.js';
import { watchPolarity } from './polarity.js';
import { lower } from './ramp-tells.js';
import { countRamp, watchRamp } from './ramp-watch.js';
import { recipeFault } from './recipe-check.js';
import type { Recipe, RigLimits } from './recipe.js';
import { isSetByHand, forgetOldEvents, NO_CEILING, type RunState, tell } from './run-state.js';
import { judgeSecondMeans } from './second-means.js';
import { setPointAmps } from './set-point.js';
import { Command, EventKind, type Inputs } from './signals.js';
import { lookEachSecond } from './slow-looks.js';

/** A step down of the set-point is forgiven for this long before the measured current is judged against it. */
const SETTLE_MS = 3000;
/** Between two looks at what changes slowly: temperatures, rotation, charge, the length of the run. */
const SLOW_LOOK_MS = 1000;
/** What the buzzer says when the second means was needed. */
const BUZZER_CONTINUOUS = 3;

/** What the buzzer says, when it says something. */
function buzzing(state: RunState): number {
  if (state.secondMeansOpenedBy) return BUZZER_CONTINUOUS;
  if (state.motorStartsAtMs) return 2;
  return state.phase === Phase.trip || isRaised(state, Condition.notAcknowledged) ? 2 : 1;
}

/** Sets every output from the phase as it is now. The gate decides last. */
function setOutputs(state: RunState, inputs: Inputs, limits: RigLimits): void {
  const recipe = state.recipe;
  const outputs = state.outputs;
  const phase = state.phase;
  const clockMs = state.clockMs;
  let setPoint = recipe ? setPointAmps(recipe, phase, state.ramp.doneMs / 1000, state.rampFromAmps) : 0;
  if (recipe && isSetByHand(state)) setPoint = askedByHand(state, inputs, recipe, setPoint);
  // Hold and finish are low already, and copper that is left with too little current loses its bond to the next layer.
  state.derateFraction = phase < Phase.finish ? state.standingFraction : 1;
  state.commandedAmps = Math.min(setPoint, state.ceilingAmps) * state.derateFraction;
  const permittedAmps = gatedAmps(state.commandedAmps, state, limits);
  if (permittedAmps < outputs.permittedAmps) state.permittedFellAtMs = clockMs;
  if (permittedAmps >= state.judgedAmps || clockMs - state.permittedFellAtMs >= SETTLE_MS) {
    state.judgedAmps = permittedAmps;
  }
  outputs.permittedAmps = permittedAmps;
  // Current may still flow where the second means was needed: an acknowledgement from afar leaves that sound on, a press of reset ends it.
  const isToSound =
    state.unacknowledged || state.motorStartsAtMs || (outputs.buzzer === BUZZER_CONTINUOUS && !inputs.resetPressed);
  outputs.buzzer = isToSound ? buzzing(state) : 0;
}

/** A press of reset, or an acknowledgement from afar: it was heard. Only the reset lets a motor that was given up be tried again. */
function hear(state: RunState, inputs: Inputs): void {
  if (inputs.resetPressed) {
    if (state.outputs.buzzer) tell(state, EventKind.acknowledged, 0, 0, 0);
    forgetMotorTries(state);
  }
  state.unacknowledged = false;
}

/** What happens once a second. The start is watched before the looks, since they ask what it found; the motor after them. */
function actEachSecond(state: RunState, inputs: Inputs, limits: RigLimits, monitorIsGood: boolean): void {
  const phase = state.phase;
  const recipe = state.recipe;
  state.lookedAtMs = state.clockMs;
  if (recipe && monitorIsGood && (phase === Phase.strike || phase === Phase.ramp)) {
    /* @__NOINLINE__ */ watchRamp(state, inputs, limits, recipe);
  }
  lookEachSecond(state, inputs, limits);
  const pulsesPerMinute = recipe ? recipe.rotationPulsesPerMinute : 0;
  runMotor(state, isReadyOrLive(phase) && pulsesPerMinute > 0, pulsesPerMinute);
  state.outputs.alertLimitAmps = runLimitAmps(state, limits);
}

/** What of a start is watched in every step. */
function watchStart(state: RunState, inputs: Inputs, limits: RigLimits, elapsedMs: number): void {
  if (state.phase === Phase.polarity) watchPolarity(state, inputs, limits);
  else if (state.phase === Phase.strike || state.phase === Phase.ramp) countRamp(state, elapsedMs);
}

/** Does what was asked from afar, as far as moving the phase has not done it already, and answers. (A recipe is not asked of the step: see offerRecipe.) */
function answer(state: RunState, inputs: Inputs, phaseBefore: Phase): void {
  const command = inputs.command;
  let answered = 0;
  if (command === Command.recipe) return;
  if (command === Command.stop) answered = isReadyOrLive(phaseBefore) ? 0 : 1;
  else if (command === Command.hold || command === Command.lower) {
    if (isSetByHand(state)) answered = 4;
    else if (command === Command.lower) answered = lower(state, state.recipe, inputs.lowerToAmps);
    else answered = state.phase === Phase.hold ? 0 : 1;
  } else if (command !== Command.acknowledge) answered = 3;
  tell(state, EventKind.commandAnswered, command, 0, answered);
}

/** Nothing stands, is delayed or to be heard, and the set-point stands still: until something new is read, a step has nothing to decide. */
function isQuietNow(state: RunState): boolean {
  return (
    state.phase === Phase.plate &&
    !state.conditions &&
    !state.conditionsHigh &&
    !state.isToJudge &&
    !state.chainIsOdd &&
    !state.unacknowledged &&
    !state.motorStartsAtMs &&
    !state.outputs.buzzer &&
    state.outputs.permittedAmps === state.judgedAmps &&
    !isSetByHand(state)
  );
}

/** Nothing was told last, what was read is as calm as before, and nobody asks for anything: all that is urgent is looked at, and nothing is to be decided. */
function isStillQuiet(state: RunState, inputs: Inputs): boolean {
  return (
    !state.events.length &&
    inputs.contactorClosed &&
    !(
      inputs.alertLatchOpen ||
      inputs.emergencyStopPressed ||
      inputs.stopPressed ||
      inputs.startPressed ||
      inputs.resetPressed ||
      inputs.command
    ) &&
    electricityIsCalm(state, inputs)
  );
}

/** The clock goes on, and whatever else goes on with it. */
function passTime(state: RunState, inputs: Inputs, wasLive: boolean, elapsedMs: number, nowMs: number): void {
  state.clockMs += elapsedMs;
  if (wasLive) state.liveMs += elapsedMs;
  state.lastStepMs = nowMs;
  if (inputs.rotationPulses !== state.rotationPulses) state.lastPulseAtMs = state.clockMs;
  state.rotationPulses = inputs.rotationPulses;
}

/** What follows from what was seen: conditions, phase, outputs. */
function decide(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  wasLive: boolean,
  monitorIsGood: boolean,
): void {
  const phaseBefore = state.phase;
  if (state.isToJudge) judgeConditions(state, inputs);
  if (state.worst === Reaction.trip || (inputs.resetPressed && state.secondMeansOpenedBy))
    judgeSecondMeans(state, inputs);
  // (While live none is missing: a start wants them all.)
  if (!wasLive) {
    if (phaseBefore === Phase.ready) testAlertLatch(state, inputs, monitorIsGood);
    const isClosing =
      state.outputs.contactorEnabled && (inputs.contactorClosed || inputs.startPressed || state.startIsPressed);
    state.permissivesMissing = permissivesMissing(state, inputs, limits, settingsAreValid, monitorIsGood, isClosing);
  }
  move(state, inputs);
  if (inputs.command) answer(state, inputs, phaseBefore);
  setOutputs(state, inputs, limits);
  state.eventsAreOld = true;
  state.isQuiet = isQuietNow(state);
}

/** A step that takes nothing as it was. */
function lookAndDecide(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  elapsedMs: number,
  nowMs: number,
): void {
  forgetOldEvents(state);
  const phaseBefore = state.phase;
  const wasLive = isLive(phaseBefore);
  passTime(state, inputs, wasLive, elapsedMs, nowMs);
  if (inputs.resetPressed || inputs.command === Command.acknowledge) hear(state, inputs);
  if (wasLive && phaseBefore !== Phase.plate) watchStart(state, inputs, limits, elapsedMs);
  const monitorIsGood = lookEachStep(state, inputs, limits, wasLive);
  if (monitorIsGood) countCharge(state, inputs.currentAmps, wasLive);
  if (state.clockMs - state.lookedAtMs >= SLOW_LOOK_MS) actEachSecond(state, inputs, limits, monitorIsGood);
  decide(state, inputs, limits, settingsAreValid, wasLive, monitorIsGood);
}

/**
 * One step; true when it had nothing to decide, and every output stands as it was. `nowMs` is the controller's uptime: steps may come late (a gap counts at most 20 s of charge), in bursts within the same
 * millisecond, and a clock that jumps back is taken as standing still. With `settingsAreValid` false nothing is ever enabled.
 * Every operating error ends in a phase and an event, none in an exception.
 *
 * Example: ready, every permissive there, `startPressed` and then `contactorClosed`: phase polarity, permittedAmps a fifth of strikeAmps.
 */
export function step(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  nowMs: number,
): boolean {
  const elapsedMs = nowMs > state.lastStepMs ? nowMs - state.lastStepMs : 0;
  if (!(state.isQuiet && isStillQuiet(state, inputs))) {
    /* @__NOINLINE__ */ lookAndDecide(state, inputs, limits, settingsAreValid, elapsedMs, nowMs);
    return false;
  }
  passTime(state, inputs, true, elapsedMs, nowMs);
  countCharge(state, inputs.currentAmps, true);
  if (state.clockMs - state.lookedAtMs < SLOW_LOOK_MS) return true;
  actEachSecond(state, inputs, limits, true);
  if (isQuietNow(state) && !state.events.length) return true;
  decide(state, inputs, limits, settingsAreValid, true, true);
  return false;
}

/**
 * Offers a recipe: why it is refused, or `RecipeFault.none` when it was taken and now waits in ready for the press at the bath. It can
 * come between any two steps; its events are to be read before the next. Refused while live and while a trip waits for its reset: a message
 * leaves neither. An interrupted run that waits in ready ends by it.
 */
export function offerRecipe(state: RunState, recipe: Recipe, limits: RigLimits): RecipeFault {
  forgetOldEvents(state);
  state.eventsAreOld = true;
  let fault = recipeFault(recipe, limits);
  if (isLive(state.phase) || state.phase === Phase.trip) fault = RecipeFault.runIsLive;
  if (fault) {
    const limit = [0, 0, limits.currentAmpsMax, limits.runSecondsMax, limits.bathCelsiusMax, 0][fault]!;
    tell(state, EventKind.recipeRefused, fault, recipe.recipeId | 0, limit * 1000);
    return fault;
  }
  closeRun(state, 0);
  tell(state, EventKind.recipeTaken, 0, recipe.recipeId, 0);
  state.recipe = recipe;
  state.chargeMilliCoulombs = state.chargeRemainder = state.liveMs = 0;
  state.loweredToAmps = NO_CEILING;
  // Its limits count before any press.
  state.lookedAtMs = -1e9;
  enter(state, Phase.ready);
  return fault;
}
