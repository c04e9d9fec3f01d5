/*
 * The supervisor: one step of a run, from what was read to what is permitted, and the taking of a recipe.
 * Called five times a second by the control loop, and by the virtual bath, the planner and the tests. No I/O, no clock, no exceptions;
 * it changes the RunState that the caller owns. It never closes the contactor: only a press at the bath can, while this lets it.
 *
 *   idle -> ready -> strike -> ramp -> plate -> finish -> done     hold: from strike to finish      trip: from anywhere
 */
import { countCharge } from './charge.js';
import { Condition, RecipeFault } from './codes.js';
import { judgeConditions, Reaction } from './conditions.js';
import { gatedAmps, runLimitAmps } from './output-gate.js';
import { permissivesMissing } from './permissives.js';
import { isLive, Phase } from './phase.js';
import { lookEachStep } from './looks.js';
import { recipeFault } from './recipe-check.js';
import type { Recipe, RigLimits } from './recipe.js';
import { forgetOldEvents, type RunState, tell } from './run-state.js';
import { rampSecondsFrom, setPointAmps } from './set-point.js';
import { Command, EventKind, type Inputs } from './signals.js';
import { lookEachSecond } from './slow-looks.js';

/** A step down of the set-point is forgiven for this long before the measured current is judged against it. */
const SETTLE_MS = 3000;
const NO_CEILING = 1e9;
/** Between two looks at what changes slowly: temperatures, rotation, charge, the length of the run. */
const SLOW_LOOK_MS = 1000;

function isReadyOrLive(phase: Phase): boolean {
  return phase === Phase.ready || isLive(phase);
}

/**
 * Every change of phase comes through here. The contactor's chain is enabled by ready alone and stays so while live.
 * `seconds`: how long the phase may last; not given when it ends by something else.
 */
function enter(state: RunState, phase: Phase, seconds?: number): void {
  tell(state, EventKind.phaseEntered, phase, state.phase, state.chargeMilliCoulombs / 1000);
  if (!isLive(phase)) {
    if (isLive(state.phase)) state.currentLostAtMs = state.clockMs;
    state.outputs.contactorEnabled = state.outputs.motorOn = false;
  }
  state.startIsPressed = false;
  // Until the next slow look every reading is looked at closely.
  state.calmAmps = 0;
  state.phase = phase;
  state.phaseSinceMs = state.clockMs;
  // (NaN is never reached.)
  state.phaseEndsAtMs = state.clockMs + (seconds as number) * 1000;
}

/** Ends the run that is open, if one is. */
function closeRun(state: RunState, because: Condition | 0): void {
  if (state.runIsOpen) {
    tell(state, EventKind.runEnded, because, state.chargeMilliCoulombs / 1000, state.liveMs / 1000);
    state.runIsOpen = false;
  }
}

/** What this run has used up, if that ends it: its charge or its time. */
function spentBy(state: RunState, recipe: Recipe): Condition | 0 {
  if (state.chargeMilliCoulombs >= recipe.chargeMilliCoulombs) return Condition.chargeReached;
  return state.liveMs >= recipe.longestSeconds * 1000 ? Condition.longestRun : 0;
}

function endRun(state: RunState, because: Condition | 0): void {
  enter(state, Phase.done);
  closeRun(state, because);
}

/** The contactor is closed and the press was seen: a new run, or the interrupted one goes on with strike and ramp anew. */
function startRun(state: RunState, recipe: Recipe): void {
  if (state.runIsOpen) {
    const gapSeconds = state.currentLostAtMs < 0 ? -1 : (state.clockMs - state.currentLostAtMs) / 1000;
    tell(state, EventKind.interruption, 0, gapSeconds, 0);
  } else {
    state.runIsOpen = true;
    state.runNumber++;
    tell(state, EventKind.runStarted, 0, recipe.recipeId, state.runNumber);
  }
  state.rampFromAmps = recipe.strikeAmps;
  state.ceilingAmps = NO_CEILING;
  enter(state, Phase.strike, recipe.strikeSeconds);
}

