/*
 * From a plan to tonight's recipe: the request that the dashboard turns into a recipe and sends, and what a rig says to it. Called by the command and the
 * page. The controller checks once more by itself, and waits for the button at the bath.
 */
import type { RigLimits } from '../../control/recipe.js';
import type { RecipeRequest } from '../../messages/api.js';
import { recipeFromRequest, type RequestedRecipe } from '../recipe-from-request.js';
import { partNames } from './part-names.js';
import type { Plan } from './plan.js';

const longestName = 80;

/**
 * The plan's own set-point, charge, strike and ramp, so that the recipe runs the night that was shown.
 *
 * Example: 12 dm² at 2 A/dm² to 300 µm of bright copper: area 12, density 2, 272.1 Ah, bath "bright-copper".
 */
export function recipeRequestOf(plan: Plan): RecipeRequest {
  const { request, profile, figures } = plan;
  const { deposit } = figures;
  const optional = <Name extends keyof RecipeRequest>(name: Name, value: RecipeRequest[Name]): object =>
    value === undefined ? {} : { [name]: value };
  return {
    partName: partNames(request.parts).slice(0, longestName),
    areaDm2: deposit.areaDm2.value,
    currentDensityAmpsPerDm2: deposit.setPointDensityAmpsPerDm2.value,
    chargeAmpereHours: deposit.chargeAmpereHours.value,
    bath: profile.key,
    ...optional('cathodeEfficiency', request.cathodeEfficiency),
    ...optional('strikeDensityAmpsPerDm2', request.strikeDensityAmpsPerDm2),
    ...optional('strikeMinutes', request.strikeMinutes),
    ...optional('rampMinutes', request.rampMinutes),
    ...optional('rotationPulsesPerMinute', request.rotationPulsesPerMinute),
  };
}

/** The recipe on that rig, with every refusal and caution; see recipe-from-request.ts. */
export function recipeFromPlan(plan: Plan, limits: RigLimits, recipeId: number, nowMs: number): RequestedRecipe {
  return recipeFromRequest(recipeRequestOf(plan), limits, recipeId, nowMs);
}
