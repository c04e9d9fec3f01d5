/*
 * Alarms of runs that came from a file. They lie apart from the alarms of this store: nothing that raises, calls, counts or shows what stands ever reads them, whatever a
 * file says. Written by the import, read by the logbook, the charts and the routes of alarms; never changed. They have numbers below 0, which no alarm of this store has.
 */
import type { AlarmView, JournalEntry } from '@bathkeeper/shared-core/messages';
import { alarmState } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';

/** An alarm as a file tells it; alarms are numbered within the file. */
export type ToldAlarm = Readonly<
  Pick<
    AlarmView,
    | 'name'
    | 'priority'
    | 'title'
    | 'detail'
    | 'checkFirst'
    | 'causeAtMs'
    | 'raisedAtMs'
    | 'notifiedAtMs'
    | 'acknowledgedAtMs'
    | 'acknowledgedBy'
    | 'returnedAtMs'
  >
> & {
  readonly alarmNumber: number;
  readonly latches: 0 | 1;
  readonly resetAtMs: number | null;
  readonly isFirstOut: 0 | 1;
  readonly causedByAlarmNumber: number | null;
};

/** A change of it, as its journal has it. */
export type ToldChange = Readonly<Pick<JournalEntry, 'atMs' | 'what' | 'state' | 'who' | 'reason'>> & {
  readonly changeNumber: number;
  readonly alarmNumber: number;
};

export interface ImportedAlarm {
  readonly alarm: ToldAlarm;
  readonly journal: readonly ToldChange[];
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

/** As part of the import, some at a time. */
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
  const ids = new Map(rows.map(idOf));
  return rows.map((row) => storyOf(row, ids));
}

/** `alarmId`: below 0. undefined: there is none; of an import that is under way nothing is told. */
export function importedStory({ database }: Store, alarmId: number): ImportedAlarmStory | undefined {
  const row = database
    .prepare<[number], Row>(
      `${COLUMNS} WHERE imported_alarm = CAST(? AS INTEGER) AND controller_id IN (SELECT controller_id FROM imported_runs)`,
    )
    .get(-alarmId);
  if (row === undefined) return undefined;
  const { alarm } = JSON.parse(row.body) as ImportedAlarm;
  const cause = database
    .prepare<[string, number | null], Row>(`${COLUMNS} WHERE controller_id = ? AND alarm_number = CAST(? AS INTEGER)`)
    .get(row.controller_id, alarm.causedByAlarmNumber);
  return storyOf(row, new Map([row, ...(cause === undefined ? [] : [cause])].map(idOf)));
}

const idOf = ({ alarm_number, imported_alarm }: Row): [number, number] => [alarm_number, -imported_alarm];

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
