/*
 * What a person of the trade would say about a recipe before it runs: not forbidden, but known to go wrong.
 * Called by recipe-from-request.ts and, piece by piece, by the plan's warnings; numbers and their sources are in recipe-defaults.ts and in the bath
 * profiles. Forbids nothing.
 */
import type { Recipe } from '../control/recipe.js';
import type { RecipeRequest } from '../messages/api.js';
import type { BathPractice } from './bath-practice.js';
import { longestRunSeconds, stillBathDensityAmpsPerDm2, usualRampMinutesMin } from './recipe-defaults.js';
import { shown, significant } from './shown.js';

/** Seconds without a pulse after which the controller says that rotation stopped: two pulses missed and a fifth, at least 20 s. */
function stallSeconds(pulsesPerMinute: number): number {
  return Math.max(20, 132 / pulsesPerMinute);
}

/** Outside what the bath is used at: burning, or a dull deposit. Undefined within. */
export function densityCaution(densityAmpsPerDm2: number, practice: BathPractice): string | undefined {
  const { min, max } = practice.densityAmpsPerDm2;
  if (densityAmpsPerDm2 > max) {
    return `${significant(densityAmpsPerDm2, 3)} A/dm² is above the usual ${shown(min)} to ${shown(max)} A/dm²: ${practice.troubles.densityHigh}.`;
  }
  if (densityAmpsPerDm2 < min) {
    return `${significant(densityAmpsPerDm2, 3)} A/dm² is below the usual ${shown(min)} to ${shown(max)} A/dm²: ${practice.troubles.densityLow}.`;
  }
  return undefined;
}

/** A first current that paint does not stand. `strikeDensityAmpsPerDm2`: what will flow. */
export function strikeCaution(strikeDensityAmpsPerDm2: number, practice: BathPractice): string | undefined {
  const { min, max } = practice.strikeDensityAmpsPerDm2;
  if (strikeDensityAmpsPerDm2 <= max + 1e-3) return undefined;
  return (
    `A strike of ${significant(strikeDensityAmpsPerDm2, 3)} A/dm² is more than conductive paint usually stands (${shown(min)} to ${shown(max)} A/dm²): ` +
    `the first ${practice.metal.name} turns grainy and brittle and grows only near the contacts. Lower the strike until the paint is covered.`
  );
}

export function rampCaution(rampMinutes: number, practice: BathPractice): string | undefined {
  if (rampMinutes >= usualRampMinutesMin) return undefined;
  return (
    `A ramp of ${shown(rampMinutes)} min is shorter than the usual ${usualRampMinutesMin} to 60 min: full current may come before ${practice.metal.name} covers the paint, ` +
    'and burn it at the contacts. Lengthen it unless the part is metal already.'
  );
}

export function rotationCaution(pulsesPerMinute: number): string | undefined {
  if (pulsesPerMinute === 0) {
    return 'The part does not turn and rotation is not watched: the sides that face the anodes grow thicker. Turn it by hand, or give the pulses a minute of its motor.';
  }
  if (pulsesPerMinute >= 6) return undefined;
  return (
    `At ${shown(pulsesPerMinute)} pulses a minute a standing part is noticed only after ${shown(Math.round(stallSeconds(pulsesPerMinute)))} s. ` +
    'Give the shaft more magnets, or turn it faster, to know within 22 s.'
  );
}

/**
 * Cautions in whole sentences, gravest first; none for a usual recipe.
 * What goes wrong by current density: Metal Finishing Guidebook 2013, p. 279, table X (burning, roughness).
 */
export function recipeCautions(
  request: RecipeRequest,
  recipe: Recipe,
  finishAfterSeconds: number,
  practice: BathPractice,
): string[] {
  const densityAmpsPerDm2 = request.currentDensityAmpsPerDm2;
  const cautions = [
    densityCaution(densityAmpsPerDm2, practice) ?? stillBathCaution(densityAmpsPerDm2, practice),
    strikeCaution(recipe.strikeAmps / recipe.areaDm2, practice),
    recipe.plateAmps > recipe.strikeAmps ? rampCaution(recipe.rampSeconds / 60, practice) : undefined,
    rotationCaution(recipe.rotationPulsesPerMinute),
  ].filter((each) => each !== undefined);
  const isWithinLongest = finishAfterSeconds <= recipe.longestSeconds;
  if (isWithinLongest && recipe.longestSeconds < longestRunSeconds(finishAfterSeconds) - 1) {
    cautions.push(
      `The rig's longest run of ${shown(recipe.longestSeconds / 3600)} h leaves little to spare: planned are ${shown(finishAfterSeconds / 3600)} h, and every hold or derating adds to it. ` +
        'If it is used up the run finishes short of its charge.',
    );
  }
  return cautions;
}

/** Of acid copper only: nothing is known of how fast a still bath of another metal keeps up. */
function stillBathCaution(densityAmpsPerDm2: number, practice: BathPractice): string | undefined {
  if (!practice.isAcidCopper || densityAmpsPerDm2 <= stillBathDensityAmpsPerDm2) return undefined;
  return (
    `Above about ${stillBathDensityAmpsPerDm2} A/dm² (this recipe: ${significant(densityAmpsPerDm2, 3)} A/dm²) a bath without strong agitation cannot bring copper ` +
    'to the part fast enough: edges turn rough, then burn. Keep air or part moving well, or lower the current density.'
  );
}
