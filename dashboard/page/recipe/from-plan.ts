/*
 * Takes a plan as the recipe for a bath: keeps what the plan asks for, and goes to the screen where a bath is chosen. Called by the plan's own page; sends
 * nothing, since that is for the person who has seen what the chosen rig says to it.
 */
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import { type Plan, recipeRequestOf } from '@bathkeeper/shared-core/trade';
import { recipeAddress } from '../state/route.js';
import { plannedFrom, plannedRequest } from './planned-request.js';

/** So many digits a person can read and type again; a hundredth of a thousandth of a night is no matter. */
const DIGITS = 6;

function readable(value: number): number {
  return Number(value.toPrecision(DIGITS));
}

/**
 * The plan's recipe with numbers of six digits.
 *
 * Example: 272.08906 Ah become 272.089 Ah.
 */
export function readableRequest(plan: Plan): RecipeRequest {
  const request = recipeRequestOf(plan);
  return {
    ...request,
    areaDm2: readable(request.areaDm2),
    currentDensityAmpsPerDm2: readable(request.currentDensityAmpsPerDm2),
    ...(request.chargeAmpereHours === undefined ? {} : { chargeAmpereHours: readable(request.chargeAmpereHours) }),
  };
}

/** Goes to the recipe room, where the bath is chosen first if there are several. */
export function takeAsRecipe(plan: Plan): void {
  plannedRequest.value = readableRequest(plan);
  plannedFrom.value = plan.request;
  location.hash = recipeAddress(null);
}
