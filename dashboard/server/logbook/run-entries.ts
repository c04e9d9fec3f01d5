/*
 * What people wrote into the records of runs: notes, weighings, photographs. Called by the routes of the logbook, which check what comes in, and by the logbook.
 * It only ever adds rows; the store itself refuses to change one, or to delete one whose run is still there.
 */
import type { CorrectRunNote, PhotographBody, RunEntry, RunEntryBody, RunKey } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { entryOf, type WrittenRow } from '../store/written-entry.js';

export interface AddedRunEntry {
  readonly atMs: number;
  readonly who: string;
  readonly note: string;
  readonly body: RunEntryBody;
}

export interface Photograph {
  readonly type: PhotographBody['type'];
  readonly bytes: Buffer;
}

export interface RunEntries {
  /** In the order of what they tell, what was undone with its reason. */
  ofRun(run: RunKey): RunEntry[];
  add(run: RunKey, entry: AddedRunEntry, nowMs: number): RunEntry;
  addPhotograph(run: RunKey, entry: AddedRunEntry, bytes: Uint8Array, nowMs: number): RunEntry;
  /** undefined: there is none of that number in this run, or the run was deleted. */
  photograph(run: RunKey, entryId: number): Photograph | undefined;
  /** 'none': there is no such entry in this run. 'undone': it is undone already. */
  undo(run: RunKey, entryId: number, who: string, reason: string, nowMs: number): RunEntry | 'none' | 'undone';
  /** Undoes a note or a photograph and writes its words anew, for the same moment and of the same picture; both or neither. The new one, or why not, as of `undo`. */
  correct(run: RunKey, entryId: number, correction: CorrectRunNote, nowMs: number): RunEntry | 'none' | 'undone';
  /** Every run that has a weighing. */
  weighedRuns(): RunKey[];
}

const OF_RUN = 'controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)';
const WITH_UNDOING = `SELECT e.*, u.at_ms AS undone_at_ms, u.who AS undone_who, u.reason AS undone_reason
  FROM run_entries e LEFT JOIN run_entries_undone u ON u.entry_id = e.entry_id WHERE ${OF_RUN}`;

export function openRunEntries(store: Store): RunEntries {
  const { database } = store;
  const all = database.prepare<[string, number, number], WrittenRow>(`${WITH_UNDOING} ORDER BY e.at_ms, e.entry_id`);
  const one = database.prepare<[string, number, number, number], WrittenRow>(
    `${WITH_UNDOING} AND e.entry_id = CAST(? AS INTEGER)`,
  );
  const insert = database.prepare(
    `INSERT INTO run_entries (controller_id, incarnation, run, at_ms, written_at_ms, who, note, body)
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?, ?)`,
  );
  const insertPicture = database.prepare('INSERT INTO photographs VALUES (CAST(? AS INTEGER), ?, ?)');
  const sharePicture = database.prepare(
    `INSERT INTO photographs SELECT CAST(? AS INTEGER), type, bytes FROM photographs WHERE entry_id = CAST(? AS INTEGER)`,
  );
  const picture = database.prepare<[string, number, number, number], Photograph>(
    `SELECT p.type, p.bytes FROM photographs p JOIN run_entries e ON e.entry_id = p.entry_id
     WHERE ${OF_RUN} AND p.entry_id = CAST(? AS INTEGER) AND NOT EXISTS (SELECT 1 FROM deleted_runs d
       WHERE d.controller_id = e.controller_id AND d.incarnation = e.incarnation AND d.run = e.run)`,
  );
  const insertUndone = database.prepare(
    'INSERT INTO run_entries_undone VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER), ?, ?)',
  );
  const weighed = database.prepare<[], RunKey>(
    `SELECT DISTINCT controller_id AS controllerId, incarnation, run FROM run_entries WHERE body ->> 'kind' = 'weighing'`,
  );

  const read = ({ controllerId, incarnation, run }: RunKey, entryId: number): RunEntry | undefined => {
    const row = one.get(controllerId, incarnation, run, entryId);
    return row === undefined ? undefined : entryOf<RunEntryBody>(row);
  };
  const add: RunEntries['add'] = (key, { atMs, who, note, body }, nowMs) => {
    const { controllerId, incarnation, run } = key;
    const written = insert.run(controllerId, incarnation, run, atMs, nowMs, who, note, JSON.stringify(body));
    return read(key, Number(written.lastInsertRowid))!;
  };
  const undo: RunEntries['undo'] = (key, entryId, who, reason, nowMs) => {
    const entry = read(key, entryId);
    if (entry === undefined) return 'none';
    if (entry.undone !== null) return 'undone';
    insertUndone.run(entryId, nowMs, who, reason);
    return read(key, entryId)!;
  };
  return {
    ofRun: ({ controllerId, incarnation, run }) => all.all(controllerId, incarnation, run).map(entryOf<RunEntryBody>),
    add,
    addPhotograph: (key, entry, bytes, nowMs) =>
      store.together(() => {
        const added = add(key, entry, nowMs);
        insertPicture.run(added.entryId, (entry.body as PhotographBody).type, Buffer.from(bytes));
        return added;
      }),
    photograph: ({ controllerId, incarnation, run }, entryId) => picture.get(controllerId, incarnation, run, entryId),
    undo,
    correct: (key, entryId, { who, note, reason }, nowMs) =>
      store.together(() => {
        const wrong = undo(key, entryId, who, reason, nowMs);
        if (typeof wrong === 'string') return wrong;
        const added = add(key, { atMs: wrong.atMs, who, note, body: wrong.body }, nowMs);
        // Where the picture stayed elsewhere there is none to be shared.
        sharePicture.run(added.entryId, entryId);
        return added;
      }),
    weighedRuns: () => weighed.all(),
  };
}
