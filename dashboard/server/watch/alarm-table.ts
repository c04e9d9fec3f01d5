/*
 * The table of alarms: what stands, what stood a short while ago, what the page is shown, and each change of a row. Used by the alarm list and the files
 * beside it, within their transactions. It decides nothing, tells nobody and writes no journal.
 */
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { ALARM_COLUMNS, type AlarmRow, IS_OPEN } from './alarm-rows.js';

/** What is known of an alarm when it is raised; the rest comes later. */
export type NewAlarm = Pick<
  AlarmRow,
  | 'controller_id' | 'name' | 'priority' | 'title' | 'detail' | 'check_first' | 'cause_at_ms' | 'raised_at_ms' | 'latches' | 'condition'
  | 'caused_by_alarm_id' | 'is_silent' | 'suppressed_because'
>; // prettier-ignore

export interface AlarmTable {
  newestOpen(controllerId: string, name: AlarmName): AlarmRow | undefined;
  allOpen(controllerId: string, name: AlarmName): AlarmRow[];
  openOf(controllerId: string): AlarmRow[];
  unacknowledgedOf(controllerId: string): AlarmRow[];
  /** Returned since then, and nobody has acknowledged it: the newest. */
  returnedSince(controllerId: string, name: AlarmName, sinceMs: number): AlarmRow | undefined;
  byId(alarmId: number): AlarmRow | undefined;
  /** For the page: what somebody should see, newest first, then the last of what is over. */
  shown(): AlarmRow[];
  between(controllerId: string, fromMs: number, toMs: number): AlarmRow[];
  /** Standing or gone since then, without what the controller itself says of being unheard. */
  toldSince(controllerId: string, sinceMs: number): Pick<AlarmRow, 'priority' | 'acknowledged_at_ms' | 'is_silent'>[];
  /** Its number. */
  add(alarm: NewAlarm): number;
  /** null: it stands again. */
  setReturned(alarmId: number, atMs: number | null): void;
  setReset(alarmId: number, atMs: number): void;
  setFirstOut(alarmId: number): void;
  setAcknowledged(alarmId: number, who: string, atMs: number): void;
}

export function openAlarmTable(store: Store): AlarmTable {
  const { database } = store;
  const newestOpen = database.prepare<[string, string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND ${IS_OPEN} ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const allOpen = database.prepare<[string, string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  const openOf = database.prepare<[string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  const unacknowledgedOf = database.prepare<[string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.acknowledged_at_ms IS NULL ORDER BY a.alarm_id`,
  );
  const returnedSince = database.prepare<[string, string, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND a.acknowledged_at_ms IS NULL AND a.returned_at_ms > ?
     ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const byId = database.prepare<[number], AlarmRow>(`SELECT ${ALARM_COLUMNS} WHERE a.alarm_id = ?`);
  const shownOpen = database.prepare<[], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.acknowledged_at_ms IS NULL OR ${IS_OPEN} ORDER BY a.alarm_id DESC LIMIT 200`,
  );
  const shownClosed = database.prepare<[], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE NOT (a.acknowledged_at_ms IS NULL OR ${IS_OPEN}) ORDER BY a.alarm_id DESC LIMIT 50`,
  );
  const between = database.prepare<[string, number, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.raised_at_ms >= ? AND a.cause_at_ms <= ? ORDER BY a.alarm_id`,
  );
  const toldSince = database.prepare<[string, number], Pick<AlarmRow, 'priority' | 'acknowledged_at_ms' | 'is_silent'>>(
    `SELECT priority, acknowledged_at_ms, is_silent FROM alarms
     WHERE controller_id = ? AND name <> 'not-acknowledged' AND (returned_at_ms > ? OR ${IS_OPEN})`,
  );
  const insert = database.prepare(
    `INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms, latches, condition,
       caused_by_alarm_id, is_silent, suppressed_because)
     VALUES (?, ?, ?, ?, ?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER),
       CAST(? AS INTEGER), ?)`,
  );
  const setReturned = database.prepare(
    'UPDATE alarms SET returned_at_ms = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setReset = database.prepare(
    'UPDATE alarms SET reset_at_ms = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setFirstOut = database.prepare('UPDATE alarms SET is_first_out = 1 WHERE alarm_id = CAST(? AS INTEGER)');
  const setAcknowledged = database.prepare(
    'UPDATE alarms SET acknowledged_at_ms = CAST(? AS INTEGER), acknowledged_by = ? WHERE alarm_id = CAST(? AS INTEGER)',
  );
  return {
    newestOpen: (controllerId, name) => newestOpen.get(controllerId, name),
    allOpen: (controllerId, name) => allOpen.all(controllerId, name),
    openOf: (controllerId) => openOf.all(controllerId),
    unacknowledgedOf: (controllerId) => unacknowledgedOf.all(controllerId),
    returnedSince: (controllerId, name, sinceMs) => returnedSince.get(controllerId, name, sinceMs),
    byId: (alarmId) => byId.get(alarmId),
    shown: () => [...shownOpen.all(), ...shownClosed.all()],
    between: (controllerId, fromMs, toMs) => between.all(controllerId, fromMs, toMs),
    toldSince: (controllerId, sinceMs) => toldSince.all(controllerId, sinceMs),
    add: (alarm) =>
      Number(
        insert.run(
          alarm.controller_id,
          alarm.name,
          alarm.priority,
          alarm.title,
          alarm.detail,
          alarm.check_first,
          alarm.cause_at_ms,
          alarm.raised_at_ms,
          alarm.latches,
          alarm.condition,
          alarm.caused_by_alarm_id,
          alarm.is_silent,
          alarm.suppressed_because,
        ).lastInsertRowid,
      ),
    setReturned: (alarmId, atMs) => {
      setReturned.run(atMs, alarmId);
    },
    setReset: (alarmId, atMs) => {
      setReset.run(atMs, alarmId);
    },
    setFirstOut: (alarmId) => {
      setFirstOut.run(alarmId);
    },
    setAcknowledged: (alarmId, who, atMs) => {
      setAcknowledged.run(atMs, who, alarmId);
    },
  };
}
