/*
 * Lets an imported run go that was deleted and cannot be brought back any more: its records, sums and events, a few at a time so that nothing waits for it, at last its
 * name. Called by the dashboard's clock. What this store's own controllers logged it never touches; that goes by its age alone.
 */
import type { Store } from '../store/store.js';

export const GONE_IMPORTS_STEP_MS = 10_000;
/** Some milliseconds of work. */
const ROWS_A_STEP = 2000;

interface GoneImport {
  readonly controllerId: string;
  readonly controller: number | null;
}

/** In the order of their size. */
const loggedIn = [
  ['raw_records', 'taken_at_ms'],
  ['minutes', 'minute'],
  ['ten_minutes', 'ten_minute'],
] as const;

/** A step answers whether anything is left to do. */
export function openGoneImports(store: Store, rowsAStep = ROWS_A_STEP): () => boolean {
  const { database } = store;
  const next = database.prepare<[], GoneImport>(
    `SELECT i.controller_id AS controllerId, (SELECT min(m.controller) FROM memories m WHERE m.controller_id = i.controller_id) AS controller
     FROM imported_runs i JOIN deleted_runs d ON d.controller_id = i.controller_id AND d.is_gone = 1 ORDER BY i.import_number LIMIT 1`,
  );
  const letGo = loggedIn.map(([table, at]) =>
    database.prepare(
      `DELETE FROM ${table} WHERE controller = :controller AND ${at} <= (SELECT max(${at}) FROM
         (SELECT ${at} FROM ${table} WHERE controller = :controller ORDER BY ${at} LIMIT CAST(:rows AS INTEGER)))`,
    ),
  );
  const letRestGo = [
    'DELETE FROM raw_ends WHERE controller IN (SELECT controller FROM memories WHERE controller_id = ?)',
    'DELETE FROM recipe_plans WHERE recipe_id IN (SELECT recipe_id FROM recipes WHERE controller_id = ?)',
    ...[
      'memories',
      'events',
      'queues',
      'runs',
      'recipes',
      'run_measures',
      'imported_alarms',
      'imported_runs',
      'deleted_runs',
    ].map((table) => `DELETE FROM ${table} WHERE controller_id = ?`),
  ].map((sql) => database.prepare(sql));

  return () => {
    const gone = next.get();
    if (gone === undefined) return false;
    const { controllerId, controller } = gone;
    store.together(() => {
      for (const statement of letGo)
        if (controller !== null && statement.run({ controller, rows: rowsAStep }).changes > 0) return;
      for (const statement of letRestGo) statement.run(controllerId);
    });
    return true;
  };
}
