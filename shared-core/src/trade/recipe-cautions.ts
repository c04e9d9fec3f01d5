/*
 * What a person of the trade would say about a recipe before it runs: not forbidden, but known to go wrong.
 * Called by recipe-from-request.ts; numbers and their sources are in recipe-defaults.ts. Forbids nothing.
 */
import type { Recipe } from '../control/recipe.js';
import type { RecipeRequest } from '../messages/api.js';
import {
  longestRunSeconds,
  stillBathDensityAmpsPerDm2,
  usualDensityAmpsPerDm2,
  usualRampMinutesMin,
  usualStrikeDensityAmpsPerDm2Max,
} from './recipe-defaults.js';
import { shown } from './shown.js';

/** Seconds without a pulse after which the controller says that rotation stopped: two pulses missed and a fifth, at least 20 s. */
function stallSeconds(pulsesPerMinute: number): number {
  return Math.max(20, 132 / pulsesPerMinute);
}

/**
 * Cautions in whole sentences, gravest first; none for a usual recipe.
 * What goes wrong by current density: Metal Finishing Guidebook 2013, p. 279, table X (burning, roughness).
 */
export function recipeCautions(request: RecipeRequest, recipe: Recipe, finishAfterSeconds: number): string[] {
  const cautions: string[] = [];
  const densityAmpsPerDm2 = request.currentDensityAmpsPerDm2;
  if (densityAmpsPerDm2 > usualDensityAmpsPerDm2.max) {
    cautions.push(
      `${shown(densityAmpsPerDm2)} A/dm² is above the usual ${usualDensityAmpsPerDm2.min} to ${usualDensityAmpsPerDm2.max} A/dm²: ` +
        'expect burning, a dark powdery deposit that begins at edges and tips. Lower the current density.',
    );
  } else if (densityAmpsPerDm2 > stillBathDensityAmpsPerDm2) {
    cautions.push(
      `Above about ${stillBathDensityAmpsPerDm2} A/dm² (this recipe: ${shown(densityAmpsPerDm2)} A/dm²) a bath without strong agitation cannot bring copper ` +
        'to the part fast enough: edges turn rough, then burn. Keep air or part moving well, or lower the current density.',
    );
  } else if (densityAmpsPerDm2 < usualDensityAmpsPerDm2.min) {
    cautions.push(
      `${shown(densityAmpsPerDm2)} A/dm² is below the usual ${usualDensityAmpsPerDm2.min} to ${usualDensityAmpsPerDm2.max} A/dm²: ` +
        'the deposit stays dull, the brightener does not level, and particles have long to settle and make it rough. Raise the current density if the part allows it.',
    );
  }
  const strikeDensityAmpsPerDm2 = recipe.strikeAmps / recipe.areaDm2;
  if (strikeDensityAmpsPerDm2 > usualStrikeDensityAmpsPerDm2Max + 1e-3) {
    cautions.push(
      `A strike of ${shown(strikeDensityAmpsPerDm2)} A/dm² is more than conductive paint usually stands (0.2 to ${usualStrikeDensityAmpsPerDm2Max} A/dm²): ` +
        'the first copper turns grainy and brittle and grows only near the contacts. Lower the strike until the paint is covered.',
    );
  }
  const rampMinutes = recipe.rampSeconds / 60;
  if (recipe.plateAmps > recipe.strikeAmps && rampMinutes < usualRampMinutesMin) {
    cautions.push(
      `A ramp of ${shown(rampMinutes)} min is shorter than the usual ${usualRampMinutesMin} to 60 min: full current may come before copper covers the paint, ` +
        'and burn it at the contacts. Lengthen it unless the part is metal already.',
    );
  }
  if (recipe.rotationPulsesPerMinute === 0) {
    cautions.push(
      'The part does not turn and rotation is not watched: the sides that face the anodes grow thicker. Turn it by hand, or give the pulses a minute of its motor.',
    );
  } else if (recipe.rotationPulsesPerMinute < 6) {
    cautions.push(
      `At ${shown(recipe.rotationPulsesPerMinute)} pulses a minute a standing part is noticed only after ${shown(Math.round(stallSeconds(recipe.rotationPulsesPerMinute)))} s. ` +
        'Give the shaft more magnets, or turn it faster, to know within 22 s.',
    );
  }
  const isWithinLongest = finishAfterSeconds <= recipe.longestSeconds;
  if (isWithinLongest && recipe.longestSeconds < longestRunSeconds(finishAfterSeconds) - 1) {
    cautions.push(
      `The rig's longest run of ${shown(recipe.longestSeconds / 3600)} h leaves little to spare: planned are ${shown(finishAfterSeconds / 3600)} h, and every hold or derating adds to it. ` +
        'If it is used up the run finishes short of its charge.',
    );
  }
  return cautions;
}
