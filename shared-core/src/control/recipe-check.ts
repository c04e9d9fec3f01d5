/*
 * Decides whether a recipe can run on this rig. Called when a recipe arrives, and its second half again before each start, so that a
 * rig limit that was tightened meanwhile still counts. Trusts no field to be there or to be a number. Never changes a recipe.
 */
import { RecipeFault } from './codes.js';
import type { Recipe, RigLimits } from './recipe.js';

const FINISH_SECONDS_MAX = 7200;

/** Is every field there, a number, not negative, and in order with the others? Strike, finish and hold are never above the plating current. */
function isWellFormed(recipe: Recipe): boolean {
  for (const field in recipe) {
    const value = recipe[field as keyof Recipe];
    // 10^12 mC are 278 kAh: beyond any bath, and coulombs still fit an event.
    // (No text and no null is equal to the number that it could be taken for.)
    if (!(value >= 0 && value <= 1e12 && value === +value)) return false;
  }
  // A missing field is no number, so its comparison, or its sum, is false.
  return (
    recipe.recipeId >= 1 &&
    recipe.recipeId < 2147483648 &&
    !(recipe.recipeId % 1) &&
    recipe.areaDm2 > 0 &&
    recipe.plateAmps > 0 &&
    recipe.strikeAmps <= recipe.plateAmps &&
    recipe.finishAmps <= recipe.plateAmps &&
    recipe.holdAmps <= recipe.plateAmps &&
    recipe.strikeSeconds + recipe.rampSeconds + recipe.rotationPulsesPerMinute >= 0 &&
    // The finish comes on top of the longest run, so it is bounded by itself.
    recipe.finishSeconds <= FINISH_SECONDS_MAX &&
    recipe.longestSeconds >= 1 &&
    recipe.chargeMilliCoulombs >= 1 &&
    !(recipe.chargeMilliCoulombs % 1) &&
    recipe.startCelsiusMin <= recipe.bathWarnCelsius &&
    recipe.bathWarnCelsius <= recipe.bathHoldCelsius
  );
}

/** Which limit of the rig a well-formed recipe is above, or `RecipeFault.none`. Limits that cannot be read let nothing pass. */
export function rigFault(recipe: Recipe, limits: RigLimits): RecipeFault {
  if (!(recipe.plateAmps <= limits.currentAmpsMax)) return RecipeFault.aboveRigCurrent;
  if (!(recipe.longestSeconds <= limits.runSecondsMax)) return RecipeFault.aboveRigRunTime;
  return recipe.bathHoldCelsius <= limits.bathCelsiusMax ? RecipeFault.none : RecipeFault.aboveRigTemperature;
}

/**
 * Why the recipe cannot run here, or `RecipeFault.none`.
 *
 * Example: a recipe of 40 A on a rig of 35 A: `RecipeFault.aboveRigCurrent`.
 */
export function recipeFault(recipe: Recipe, limits: RigLimits): RecipeFault {
  return isWellFormed(recipe) ? rigFault(recipe, limits) : RecipeFault.malformed;
}
