/*
 * The current that a recipe asks for at any moment of its phases, before any derating and before the output gate.
 * Called by the supervisor each step and by the planner that previews the night. Knows no limits of the rig and no faults.
 */
import { Phase } from './phase.js';
import { polarityAmps } from './polarity.js';
import type { Recipe } from './recipe.js';
import type { RunState } from './run-state.js';

/** Amperes that a ramp climbs in rampSeconds. Where strike is at the plating current already, a hold has to be climbed out of all the same. */
function climbAmps(recipe: Recipe): number {
  return recipe.plateAmps - recipe.strikeAmps || recipe.plateAmps;
}

/**
 * Seconds that a ramp takes from `fromAmps` up to plateAmps, on the recipe's slope: the whole rampSeconds from strikeAmps, less from above it.
 *
 * Example: strike 2 A, plate 12 A, ramp 1800 s: from 7 A it takes 900 s.
 */
export function rampSecondsFrom(recipe: Recipe, fromAmps: number): number {
  return (recipe.rampSeconds * (recipe.plateAmps - fromAmps)) / climbAmps(recipe);
}

/**
 * Set-point in amperes. `secondsDone`: of a ramp, what counts of its time (the planner: all of it). `rampFromAmps` is where the ramp began: strikeAmps, or the keep-alive current after a hold; its slope is always the
 * recipe's. 0 in every phase that is not live.
 *
 * Example: strike 2 A, plate 12 A, ramp 1800 s: `setPointAmps(recipe, Phase.ramp, 900, 2)` is 7.
 */
export function setPointAmps(recipe: Recipe, phase: Phase, secondsDone: number, rampFromAmps: number): number {
  if (phase === Phase.plate) return recipe.plateAmps;
  if (phase === Phase.strike) return recipe.strikeAmps;
  if (phase === Phase.ramp) {
    // A ramp without length (0 / 0) has not moved yet and ends with the next step.
    return Math.min(recipe.plateAmps, rampFromAmps + ((climbAmps(recipe) * secondsDone) / recipe.rampSeconds || 0));
  }
  if (phase === Phase.finish) return recipe.finishAmps;
  if (phase === Phase.polarity) return polarityAmps(recipe);
  return phase === Phase.hold ? recipe.holdAmps : 0;
}

/** After any of the three was changed: the lowest of them is the ceiling of every set-point. */
export function setCeiling(state: RunState): void {
  state.ceilingAmps = Math.min(state.heldAtAmps, state.loweredToAmps, state.backedOffToAmps);
}
