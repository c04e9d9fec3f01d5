/* What a plan hands over to the recipe room. Apart from from-plan.ts, so that the room needs nothing of the planner. */
import { signal } from '@preact/signals';
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import type { PlanRequest } from '@bathkeeper/shared-core/trade';

/** What the newest plan asks of a bath, until it has been sent; null: no plan was taken since the page was loaded. */
export const plannedRequest = signal<RecipeRequest | null>(null);

/** The plan itself, which goes along, so that the record of the run knows its parts. */
export const plannedFrom = signal<PlanRequest | null>(null);