function enterRamp(state: RunState, recipe: Recipe): void {
  enter(state, Phase.ramp, rampSecondsFrom(recipe, state.rampFromAmps));
}

/** A live phase: stop, then what must not last longer, then hold, then finish, then the recipe's own time. */
function moveLive(state: RunState, recipe: Recipe, inputs: Inputs, stopIsAsked: boolean): void {
  const phase = state.phase;
  const worst = state.worst;
  const canEase = phase < Phase.finish;
  if (stopIsAsked) {
    endRun(state, 0);
  } else if (worst === Reaction.finishNow && phase !== Phase.finish) {
    enter(state, Phase.finish, recipe.finishSeconds);
  } else if (
    (canEase && worst === Reaction.hold) ||
    (inputs.command === Command.hold && phase !== Phase.hold && worst !== Reaction.finishNow)
  ) {
    state.heldFromStrike = phase === Phase.strike;
    // What flowed is the most that a hold may let flow: in strike, ramp and finish it can be less than the keep-alive current.
    state.ceilingAmps = Math.min(recipe.holdAmps, state.commandedAmps);
    enter(state, Phase.hold);
  } else if (canEase && worst === Reaction.finish) {
    enter(state, Phase.finish, recipe.finishSeconds);
  } else if (phase === Phase.hold) {
    if (inputs.startPressed && worst !== Reaction.hold) {
      state.rampFromAmps = state.heldFromStrike ? recipe.strikeAmps : state.ceilingAmps;
      state.ceilingAmps = NO_CEILING;
      if (state.heldFromStrike) enter(state, Phase.strike, recipe.strikeSeconds);
      else enterRamp(state, recipe);
    }
  } else if (state.clockMs >= state.phaseEndsAtMs) {
    if (phase === Phase.strike) enterRamp(state, recipe);
    else if (phase === Phase.ramp) enter(state, Phase.plate);
    else endRun(state, spentBy(state, recipe));
  }
}

/** Ready: withdraw, or let the press close the contactor, and start once both the press and the feedback were seen. */
function moveReady(state: RunState, recipe: Recipe, inputs: Inputs, stopIsAsked: boolean): void {
  const outputs = state.outputs;
  if (stopIsAsked) {
    if (state.runIsOpen) {
      endRun(state, 0);
    } else {
      enter(state, Phase.idle);
      state.recipe = undefined;
    }
  } else {
    // A press counts only if the chain was enabled before it: otherwise it cannot have closed anything.
    state.startIsPressed =
      !state.permissivesMissing && (state.startIsPressed || (outputs.contactorEnabled && inputs.startPressed));
    outputs.contactorEnabled = !state.permissivesMissing;
    if (state.startIsPressed && inputs.contactorClosed) startRun(state, recipe);
  }
}

/** Trip and done, reset at the bath: after a trip, and after a stop short of the aim, the run is ready to go on; what is spent is done. */
function moveReset(state: RunState, recipe: Recipe | undefined): void {
  const spent = recipe && spentBy(state, recipe);
  if (spent === 0) {
    if (state.liveMs) state.runIsOpen = true;
    enter(state, Phase.ready);
  } else if (state.phase === Phase.trip) {
    if (spent) endRun(state, spent);
    else enter(state, Phase.idle);
  }
}

/** One phase at most is left in a step. In a live phase nearly always nothing is to be done. */
function move(state: RunState, inputs: Inputs): void {
  const phase = state.phase;
  const recipe = state.recipe;
  const stopIsAsked = inputs.stopPressed || inputs.command === Command.stop;
  if (state.worst === Reaction.trip) {
    if (phase !== Phase.trip) enter(state, Phase.trip);
  } else if (recipe && isLive(phase)) {
    moveLive(state, recipe, inputs, stopIsAsked);
  } else if (recipe && phase === Phase.ready) {
    moveReady(state, recipe, inputs, stopIsAsked);
  } else if (inputs.resetPressed && phase >= Phase.done) {
    moveReset(state, recipe);
  }
}

