/*
 * A supply whose set-point is a knob: what the person is asked to set, and whether it was set. A ramp becomes steps, and a step is asked for
 * only when the one before it flows. Called by the supervisor with a supply set by hand alone; the board shows what is asked. Never lowers
 * within a run: what a person has set cannot be lowered from here.
 */
import { bandAmps } from './looks.js';
import { Phase } from './phase.js';
import type { Recipe } from './recipe.js';
import { type RunState, tell } from './run-state.js';
import { EventKind, type Inputs } from './signals.js';

/** Against sums of floating point. */
const NEARLY = 1e-9;

/** The step of the ramp that the set-point is on; each is at most a tenth of plateAmps. Without height: the end of the ramp. */
function rampStepAmps(state: RunState, recipe: Recipe, setPoint: number): number {
  const fromAmps = state.rampFromAmps;
  const steps = Math.ceil((recipe.plateAmps - fromAmps) / (recipe.plateAmps / 10) - NEARLY);
  if (!(steps > 0)) return recipe.plateAmps;
  const stepAmps = (recipe.plateAmps - fromAmps) / steps;
  const amps = fromAmps + Math.floor((setPoint - fromAmps) / stepAmps + NEARLY) * stepAmps;
  return Math.min(amps, Math.max(state.askedAmps, fromAmps) + stepAmps);
}

/**
 * What is asked of the person now, in amperes, for the recipe's set-point; events tell when it is to be set and when it was.
 *
 * Example: ramp from 4 A to 20 A: steps of 2 A.
 */
export function askedByHand(state: RunState, inputs: Inputs, recipe: Recipe, setPoint: number): number {
  const currentAmps = inputs.currentAmps;
  // What was asked may have come within the band since the last step.
  const band = Math.min(bandAmps(state.askedAmps), state.askedAmps / 2);
  if (!state.askedIsSet && state.askedAmps > 0 && Math.abs(currentAmps - state.askedAmps) <= band) {
    state.askedIsSet = true;
    tell(state, EventKind.setByHand, 2, currentAmps * 1000, 0);
  }
  const isRamp = state.phase === Phase.ramp;
  if (isRamp && !state.askedIsSet) return state.askedAmps;
  const amps = isRamp ? rampStepAmps(state, recipe, setPoint) : setPoint;
  if (Math.abs(amps - state.askedAmps) > NEARLY) {
    state.askedAmps = amps;
    state.askedIsSet = false;
    if (amps > 0) tell(state, EventKind.setByHand, 1, amps * 1000, 0);
  }
  return state.askedAmps;
}
