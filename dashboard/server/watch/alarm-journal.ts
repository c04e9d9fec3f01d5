/*
 * The journal of alarms: every transition with when, who and why, in the store. Written by the alarm list within its transactions, read by
 * the page, and turned into the figures of a night. Nothing in it is ever changed or removed.
 */
import type { AlarmFigures, AlarmName, AlarmState, JournalAct, JournalEntry } from '@bathkeeper/shared-core/messages';
import { alarmFigures, type FigureEntry } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';

export const JOURNAL_COUNT_MAX = 500;

export interface JournalQuestion {
  readonly controllerId?: string | undefined;
  readonly alarmId?: number | undefined;
  readonly name?: AlarmName | undefined;
  /** Entries before this one. */
  readonly beforeEntryId?: number | undefined;
  readonly count: number;
}

/** What happened, for the journal. */
export interface Happened {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly alarmId: number | null;
  readonly what: JournalAct;
  readonly state: AlarmState | null;
  readonly who: string;
  readonly reason?: string | undefined;
  /** It was raised while silent. */
  readonly isSilent?: boolean;
}

export interface AlarmJournal {
  note(happened: Happened, nowMs: number): void;
  /** Newest first. */
  entries(question: JournalQuestion): JournalEntry[];
  figures(controllerId: string, fromMs: number, toMs: number): AlarmFigures;
}

interface TransitionRow {
  id: number;
  at_ms: number;
  controller_id: string;
  name: AlarmName;
  alarm_id: number | null;
  what: JournalAct;
  state: AlarmState | null;
  who: string;
  reason: string | null;
}
interface FigureRow extends TransitionRow {
  alarm_id: number;
  priority: FigureEntry['priority'];
  is_silent: number;
}

export function openAlarmJournal(store: Store): AlarmJournal {
  const { database } = store;
  const note = database.prepare(
    `INSERT INTO alarm_transitions (at_ms, controller_id, name, alarm_id, what, state, who, reason, is_silent)
     VALUES (CAST(? AS INTEGER), ?, ?, CAST(? AS INTEGER), ?, ?, ?, ?, CAST(? AS INTEGER))`,
  );
  // What was open when the night began is read from its beginning: it stands since then.
  const ofNight = database.prepare<[string, number, number, number, number], FigureRow>(
    `SELECT t.*, a.priority FROM alarm_transitions t JOIN alarms a ON a.alarm_id = t.alarm_id
     WHERE t.controller_id = ? AND t.at_ms < ?
       AND (t.at_ms >= ? OR a.returned_at_ms IS NULL OR a.returned_at_ms >= ? OR a.acknowledged_at_ms IS NULL
         OR a.acknowledged_at_ms >= ?)
     ORDER BY t.id`,
  );
  return {
    note: ({ controllerId, name, alarmId, what, state, who, reason, isSilent }, nowMs) => {
      note.run(nowMs, controllerId, name, alarmId, what, state, who, reason ?? null, isSilent === true ? 1 : 0);
    },
    entries: ({ controllerId, alarmId, name, beforeEntryId, count }) => {
      const wanted = [
        ['controller_id = ?', controllerId],
        ['alarm_id = ?', alarmId],
        ['name = ?', name],
        ['id < ?', beforeEntryId],
      ].filter(([, value]) => value !== undefined);
      const where = wanted.length === 0 ? '' : `WHERE ${wanted.map(([term]) => term).join(' AND ')}`;
      return database
        .prepare<unknown[], TransitionRow>(`SELECT * FROM alarm_transitions ${where} ORDER BY id DESC LIMIT ?`)
        .all(...wanted.map(([, value]) => value), Math.min(count, JOURNAL_COUNT_MAX))
        .map((row) => ({
          entryId: row.id,
          atMs: row.at_ms,
          controllerId: row.controller_id,
          name: row.name,
          alarmId: row.alarm_id,
          what: row.what,
          state: row.state,
          who: row.who,
          reason: row.reason,
        }));
    },
    figures: (controllerId, fromMs, toMs) =>
      alarmFigures(
        controllerId,
        fromMs,
        toMs,
        ofNight.all(controllerId, toMs, fromMs, fromMs, fromMs).map((row) => ({
          alarmId: row.alarm_id,
          name: row.name,
          priority: row.priority,
          atMs: row.at_ms,
          what: row.what,
          isSilent: row.is_silent === 1,
        })),
      ),
  };
}
