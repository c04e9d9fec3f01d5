/*
 * What a person can tell the start at the bath: pause it, let it go on, skip to the next phase, lengthen it; and lift a lowering in plate.
 * And what can be asked from afar: lower. Called by the supervisor. Nothing here leaves a hold or closes a contactor.
 */
import { Phase } from './phase.js';
import { RampState } from './ramp-progress.js';
import type { Recipe } from './recipe.js';
import { NO_CEILING, type RunState, tell } from './run-state.js';
import { setCeiling } from './set-point.js';
import { EventKind, type Inputs } from './signals.js';

/** Of EventKind.rampTold. */
const Told = { paused: 1, goesOn: 2, skipped: 3, lengthened: 4, lowerLifted: 5 } as const;
/** Slower than this a start does not get: 64 times. */
const PACE_MIN = 1 / 64;

function told(state: RunState, what: number): void {
  tell(state, EventKind.rampTold, what, state.commandedAmps * 1000, 0);
}

/** A press goes on, or pauses. Who lets it go on accepts the resistance that is there now. */
function turnPause(state: RunState): void {
  const ramp = state.ramp;
  ramp.pressedAtMs = state.clockMs;
  ramp.isPaused = !ramp.isPaused;
  if (ramp.isPaused) {
    if (state.rampState !== RampState.backsOff) state.rampState = RampState.paused;
    told(state, Told.paused);
  } else {
    ramp.lowestOhms = 0;
    if (state.rampState !== RampState.backsOff) state.rampState = RampState.goesOn;
    told(state, Told.goesOn);
  }
}

/**
 * In strike and ramp: hears the buttons; true when the phase is to be skipped. A skip counts only when the press that became it was made in
 * this phase: the press that starts a run is often held for too long.
 */
export function hearRampButtons(state: RunState, inputs: Inputs): boolean {
  const ramp = state.ramp;
  if (inputs.startPressed) turnPause(state);
  if (inputs.resetHeld && ramp.pace > PACE_MIN) {
    ramp.pace /= 2;
    told(state, Told.lengthened);
  }
  if (inputs.startHeld && ramp.pressedAtMs >= state.phaseSinceMs) {
    told(state, Told.skipped);
    return true;
  }
  return false;
}

/** In plate: a press of start lifts what was lowered from afar. Answers what it was lowered to; NO_CEILING when it was not. */
export function liftLowering(state: RunState): number {
  const amps = state.loweredToAmps;
  if (amps < NO_CEILING) {
    state.loweredToAmps = NO_CEILING;
    told(state, Told.lowerLifted);
  }
  return amps;
}

/**
 * Takes a lowering in strike, ramp and plate: never above what is commanded now, before any derating, and not below the keep-alive current. The answer to the command:
 * 0 done, 1 not in this phase, 3 not understood.
 */
export function lower(state: RunState, recipe: Recipe | undefined, toAmps: number): number {
  if (!recipe || state.phase < Phase.strike || state.phase > Phase.plate) return 1;
  if (!(toAmps >= 0)) return 3;
  // Against the whole of it: what is derated stays so, and is not derated twice.
  const wholeAmps = state.commandedAmps / state.derateFraction;
  state.loweredToAmps = Math.min(wholeAmps, state.loweredToAmps, Math.max(recipe.holdAmps, toAmps));
  setCeiling(state);
  tell(state, EventKind.lowered, 0, state.loweredToAmps * 1000, 0);
  return 0;
}
