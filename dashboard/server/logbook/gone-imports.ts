/*
 * Lets everything go that lies in the store under the name of an imported run, some at a time so that nothing waits for it: of one that was deleted and cannot be brought back
 * any more, and of one that was left half-way. Called by the dashboard's clock and by the import. What this store's own controllers logged it never touches; that goes by its age alone.
 */
import { isImported } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';

export const GONE_IMPORTS_STEP_MS = 10_000;
/** Some milliseconds of work. */
const ROWS_A_STEP = 1000;

/** By the controller's number, in the order of their size. */
const loggedIn = [
  ['raw_records', 'taken_at_ms'],
  ['minutes', 'minute'],
  ['ten_minutes', 'ten_minute'],
] as const;
/** By its name. */
const namedIn = [
  ['events', 'sequence'],
  ['imported_alarms', 'imported_alarm'],
] as const;
const restIn = ['memories', 'queues', 'runs', 'recipes', 'run_measures', 'imported_runs', 'deleted_runs', 'begun_imports'] as const; // prettier-ignore

/** One step of clearing a name, the last of which takes the name itself. */
export function openClearing({ database, together }: Store, rowsAStep = ROWS_A_STEP): (controllerId: string) => void {
  const numbered = database
    .prepare<[string], number | null>('SELECT min(controller) FROM memories WHERE controller_id = ?')
    .pluck();
  const some = (table: string, at: string, whose: string) =>
    database.prepare(
      `DELETE FROM ${table} WHERE ${whose} = :whose AND ${at} <= (SELECT max(${at}) FROM
         (SELECT ${at} FROM ${table} WHERE ${whose} = :whose ORDER BY ${at} LIMIT CAST(:rows AS INTEGER)))`,
    );
  const logged = loggedIn.map(([table, at]) => some(table, at, 'controller'));
  const named = namedIn.map(([table, at]) => some(table, at, 'controller_id'));
  const rest = [
    'DELETE FROM raw_ends WHERE controller IN (SELECT controller FROM memories WHERE controller_id = ?)',
    'DELETE FROM recipe_plans WHERE recipe_id IN (SELECT recipe_id FROM recipes WHERE controller_id = ?)',
    ...restIn.map((table) => `DELETE FROM ${table} WHERE controller_id = ?`),
  ].map((sql) => database.prepare(sql));
  return (controllerId) => {
    if (!isImported(controllerId)) throw new Error(`expected the name of an imported run, got ${controllerId}`);
    const controller = numbered.get(controllerId) ?? null;
    together(() => {
      for (const statement of logged)
        if (controller !== null && statement.run({ whose: controller, rows: rowsAStep }).changes > 0) return;
      for (const statement of named) if (statement.run({ whose: controllerId, rows: rowsAStep }).changes > 0) return;
      for (const statement of rest) statement.run(controllerId);
    });
  };
}

/** Of those that were deleted. A step answers whether anything is left to do. */
export function openGoneImports(store: Store, rowsAStep = ROWS_A_STEP): () => boolean {
  const clear = openClearing(store, rowsAStep);
  const next = store.database
    .prepare<[], string>(
      `SELECT i.controller_id FROM imported_runs i JOIN deleted_runs d ON d.controller_id = i.controller_id AND d.is_gone = 1
       ORDER BY i.import_number LIMIT 1`,
    )
    .pluck();
  return () => {
    const controllerId = next.get();
    if (controllerId === undefined) return false;
    clear(controllerId);
    return true;
  };
}
