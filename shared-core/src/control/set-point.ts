/*
 * The current that a recipe asks for at any moment of its phases, before any derating and before the output gate.
 * Called by the supervisor each step and by the planner that previews the night. Knows no limits and no faults.
 */
import { Phase } from './phase.js';
import type { Recipe } from './recipe.js';

/**
 * Seconds that the ramp takes from `fromAmps` up to the recipe's plateAmps: the recipe's own slope, so the whole rampSeconds
 * from strikeAmps and less from above it. 0 where strike and plate are the same current.
 *
 * Example: strike 2 A, plate 12 A, ramp 1800 s: from 7 A it takes 900 s.
 */
export function rampSecondsFrom(recipe: Recipe, fromAmps: number): number {
  const climbAmps = recipe.plateAmps - recipe.strikeAmps;
  return climbAmps > 0 ? (recipe.rampSeconds * (recipe.plateAmps - fromAmps)) / climbAmps : 0;
}

/**
 * Set-point in amperes. `rampFromAmps` is where the ramp began: strikeAmps, or the keep-alive current after a hold.
 * 0 in every phase that is not live.
 *
 * Example: strike 2 A, plate 12 A, ramp 1800 s: `setPointAmps(recipe, Phase.ramp, 900, 2)` is 7.
 */
export function setPointAmps(recipe: Recipe, phase: Phase, secondsInPhase: number, rampFromAmps: number): number {
  if (phase === Phase.strike) return recipe.strikeAmps;
  if (phase === Phase.ramp) {
    const rampSeconds = rampSecondsFrom(recipe, rampFromAmps);
    if (secondsInPhase < rampSeconds) {
      return rampFromAmps + ((recipe.plateAmps - rampFromAmps) * secondsInPhase) / rampSeconds;
    }
    return recipe.plateAmps;
  }
  if (phase === Phase.plate) return recipe.plateAmps;
  if (phase === Phase.finish) return recipe.finishAmps;
  return phase === Phase.hold ? recipe.holdAmps : 0;
}
