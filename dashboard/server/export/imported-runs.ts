/*
 * The runs that came from files, as the logbook and the routes know them: their names, who brought them, what they were called where they were made. It writes
 * nothing.
 */
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { KEPT_AFTER_DELETION_MS } from '../plans/saved-plans.js';
import type { Store } from '../store/store.js';
import { ofThisVersion, type RunHeader } from './run-header.js';

export interface RunFile {
  readonly path: string;
  /** As the person's device called it. */
  readonly fileName: string;
  readonly importedBy: string;
  readonly nowMs: number;
}

/** A run that is in the store already; nothing was changed. */
export interface KnownBefore {
  readonly knownAs: ImportedRun;
  /** It can still be brought back into the logbook. */
  readonly isDeleted: boolean;
}

interface ImportedRow {
  readonly controller_id: string;
  readonly imported_at_ms: number;
  readonly imported_by: string;
  readonly file_name: string;
  readonly header: string;
}

/** A colon stands in no name that a controller can be paired under. */
export const importedName = (importNumber: number): string => `imported:${String(importNumber)}`;

/** Those that are in the logbook, newest first. */
export function importedRuns({ database }: Store): ImportedRun[] {
  return importRows(database, Number.MAX_SAFE_INTEGER).map(viewOf);
}

/** undefined: nothing of that name was imported, or not yet all of it. */
export function importedRun({ database }: Store, controllerId: string): ImportedRun | undefined {
  const row = database.prepare<[string], ImportedRow>('SELECT * FROM imported_runs WHERE controller_id = ?').get(controllerId); // prettier-ignore
  return row === undefined ? undefined : viewOf(row);
}

/** The same run of the same controller; one that was deleted for good is none. */
export function knownBefore({ database }: Store, { run }: RunHeader, nowMs: number): KnownBefore | undefined {
  return importRows(database, nowMs - KEPT_AFTER_DELETION_MS)
    .map((row) => ({ knownAs: viewOf(row), isDeleted: row.is_deleted === 1 }))
    .find(
      ({ knownAs: { original, incarnation, run: number } }) =>
        original.controllerId === run.controllerId && incarnation === run.incarnation && number === run.run,
    );
}

/** Newest first, those included that can be brought back: that were deleted after `forgottenBeforeMs`. */
function importRows(database: Store['database'], forgottenBeforeMs: number): (ImportedRow & { is_deleted: number })[] {
  return database
    .prepare<[number], ImportedRow & { is_deleted: number }>(
      `SELECT i.controller_id, i.imported_at_ms, i.imported_by, i.file_name, i.header, d.controller_id IS NOT NULL AS is_deleted
       FROM imported_runs i JOIN runs r ON r.controller_id = i.controller_id LEFT JOIN deleted_runs d ON d.controller_id = i.controller_id
       WHERE d.controller_id IS NULL OR (d.is_gone = 0 AND d.deleted_at_ms > CAST(? AS INTEGER)) ORDER BY i.import_number DESC`,
    )
    .all(forgottenBeforeMs);
}

function viewOf(row: ImportedRow): ImportedRun {
  const header = ofThisVersion(JSON.parse(row.header) as RunHeader);
  const { run, recipe, recordCount, eventCount, alarmCount, entryCount } = header;
  return {
    controllerId: row.controller_id,
    incarnation: run.incarnation,
    run: run.run,
    startedAtMs: run.startedAtMs,
    partName: recipe?.view.partName ?? null,
    recordCount,
    eventCount,
    alarmCount,
    entryCount,
    importedAtMs: row.imported_at_ms,
    importedBy: row.imported_by,
    fileName: row.file_name,
    original: { controllerId: run.controllerId, bathName: run.bathName, isSimulated: run.isSimulated },
  };
}
