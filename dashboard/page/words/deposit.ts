/*
 * What a charge has become on the part, by proportion to what the recipe says (Faraday's law is linear, and the
 * dashboard has already applied it to the recipe). Used by the sentence, the tank and the night band; no formula of its own.
 */
import type { LiveView, RecipeView, RunView } from '@bathkeeper/shared-core/messages';

/** Average thickness in micrometres for a charge in ampere-hours; 0 when the recipe carries no charge. */
export function thicknessMicrometresAt(recipe: RecipeView, chargeAmpereHours: number): number {
  return recipe.chargeAmpereHours > 0
    ? (recipe.averageThicknessMicrometres * chargeAmpereHours) / recipe.chargeAmpereHours
    : 0;
}

/** The newest charge that is known of a run: the live message is younger than the run's stored records while it lasts. */
export function runChargeAmpereHours(run: RunView, live: LiveView | null): number {
  if (run.endedAtMs !== null || live === null) return run.chargeAmpereHours;
  return Math.max(run.chargeAmpereHours, live.chargeAmpereHours);
}

/** How much of the asked charge is there, 0 to 1. */
export function reachedFraction(recipe: RecipeView, chargeAmpereHours: number): number {
  return recipe.chargeAmpereHours > 0 ? Math.min(1, Math.max(0, chargeAmpereHours / recipe.chargeAmpereHours)) : 0;
}
