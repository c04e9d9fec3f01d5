/*
 * The changes from one phase to the next. Called by the supervisor once in each step, after the conditions were judged.
 * Nothing here closes the contactor: ready lets its chain be closed by the press at the bath, and the press leaves a hold; nothing else does.
 */
import { forgetAlertLatch } from './alert-latch-test.js';
import { Condition } from './codes.js';
import { Reaction } from './conditions.js';
import { stopMotor } from './motor-start.js';
import { isLive, Phase } from './phase.js';
import { beginPolarity, polarityIsProven } from './polarity.js';
import { hearRampButtons, liftLowering } from './ramp-tells.js';
import { beginRamp, leaveRamp } from './ramp-watch.js';
import type { Recipe } from './recipe.js';
import { isSetByHand, NO_CEILING, type RunState, tell } from './run-state.js';
import { setSecondMeans } from './second-means.js';
import { rampSecondsFrom, setCeiling } from './set-point.js';
import { Command, EventKind, type Inputs } from './signals.js';

export function isReadyOrLive(phase: Phase): boolean {
  return phase === Phase.ready || isLive(phase);
}

/**
 * Every change of phase comes through here. The contactor's chain is enabled by ready alone and stays so while live.
 * `seconds`: how long the phase may last; not given when it ends by something else.
 */
export function enter(state: RunState, phase: Phase, seconds?: number): void {
  tell(state, EventKind.phaseEntered, phase, state.phase, state.chargeMilliCoulombs / 1000);
  if (!isLive(phase)) {
    if (isLive(state.phase)) state.currentLostAtMs = state.clockMs;
    state.outputs.contactorEnabled = false;
    stopMotor(state);
  }
  state.startIsPressed = false;
  // Until the next slow look every reading is looked at closely.
  state.calmAmps = 0;
  state.phase = phase;
  state.phaseSinceMs = state.clockMs;
  // (NaN is never reached.)
  state.phaseEndsAtMs = state.clockMs + (seconds as number) * 1000;
  leaveRamp(state);
  state.heldAtAmps = NO_CEILING;
  setCeiling(state);
  forgetAlertLatch(state);
  setSecondMeans(state);
}

/** Ends the run that is open, if one is. */
export function closeRun(state: RunState, because: Condition | 0): void {
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

function enterPolarity(state: RunState): void {
  enter(state, Phase.polarity);
  beginPolarity(state);
}

function enterStrike(state: RunState, recipe: Recipe): void {
  state.rampFromAmps = recipe.strikeAmps;
  enter(state, Phase.strike);
  beginRamp(state, recipe.strikeSeconds);
}

function enterRamp(state: RunState, recipe: Recipe, fromAmps: number): void {
  state.rampFromAmps = fromAmps;
  enter(state, Phase.ramp);
  beginRamp(state, rampSecondsFrom(recipe, fromAmps));
}

/** The contactor is closed and the press was seen: a new run, or the interrupted one goes on; either proves its polarity first. */
function startRun(state: RunState, recipe: Recipe): void {
  if (state.runIsOpen) {
    const gapMs = state.clockMs - state.currentLostAtMs;
    tell(state, EventKind.interruption, 0, isNaN(gapMs) ? -1 : gapMs / 1000, 0);
  } else {
    state.runIsOpen = true;
    state.runNumber++;
    tell(state, EventKind.runStarted, 0, recipe.recipeId, state.runNumber);
  }
  state.loweredToAmps = NO_CEILING;
  // The cell is another one: dried, rinsed or clamped anew.
  state.ramp.ohms = state.ramp.lowestOhms = 0;
  state.ramp.pace = 1;
  enterPolarity(state);
}

/** The aim, or the longest time, is reached. What is set by hand cannot be lowered from here, so there it ends, and so it does where polarity is not proven yet. Out of a hold nothing rises. */
function finish(state: RunState, recipe: Recipe): void {
  const heldAtAmps = state.heldAtAmps;
  if (isSetByHand(state) || state.phase === Phase.polarity) endRun(state, spentBy(state, recipe));
  else enter(state, Phase.finish, recipe.finishSeconds);
  state.heldAtAmps = heldAtAmps;
  setCeiling(state);
}

function enterHold(state: RunState, recipe: Recipe): void {
  state.heldFrom = state.phase;
  // What flowed is the most that a hold may let flow: in strike, ramp and finish it can be less than the keep-alive current.
  const amps = Math.min(recipe.holdAmps, state.commandedAmps);
  enter(state, Phase.hold);
  state.heldAtAmps = amps;
  setCeiling(state);
}

/** By a press: what had hardly begun begins again, anything else climbs along the ramp. */
function leaveHold(state: RunState, recipe: Recipe): void {
  if (state.heldFrom === Phase.polarity) enterPolarity(state);
  else if (state.heldFrom === Phase.strike) enterStrike(state, recipe);
  else enterRamp(state, recipe, state.heldAtAmps);
}

/** Strike and ramp end when their time that counts is over, or by the person at the bath. */
function moveStart(state: RunState, recipe: Recipe, inputs: Inputs): void {
  if (hearRampButtons(state, inputs) || state.ramp.doneMs >= state.ramp.endMs) {
    if (state.phase === Phase.strike) enterRamp(state, recipe, recipe.strikeAmps);
    else enter(state, Phase.plate);
  }
}

/** A live phase: stop, then what must not last longer, then hold, then finish, then what the phase itself asks. */
function moveLive(state: RunState, recipe: Recipe, inputs: Inputs, stopIsAsked: boolean): void {
  const phase = state.phase;
  const worst = state.worst;
  const canEase = phase !== Phase.finish && phase !== Phase.hold;
  if (stopIsAsked) {
    endRun(state, 0);
  } else if (worst === Reaction.finishNow && phase !== Phase.finish) {
    finish(state, recipe);
  } else if (
    (canEase && worst === Reaction.hold) ||
    (inputs.command === Command.hold && phase !== Phase.hold && worst !== Reaction.finishNow && !isSetByHand(state))
  ) {
    enterHold(state, recipe);
  } else if (canEase && worst === Reaction.finish) {
    finish(state, recipe);
  } else if (phase === Phase.plate) {
    // What was lowered climbs along the ramp, as out of a hold.
    const amps = inputs.startPressed ? liftLowering(state) : NO_CEILING;
    if (amps < NO_CEILING) enterRamp(state, recipe, amps);
  } else if (phase === Phase.strike || phase === Phase.ramp) {
    moveStart(state, recipe, inputs);
  } else if (phase === Phase.hold) {
    if (inputs.startPressed && worst !== Reaction.hold) leaveHold(state, recipe);
  } else if (phase === Phase.polarity) {
    if (polarityIsProven(state)) enterStrike(state, recipe);
  } else if (state.clockMs >= state.phaseEndsAtMs) {
    endRun(state, spentBy(state, recipe));
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
export function move(state: RunState, inputs: Inputs): void {
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
