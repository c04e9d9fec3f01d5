/*
 * The course of a controller's set-point over a window, from the events and recipes in the store. Asked by series.ts; reads only.
 */
import type Database from 'better-sqlite3';
import { EventKind, type Recipe } from '@bathkeeper/shared-core/control';
import { RecipeColumn } from '@bathkeeper/shared-core/messages';
import { easingConditions, setPointCourse, type SetPointStretch, type ToldOfRun } from '@bathkeeper/shared-core/trade';

/** Of the run that was under way when the window begins, and of the one before it: what stands may have been raised there. */
const RUNS_BEFORE = 2;

const WANTED = `(e.kind IN (${[EventKind.booted, EventKind.phaseEntered, EventKind.lowered, EventKind.rampTold].join(', ')})
  OR (e.kind IN (${[EventKind.conditionRaised, EventKind.conditionCleared].join(', ')}) AND e.code IN (${easingConditions.join(', ')})))`;

interface ToldRow extends Omit<ToldOfRun, 'recipe'> {
  readonly recipeId: number;
}

export interface Window {
  readonly controllerId: string;
  readonly fromMs: number;
  readonly toMs: number;
}

export function toldSetPoints(database: Database.Database, { controllerId, fromMs, toMs }: Window): SetPointStretch[] {
  const told = database
    .prepare<[object], ToldRow>(
      `SELECT e.taken_at_ms AS atMs, e.kind, e.code, e.a, e.b, e.incarnation, r.recipe_id AS recipeId
       FROM runs r JOIN events e ON e.controller_id = r.controller_id AND e.run = r.run AND e.incarnation = r.incarnation
       WHERE r.controller_id = :controllerId AND r.started_at_ms < CAST(:toMs AS INTEGER) AND r.started_at_ms >= coalesce((
           SELECT started_at_ms FROM runs WHERE controller_id = :controllerId AND started_at_ms <= CAST(:fromMs AS INTEGER)
           ORDER BY started_at_ms DESC LIMIT 1 OFFSET ${String(RUNS_BEFORE - 1)}), 0)
         AND ${WANTED}
       ORDER BY e.taken_at_ms, e.sequence`,
    )
    .all({ controllerId, fromMs, toMs });
  const readRow = database.prepare<[number], string>('SELECT row FROM recipes WHERE recipe_id = ?').pluck();
  const recipes = new Map<number, Recipe | null>();
  const recipeOf = (recipeId: number): Recipe | null => {
    if (!recipes.has(recipeId)) {
      const row = readRow.get(recipeId);
      recipes.set(recipeId, row === undefined ? null : recipeOfRow(JSON.parse(row) as number[]));
    }
    return recipes.get(recipeId)!;
  };
  return setPointCourse(told.map(({ recipeId, ...event }) => ({ ...event, recipe: recipeOf(recipeId) })));
}

/** Columns are named as the fields are. */
function recipeOfRow(row: readonly number[]): Recipe {
  return Object.fromEntries(
    Object.entries(RecipeColumn).map(([name, column]) => [name, row[column]]),
  ) as unknown as Recipe;
}
