/*
 * The first and the last transaction of an import. The first takes a name for it (`imported:1`, which no controller can have) and notes that it was begun; the last
 * makes what lies under that name a run of the logbook, and takes the note away. Called by imports.ts.
 */
import type { Store } from '../store/store.js';
import { keepEntries } from './keep-entries.js';
import { importedName, type RunFile } from './imported-runs.js';
import type { RowsAside } from './rows-aside.js';
import type { RunHeader } from './run-header.js';
import type { SetAside } from './set-aside.js';

export interface BegunImport {
  readonly importNumber: number;
  readonly controllerId: string;
}

/** Neither the number of a run nor of one that was left half-way is taken. */
export function beginImport({ database }: Store, nowMs: number): BegunImport {
  const importNumber = database
    .prepare<[], number>(
      `SELECT 1 + coalesce(max(import_number), 0) FROM (SELECT import_number FROM imported_runs UNION ALL SELECT import_number FROM begun_imports)`,
    )
    .pluck()
    .get()!;
  const controllerId = importedName(importNumber);
  database
    .prepare('INSERT INTO begun_imports VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER))')
    .run(importNumber, controllerId, nowMs);
  return { importNumber, controllerId };
}

export function endImport(
  store: Store,
  { importNumber, controllerId }: BegunImport,
  { header, last }: SetAside,
  aside: RowsAside,
  { fileName, importedBy, nowMs }: RunFile,
): void {
  const { database } = store;
  const { incarnation, run, startedAtMs, endedAtMs, endedCode, chargeMillicoulombs } = header.run;
  database
    .prepare(
      `INSERT INTO imported_runs VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?)`,
    )
    .run(importNumber, controllerId, incarnation, run, nowMs, importedBy, fileName, JSON.stringify(header));
  keepEntries(store, { controllerId, incarnation, run }, aside);
  database
    .prepare(
      `INSERT INTO queues (controller_id, incarnation, records_through, events_through) VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
    )
    .run(controllerId, incarnation, last.recordsThrough, last.eventsThrough);
  database
    .prepare(
      `INSERT INTO runs (controller_id, run, incarnation, recipe_id, started_at_ms, ended_at_ms, ended_code, charge_millicoulombs)
       VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))`,
    )
    .run(
      controllerId, run, incarnation, keptRecipe(store, controllerId, header), startedAtMs,
      // It goes on nowhere: a run that was still going on when it was written ends here with its last record, and with the charge of that.
      endedAtMs ?? last.newestAtMs ?? startedAtMs, endedCode, endedAtMs === null ? last.chargeMillicoulombs : chargeMillicoulombs,
    ); // prettier-ignore
  database.prepare('DELETE FROM begun_imports WHERE import_number = CAST(? AS INTEGER)').run(importNumber);
}

/** Its recipe under a number of this store. 0: the file has none. */
function keptRecipe({ database }: Store, controllerId: string, { recipe }: RunHeader): number {
  if (recipe === null) return 0;
  const { madeAtMs, view, row } = recipe;
  const recipeId = 1 + Number(database.prepare('SELECT coalesce(max(recipe_id), 0) FROM recipes').pluck().get());
  database
    .prepare('INSERT INTO recipes VALUES (CAST(? AS INTEGER), ?, CAST(? AS INTEGER), ?, ?)')
    .run(recipeId, controllerId, madeAtMs, JSON.stringify({ ...view, recipeId }), JSON.stringify(row));
  return recipeId;
}
