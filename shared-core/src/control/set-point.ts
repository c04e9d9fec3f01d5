/*
 * The current that a recipe asks for at any moment of its phases, before any derating and before the output gate.
 * Called by the supervisor each step and by the planner that previews the night. Knows no limits and no faults.
 */
import { Phase } from './phase.js';
import type { Recipe } from './recipe.js';

/**
 * Set-point in amperes. `rampFromAmps` is where the ramp began: strikeAmps, or the keep-alive current after a hold; its slope is
 * always the recipe's, (plateAmps - strikeAmps) / rampSeconds, or plateAmps / rampSeconds where strike is at the plating current
 * already: a hold must be climbed out of all the same. 0 in every phase that is not live.
 *
 * Example: strike 2 A, plate 12 A, ramp 1800 s: `setPointAmps(recipe, Phase.ramp, 900, 2)` is 7.
 */
export function setPointAmps(recipe: Recipe, phase: Phase, secondsInPhase: number, rampFromAmps: number): number {
  if (phase === Phase.strike) return recipe.strikeAmps;
  if (phase === Phase.ramp) {
    // A ramp without length or height (0 / 0) has not moved yet and ends with the next step.
    const climbAmps =
      ((recipe.plateAmps - recipe.strikeAmps || recipe.plateAmps) * secondsInPhase) / recipe.rampSeconds || 0;
    return Math.min(recipe.plateAmps, rampFromAmps + climbAmps);
  }
  if (phase === Phase.plate) return recipe.plateAmps;
  if (phase === Phase.finish) return recipe.finishAmps;
  return phase === Phase.hold ? recipe.holdAmps : 0;
}
