/*
 * Decides whether a recipe can run on this rig. Called when a recipe arrives, and again before each start, so a rig limit that was
 * tightened meanwhile still counts. Trusts no field to be there or to be a number. Never changes a recipe.
 */
import { RecipeFault } from './codes.js';
import type { Recipe, RigLimits } from './recipe.js';

function isWithin(value: number, min: number, max: number): boolean {
  return typeof value === 'number' && value >= min && value <= max;
}

/**
 * Why the recipe cannot run here, or `RecipeFault.none`. The ranges are what any rig allows (our own choice, wide on purpose);
 * strike, finish and hold are never above the plating current, and start < warn < hold in degrees.
 *
 * Example: a recipe of 40 A on a rig of 35 A: `RecipeFault.aboveRigCurrent`.
 */
export function recipeFault(recipe: Recipe, limits: RigLimits): RecipeFault {
  const plateAmps = recipe.plateAmps;
  const warnCelsius = recipe.bathWarnCelsius;
  if (
    !isWithin(recipe.recipeId, 1, 2147483647) ||
    recipe.recipeId % 1 ||
    !isWithin(recipe.areaDm2, 0.01, 1e4) ||
    !isWithin(plateAmps, 0.01, 1e4) ||
    !isWithin(recipe.strikeAmps, 0, plateAmps) ||
    !isWithin(recipe.finishAmps, 0, plateAmps) ||
    !isWithin(recipe.holdAmps, 0, plateAmps) ||
    !isWithin(recipe.strikeSeconds, 0, 1e6) ||
    !isWithin(recipe.rampSeconds, 0, 1e6) ||
    !isWithin(recipe.finishSeconds, 0, 1e6) ||
    !isWithin(recipe.longestSeconds, 1, 1e6) ||
    !isWithin(recipe.chargeMilliCoulombs, 1, 1e12) ||
    recipe.chargeMilliCoulombs % 1 ||
    !isWithin(recipe.rotationPulsesPerMinute, 0, 600) ||
    !isWithin(warnCelsius, 1, 90) ||
    !isWithin(recipe.startCelsiusMin, 0, warnCelsius) ||
    !isWithin(recipe.bathHoldCelsius, warnCelsius, 90)
  ) {
    return RecipeFault.malformed;
  }
  if (!(plateAmps <= limits.currentAmpsMax)) return RecipeFault.aboveRigCurrent;
  if (!(recipe.longestSeconds <= limits.runSecondsMax)) return RecipeFault.aboveRigRunTime;
  return recipe.bathHoldCelsius <= limits.bathCelsiusMax ? RecipeFault.none : RecipeFault.aboveRigTemperature;
}
