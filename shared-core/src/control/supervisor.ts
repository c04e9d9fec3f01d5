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
import { takeReadings } from './readings.js';
import { recipeFault } from './recipe-check.js';
import type { Recipe, RigLimits } from './recipe.js';
import { forgetOldEvents, type RunState, tell } from './run-state.js';
import { setPointAmps } from './set-point.js';
import { Command, EventKind, type Inputs } from './signals.js';

/** A step down of the set-point is forgiven for this long before the measured current is judged against it. */
const SETTLE_MS = 3000;
const NO_CEILING = 1e9;

function isReadyOrLive(phase: Phase): boolean {
  return phase === Phase.ready || isLive(phase);
}

/** Every change of phase comes through here. The contactor's chain is enabled by ready alone and stays so while live. */
function enter(state: RunState, phase: Phase): void {
  tell(state, EventKind.phaseEntered, phase, state.phase, state.chargeMilliCoulombs / 1000);
  if (!isLive(phase)) {
    if (isLive(state.phase)) state.currentLostAtMs = state.clockMs;
    state.outputs.contactorEnabled = false;
  }
  state.startIsPressed = false;
  state.phase = phase;
  state.phaseSinceMs = state.clockMs;
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
  enter(state, Phase.strike);
}

/** Set-point of the present phase at this moment. */
function presentSetPointAmps(state: RunState, recipe: Recipe): number {
  return setPointAmps(recipe, state.phase, (state.clockMs - state.phaseSinceMs) / 1000, state.rampFromAmps);
}

/** The phase that follows when the present one has lasted its time, else the present one. A ramp lasts until it is at the top. */
function phaseByTime(state: RunState, recipe: Recipe): Phase {
  const seconds = (state.clockMs - state.phaseSinceMs) / 1000;
  if (state.phase === Phase.strike && seconds >= recipe.strikeSeconds) return Phase.ramp;
  if (state.phase === Phase.ramp && presentSetPointAmps(state, recipe) >= recipe.plateAmps) return Phase.plate;
  return state.phase === Phase.finish && seconds >= recipe.finishSeconds ? Phase.done : state.phase;
}

/** A live phase: stop, then what must not last longer, then hold, then finish, then the recipe's own time. */
function moveLive(state: RunState, recipe: Recipe, inputs: Inputs, worst: Reaction, stopIsAsked: boolean): void {
  const phase = state.phase;
  const canEase = phase < Phase.finish;
  if (stopIsAsked) {
    endRun(state, 0);
  } else if (worst === Reaction.finishNow && phase !== Phase.finish) {
    enter(state, Phase.finish);
  } else if (
    (canEase && worst === Reaction.hold) ||
    (inputs.command === Command.hold && phase !== Phase.hold && worst !== Reaction.finishNow)
  ) {
    state.heldFromStrike = phase === Phase.strike;
    // What flowed is the most that a hold may let flow: in strike, ramp and finish it can be less than the keep-alive current.
    state.ceilingAmps = Math.min(recipe.holdAmps, state.commandedAmps);
    enter(state, Phase.hold);
  } else if (canEase && worst === Reaction.finish) {
    enter(state, Phase.finish);
  } else if (phase === Phase.hold) {
    if (inputs.startPressed && worst !== Reaction.hold) {
      state.rampFromAmps = state.heldFromStrike ? recipe.strikeAmps : state.ceilingAmps;
      state.ceilingAmps = NO_CEILING;
      enter(state, state.heldFromStrike ? Phase.strike : Phase.ramp);
    }
  } else {
    const next = phaseByTime(state, recipe);
    if (next === Phase.done) endRun(state, spentBy(state, recipe));
    else if (next !== phase) enter(state, next);
  }
}

/** Ready: withdraw, or let the press close the contactor, and start once both the press and the feedback were seen. */
function moveReady(state: RunState, recipe: Recipe, inputs: Inputs, stopIsAsked: boolean): void {
  if (stopIsAsked) {
    if (state.runIsOpen) {
      endRun(state, 0);
    } else {
      enter(state, Phase.idle);
      state.recipe = undefined;
    }
    return;
  }
  const wasEnabled = state.outputs.contactorEnabled;
  state.outputs.contactorEnabled = !state.permissivesMissing;
  // A press counts only if the chain was enabled before it: otherwise it cannot have closed anything.
  state.startIsPressed = !state.permissivesMissing && (state.startIsPressed || (wasEnabled && inputs.startPressed));
  if (state.startIsPressed && inputs.contactorClosed) startRun(state, recipe);
}

/** One phase at most is left in a step. */
function move(state: RunState, inputs: Inputs, worst: Reaction): void {
  const recipe = state.recipe;
  const stopIsAsked = inputs.stopPressed || inputs.command === Command.stop;
  if (worst === Reaction.trip) {
    if (state.phase !== Phase.trip) enter(state, Phase.trip);
  } else if (!recipe) {
    if (state.phase === Phase.trip && inputs.resetPressed) enter(state, Phase.idle);
  } else if (isLive(state.phase)) {
    moveLive(state, recipe, inputs, worst, stopIsAsked);
  } else if (state.phase === Phase.ready) {
    moveReady(state, recipe, inputs, stopIsAsked);
  } else if (inputs.resetPressed && state.phase !== Phase.idle) {
    // After a trip, and after a stop short of the aim, the reset makes the run ready to go on; what is spent is done.
    const spent = spentBy(state, recipe);
    if (!spent) {
      if (state.liveMs) state.runIsOpen = true;
      enter(state, Phase.ready);
    } else if (state.phase === Phase.trip) {
      endRun(state, spent);
    }
  }
}

/** Sets every output from the phase as it is now. The gate decides last. */
function setOutputs(state: RunState, limits: RigLimits): void {
  const recipe = state.recipe;
  const outputs = state.outputs;
  const phase = state.phase;
  // Hold and finish are low already, and copper that is left with too little current loses its bond to the next layer.
  if (phase < Phase.strike || phase > Phase.plate) state.derateFraction = 1;
  const setPoint = recipe ? presentSetPointAmps(state, recipe) : 0;
  state.commandedAmps = Math.min(setPoint, state.ceilingAmps) * state.derateFraction;
  const permittedAmps = gatedAmps(state.commandedAmps, state, limits);
  if (permittedAmps < outputs.permittedAmps) state.permittedFellAtMs = state.clockMs;
  if (permittedAmps >= state.judgedAmps || state.clockMs - state.permittedFellAtMs >= SETTLE_MS) {
    state.judgedAmps = permittedAmps;
  }
  outputs.permittedAmps = permittedAmps;
  outputs.alertLimitAmps = runLimitAmps(state, limits);
  outputs.motorOn = !!recipe && recipe.rotationPulsesPerMinute > 0 && isReadyOrLive(phase);
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
  takeReadings(state, inputs, limits);
  countCharge(state, inputs, wasLive);
  const worst = judgeConditions(state, phaseBefore === Phase.trip && inputs.resetPressed);
  state.restartedInRun = false;
  state.permissivesMissing = wasLive
    ? 0
    : permissivesMissing(
        state,
        inputs,
        limits,
        settingsAreValid,
        state.outputs.contactorEnabled && (inputs.contactorClosed || inputs.startPressed || state.startIsPressed),
      );
  move(state, inputs, worst);
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
  enter(state, Phase.ready);
  return fault;
}
