/*
 * How an alarm ends: its cause is gone, and what latches was reset at the bath. Used by the alarm list and by its raising, within their transactions.
 * It writes row and journal and tells the listener; whether it is over was decided before.
 */
import type { AlarmAnnouncing } from './alarm-announcing.js';
import type { AlarmJournal } from './alarm-journal.js';
import type { AlarmListener } from './alarm-listener.js';
import { type AlarmRow, isLatched, namedOf, stateOf } from './alarm-rows.js';
import type { AlarmTable } from './alarm-table.js';

export interface AlarmEnding {
  /** Its cause is gone; what latches waits for its reset. The row says so afterwards. */
  end(row: AlarmRow, nowMs: number, reason?: string): void;
  /** And nothing waits for a reset any more. */
  endLatched(row: AlarmRow, nowMs: number, reason?: string): void;
}

export function alarmEnding(options: {
  table: AlarmTable;
  journal: AlarmJournal;
  listener: AlarmListener;
  announcing: AlarmAnnouncing;
}): AlarmEnding {
  const { table, journal, listener, announcing } = options;
  const end = (row: AlarmRow, nowMs: number, reason?: string): void => {
    table.setReturned(row.alarm_id, nowMs);
    row.returned_at_ms = nowMs;
    journal.note({ ...namedOf(row), what: 'returned', state: stateOf(row), who: 'bath', reason }, nowMs);
    if (!isLatched(row)) listener.onReturned(announcing.view(row.alarm_id, nowMs), nowMs);
  };
  const endLatched = (row: AlarmRow, nowMs: number, reason?: string): void => {
    if (row.returned_at_ms === null) end(row, nowMs, reason);
    if (!isLatched(row)) return;
    table.setReset(row.alarm_id, nowMs);
    row.reset_at_ms = nowMs;
    journal.note({ ...namedOf(row), what: 'reset', state: stateOf(row), who: 'bath', reason }, nowMs);
    listener.onReturned(announcing.view(row.alarm_id, nowMs), nowMs);
  };
  return { end, endLatched };
}
