/*
 * Alarms of runs that came from a file. They lie apart from the alarms of this store: nothing that raises, calls, counts or shows what stands ever reads them, whatever a
 * file says. Written by the import, read by the logbook, the charts and the routes of alarms; never changed. They have numbers below 0, which no alarm of this store has.
 */
import type { AlarmView, JournalEntry } from '@bathkeeper/shared-core/messages';
import { alarmState } from '@bathkeeper/shared-core/watch';
import type { AlarmOfFile, ChangeOfFile } from '../export/told-shape.js';
import type { Store } from '../store/store.js';

export interface ImportedAlarm {
  readonly alarm: AlarmOfFile;
  readonly journal: readonly ChangeOfFile[];
}

interface Row {
  readonly imported_alarm: number;
  readonly controller_id: string;
  readonly alarm_number: number;
  readonly body: string;
}

const COLUMNS = 'SELECT imported_alarm, controller_id, alarm_number, body FROM imported_alarms';

/** In the order of their numbers in the file. */
export function importedAlarms({ database }: Store, controllerId: string): ImportedAlarm[] {
  return rowsOf(database, controllerId).map(({ body }) => JSON.parse(body) as ImportedAlarm);
}

/** As part of the import. */
export function keepImportedAlarms({ database }: Store, controllerId: string, alarms: readonly ImportedAlarm[]): void {
  const insert = database.prepare(
    `INSERT INTO imported_alarms (controller_id, alarm_number, raised_at_ms, body) VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), ?)`,
  );
  for (const one of alarms) insert.run(controllerId, one.alarm.alarmNumber, one.alarm.raisedAtMs, JSON.stringify(one));
}

export interface ImportedAlarmStory {
  readonly alarm: AlarmView;
  /** Oldest first. */
  readonly journal: readonly JournalEntry[];
}

/** Of one run, as the page is shown them. */
export function importedStories({ database }: Store, controllerId: string): ImportedAlarmStory[] {
  const rows = rowsOf(database, controllerId);
  const ids = new Map(rows.map(({ alarm_number, imported_alarm }) => [alarm_number, -imported_alarm]));
  return rows.map((row) => storyOf(row, ids));
}

/** `alarmId`: below 0. undefined: there is none. */
export function importedStory({ database }: Store, alarmId: number): ImportedAlarmStory | undefined {
  const row = database.prepare<[number], Row>(`${COLUMNS} WHERE imported_alarm = CAST(? AS INTEGER)`).get(-alarmId);
  if (row === undefined) return undefined;
  return importedStories({ database } as Store, row.controller_id).find(({ alarm }) => alarm.alarmId === alarmId);
}

function rowsOf(database: Store['database'], controllerId: string): Row[] {
  return database.prepare<[string], Row>(`${COLUMNS} WHERE controller_id = ? ORDER BY alarm_number`).all(controllerId);
}

function storyOf(
  { controller_id: controllerId, alarm_number, body }: Row,
  ids: ReadonlyMap<number, number>,
): ImportedAlarmStory {
  const { alarm, journal } = JSON.parse(body) as ImportedAlarm;
  const { alarmNumber: _number, latches, resetAtMs, isFirstOut, causedByAlarmNumber, ...told } = alarm;
  const isLatched = latches === 1 && resetAtMs === null;
  const alarmId = ids.get(alarm_number)!;
  const causedByAlarmId = causedByAlarmNumber === null ? undefined : ids.get(causedByAlarmNumber);
  return {
    alarm: {
      ...told,
      alarmId,
      controllerId,
      state: alarmState(told.acknowledgedAtMs, told.returnedAtMs, isLatched),
      notification: told.notifiedAtMs === null ? 'none' : 'delivered',
      isImported: true,
      ...(latches === 1 && resetAtMs !== null ? { resetAtMs } : {}),
      ...(isLatched ? { isLatched: true } : {}),
      ...(isFirstOut === 1 ? { isFirstOut: true } : {}),
      ...(causedByAlarmId === undefined ? {} : { causedByAlarmId }),
    },
    journal: journal.map(({ changeNumber, alarmNumber: _alarm, ...change }) => ({
      entryId: changeNumber,
      controllerId,
      name: alarm.name,
      alarmId,
      ...change,
    })),
  };
}