/** Sets every output from the phase as it is now. The gate decides last. */
function setOutputs(state: RunState, limits: RigLimits): void {
  const recipe = state.recipe;
  const outputs = state.outputs;
  const phase = state.phase;
  const clockMs = state.clockMs;
  const setPoint = recipe ? setPointAmps(recipe, phase, (clockMs - state.phaseSinceMs) / 1000, state.rampFromAmps) : 0;
  // Hold and finish are low already, and copper that is left with too little current loses its bond to the next layer.
  state.derateFraction = phase < Phase.finish ? state.standingFraction : 1;
  state.commandedAmps = Math.min(setPoint, state.ceilingAmps) * state.derateFraction;
  const permittedAmps = gatedAmps(state.commandedAmps, state, limits);
  if (permittedAmps < outputs.permittedAmps) state.permittedFellAtMs = clockMs;
  if (permittedAmps >= state.judgedAmps || clockMs - state.permittedFellAtMs >= SETTLE_MS) {
    state.judgedAmps = permittedAmps;
  }
  outputs.permittedAmps = permittedAmps;
  outputs.buzzer = !state.unacknowledged ? 0 : phase === Phase.trip ? 2 : 1;
}

/**
 * One step. `nowMs` is the controller's uptime: steps may come late (a gap counts at most 20 s of charge), in bursts within the same
 * millisecond, and a clock that jumps back is taken as standing still. With `settingsAreValid` false nothing is ever enabled.
 * Every operating error ends in a phase and an event, none in an exception.
 *
 * Example: ready, every permissive there, `startPressed` and then `contactorClosed`: phase strike, permittedAmps the recipe's strikeAmps.
 */
export function step(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  nowMs: number,
): void {
  forgetOldEvents(state);
  const command = inputs.command;
  const phaseBefore = state.phase;
  const wasLive = isLive(phaseBefore);
  const elapsedMs = Math.max(0, nowMs - state.lastStepMs);
  state.clockMs += elapsedMs;
  if (wasLive) state.liveMs += elapsedMs;
  state.lastStepMs = nowMs;
  if (inputs.rotationPulses !== state.rotationPulses) state.lastPulseAtMs = state.clockMs;
  state.rotationPulses = inputs.rotationPulses;

  if (inputs.resetPressed || command === Command.acknowledge) {
    if (inputs.resetPressed && state.outputs.buzzer) tell(state, EventKind.acknowledged, 0, 0, 0);
    state.unacknowledged = false;
  }
  const monitorIsGood = lookEachStep(state, inputs, limits, wasLive);
  if (monitorIsGood) countCharge(state, inputs.currentAmps, wasLive);
  if (state.clockMs - state.lookedAtMs >= SLOW_LOOK_MS) {
    state.lookedAtMs = state.clockMs;
    lookEachSecond(state, inputs, limits);
    const recipe = state.recipe;
    state.outputs.motorOn = isReadyOrLive(phaseBefore) && !!recipe && recipe.rotationPulsesPerMinute > 0;
    state.outputs.alertLimitAmps = runLimitAmps(state, limits);
  }
  if (state.isToJudge) judgeConditions(state, inputs);
  const isClosing = inputs.contactorClosed || inputs.startPressed || state.startIsPressed;
  state.permissivesMissing = wasLive
    ? 0
    : permissivesMissing(
        state,
        inputs,
        limits,
        settingsAreValid,
        monitorIsGood,
        state.outputs.contactorEnabled && isClosing,
      );
  move(state, inputs);
  // A recipe is not asked of the step: see offerRecipe.
  if (command && command !== Command.recipe) {
    const isDone =
      command === Command.stop ? isReadyOrLive(phaseBefore) : command !== Command.hold || state.phase === Phase.hold;
    tell(state, EventKind.commandAnswered, command, 0, isDone ? 0 : 1);
  }
  setOutputs(state, limits);
  state.eventsAreOld = true;
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
  // Its limits count before any press.
  state.lookedAtMs = -1e9;
  enter(state, Phase.ready);
  return fault;
}
