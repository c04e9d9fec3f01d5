/*
 * Runs that somebody took out of the logbook: brought back within thirty days, else let go with everything that people wrote of them. Called by the routes of the
 * logbook and by the dashboard's clock. What a controller logged stays: its seconds go by their age, and its minutes and charge are the bath's. What was imported goes (gone-imports.ts).
 */
import type { DeletedRun, RunKey } from '@bathkeeper/shared-core/trade';
import { KEPT_AFTER_DELETION_MS } from '../plans/saved-plans.js';
import type { Store } from '../store/store.js';

export interface DeletedRuns {
  /** Newest deletion first; those that can be brought back. */
  list(nowMs: number): DeletedRun[];
  /** The run must be in the logbook. */
  remove(run: RunKey, who: string, nowMs: number): void;
  /** false: it is not among those that can be brought back. */
  bringBack(run: RunKey, nowMs: number): boolean;
  /** Lets one go whose thirty days are over. */
  forgetNext(nowMs: number): void;
}

interface DeletedRow {
  controller_id: string;
  incarnation: number;
  run: number;
  deleted_at_ms: number;
  who: string;
  started_at_ms: number;
  bath_name: string | null;
  part_name: string | null;
}

const OF_RUN = 'controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)';

export function openDeletedRuns(store: Store): DeletedRuns {
  const { database } = store;
  const all = database.prepare<[number], DeletedRow>(
    `SELECT d.*, r.started_at_ms, coalesce(c.bath_name, i.header ->> '$.run.bathName' || ', imported') AS bath_name, p.view ->> 'partName' AS part_name
     FROM deleted_runs d JOIN runs r ON r.controller_id = d.controller_id AND r.incarnation = d.incarnation AND r.run = d.run
     LEFT JOIN controllers c ON c.controller_id = d.controller_id LEFT JOIN imported_runs i ON i.controller_id = d.controller_id
     LEFT JOIN recipes p ON p.recipe_id = r.recipe_id
     WHERE d.is_gone = 0 AND d.deleted_at_ms > CAST(? AS INTEGER) ORDER BY d.deleted_at_ms DESC`,
  );
  const insert = database.prepare(
    'INSERT INTO deleted_runs VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, 0)',
  );
  const takeBack = database.prepare(
    `DELETE FROM deleted_runs WHERE ${OF_RUN} AND is_gone = 0 AND deleted_at_ms > CAST(? AS INTEGER)`,
  );
  const due = database.prepare<[number], RunKey>(
    `SELECT controller_id AS controllerId, incarnation, run FROM deleted_runs
     WHERE is_gone = 0 AND deleted_at_ms <= CAST(? AS INTEGER) ORDER BY deleted_at_ms LIMIT 1`,
  );
  const mark = database.prepare(`UPDATE deleted_runs SET is_gone = 1 WHERE ${OF_RUN}`);
  const ofEntries = `entry_id IN (SELECT entry_id FROM run_entries WHERE ${OF_RUN})`;
  // What refers to an entry goes before it.
  const goes = [
    `DELETE FROM photographs WHERE ${ofEntries}`,
    `DELETE FROM run_entries_undone WHERE ${ofEntries}`,
    `DELETE FROM run_entries WHERE ${OF_RUN}`,
  ].map((sql) => database.prepare(sql));
  const forgottenBefore = (nowMs: number): number => nowMs - KEPT_AFTER_DELETION_MS;

  return {
    list: (nowMs) =>
      all.all(forgottenBefore(nowMs)).map((row) => ({
        controllerId: row.controller_id,
        incarnation: row.incarnation,
        run: row.run,
        bathName: row.bath_name ?? row.controller_id,
        partName: row.part_name,
        startedAtMs: row.started_at_ms,
        deleted: { atMs: row.deleted_at_ms, who: row.who, goneAtMs: row.deleted_at_ms + KEPT_AFTER_DELETION_MS },
      })),
    remove: ({ controllerId, incarnation, run }, who, nowMs) => {
      insert.run(controllerId, incarnation, run, nowMs, who);
    },
    bringBack: ({ controllerId, incarnation, run }, nowMs) =>
      takeBack.run(controllerId, incarnation, run, forgottenBefore(nowMs)).changes > 0,
    forgetNext: (nowMs) => {
      const key = due.get(forgottenBefore(nowMs));
      if (key === undefined) return;
      store.together(() => {
        const name = [key.controllerId, key.incarnation, key.run] as const;
        mark.run(...name);
        for (const one of goes) one.run(...name);
      });
    },
  };
}
