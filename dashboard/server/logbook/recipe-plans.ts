/* The plan that a recipe came from, kept beside it, so that the record of its run can show the parts and what was asked. Written when a recipe is sent. */
import type { PlanRequest } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

export interface RecipePlans {
  keep(recipeId: number, plan: PlanRequest): void;
  /** null: the recipe came from no plan. */
  of(recipeId: number): PlanRequest | null;
}

export function openRecipePlans({ database }: Store): RecipePlans {
  const insert = database.prepare('INSERT OR REPLACE INTO recipe_plans VALUES (CAST(? AS INTEGER), ?)');
  const read = database.prepare<[number], { request: string }>(
    'SELECT request FROM recipe_plans WHERE recipe_id = CAST(? AS INTEGER)',
  );
  return {
    keep: (recipeId, plan) => {
      insert.run(recipeId, JSON.stringify(plan));
    },
    of: (recipeId) => {
      const row = read.get(recipeId);
      return row === undefined ? null : (JSON.parse(row.request) as PlanRequest);
    },
  };
}
