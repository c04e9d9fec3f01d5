/*
 * Whether an alarm calls: what silences it now, in whose call it is told, and when a silence has ended. Used by the
 * alarm list within its transactions and once a second. It tells the listener and writes the journal; it never raises or ends an alarm.
 */
import type { Phase } from '@bathkeeper/shared-core/control';
import type { AlarmSilence, AlarmView } from '@bathkeeper/shared-core/messages';
import { type CalledAlarm, callPlace, FLOOD_MS, suppressedBecause } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import type { AlarmJournal } from './alarm-journal.js';
import type { AlarmListener } from './alarm-listener.js';
import { ALARM_COLUMNS, type AlarmRow, IS_OPEN, isLatched, isOpen, namedOf, stateOf, viewOf } from './alarm-rows.js';
import type { AlarmSilences } from './alarm-silences.js';

/** What the house itself raises belongs to no controller. */
export const HOUSE = '';

export interface SilenceAtRaise {
  readonly isSilent: boolean;
  readonly suppressedBecause: string | null;
}

export interface AlarmAnnouncing {
  silencesOf(row: AlarmRow, nowMs: number): AlarmSilence[];
  view(alarmId: number, nowMs: number): AlarmView;
  /** What would silence an alarm that is raised now. */
  silenceAtRaise(
    alarm: Pick<AlarmRow, 'controller_id' | 'name' | 'priority' | 'latches'>,
    nowMs: number,
  ): SilenceAtRaise;
  /** Tells the listener of an alarm that is not silent, and in whose call. */
  announce(alarmId: number, how: 'onRaised' | 'onUnsilenced', nowMs: number): void;
  /** Looks whether it has become silent or ceased to be, and tells. */
  refresh(alarmId: number, nowMs: number): void;
  /** Nobody has acknowledged them, nobody was told, and nothing silences them any more: what the next tick tells. Reads only. */
  owed(nowMs: number): AlarmRow[];
  /** Something of this controller has come to stand. */
  opened(controllerId: string): void;
  /** Follows the plant: refreshes what is open where the phase has changed. */
  tick(nowMs: number): void;
}

export function openAlarmAnnouncing(options: {
  store: Store;
  silences: AlarmSilences;
  journal: AlarmJournal;
  listener: AlarmListener;
  /** The phase of a controller that is heard; undefined: unknown. */
  phaseOf: (controllerId: string, nowMs: number) => Phase | undefined;
}): AlarmAnnouncing {
  const { silences, journal, listener, phaseOf } = options;
  const { database } = options.store;
  const byId = database.prepare<[number], AlarmRow>(`SELECT ${ALARM_COLUMNS} WHERE a.alarm_id = ?`);
  const openOf = database.prepare<[string], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  const openSomewhere = database
    .prepare<[], string>(`SELECT DISTINCT controller_id FROM alarms WHERE ${IS_OPEN}`)
    .pluck();
  const silentSomewhere = database.prepare<[], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.is_silent = 1 AND a.acknowledged_at_ms IS NULL AND ${IS_OPEN} ORDER BY a.alarm_id`,
  );
  /** Controllers with something open, and the phase in which it was last looked at: a second in which nothing changed asks the store nothing. */
  const lookedAt = new Map<string, Phase | undefined>(openSomewhere.all().map((id) => [id, undefined]));
  const announcedSince = database.prepare<[string, number, string, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE (a.controller_id = ? AND a.announced_at_ms >= ?) OR (a.controller_id = ? AND a.announced_at_ms >= ?)
     ORDER BY a.alarm_id`,
  );
  const countRaised = database
    .prepare<[string, number], number>(
      'SELECT count(*) FROM alarms WHERE controller_id = ? AND raised_at_ms > ? AND is_silent = 0',
    )
    .pluck();
  const setSuppressed = database.prepare(
    'UPDATE alarms SET suppressed_because = ? WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setSilent = database.prepare(
    'UPDATE alarms SET is_silent = CAST(? AS INTEGER) WHERE alarm_id = CAST(? AS INTEGER)',
  );
  const setAnnounced = database.prepare(
    `UPDATE alarms SET announced_at_ms = CAST(? AS INTEGER), called_with_alarm_id = CAST(? AS INTEGER), is_flood_call = CAST(? AS INTEGER)
     WHERE alarm_id = CAST(? AS INTEGER)`,
  );

  const need = (alarmId: number): AlarmRow => {
    const row = byId.get(alarmId);
    if (row === undefined) throw new Error(`Alarm ${String(alarmId)} is not in the store.`);
    return row;
  };
  const silencesOf = (row: AlarmRow, nowMs: number): AlarmSilence[] => {
    if (isLatched(row)) return [];
    // A person's silence is for the alarm as it usually is: what is raised as high was not meant.
    const byPeople = row.priority === 'high' ? [] : silences.of(row.controller_id, row.name, nowMs);
    return row.suppressed_because === null
      ? byPeople
      : [...byPeople, { kind: 'suppressed-by-design', reason: row.suppressed_because }];
  };
  const view = (alarmId: number, nowMs: number): AlarmView => {
    const row = need(alarmId);
    return viewOf(row, isOpen(row) ? silencesOf(row, nowMs) : []);
  };

  const followPlant = (row: AlarmRow, nowMs: number): void => {
    const phase = phaseOf(row.controller_id, nowMs);
    if (phase === undefined) return;
    const because = suppressedBecause(row.name, phase) ?? null;
    if (because === row.suppressed_because) return;
    const hasTurned = (because === null) !== (row.suppressed_because === null);
    setSuppressed.run(because, row.alarm_id);
    row.suppressed_because = because;
    if (hasTurned) {
      const what = because === null ? 'unsuppressed' : 'suppressed';
      journal.note({ ...namedOf(row), what, state: stateOf(row), who: 'bath', reason: because ?? undefined }, nowMs);
    }
  };

  const called = (row: AlarmRow): CalledAlarm => ({
    alarmId: row.alarm_id,
    priority: row.priority,
    announcedAtMs: row.announced_at_ms ?? 0,
    calledWithAlarmId: row.called_with_alarm_id,
    isFloodCall: row.is_flood_call === 1,
    isOpen: isOpen(row) && row.acknowledged_at_ms === null && row.is_silent === 0,
  });
  const announce = (alarmId: number, how: 'onRaised' | 'onUnsilenced', nowMs: number): void => {
    const row = need(alarmId);
    const others = announcedSince
      .all(row.controller_id, nowMs - FLOOD_MS, HOUSE, nowMs - FLOOD_MS)
      .filter((one) => one.alarm_id !== alarmId);
    const place = callPlace(
      { priority: row.priority, causedByAlarmId: row.caused_by_alarm_id ?? undefined },
      others.map(called),
      countRaised.get(row.controller_id, nowMs - FLOOD_MS) ?? 0,
      nowMs,
    );
    setAnnounced.run(nowMs, place.calledWithAlarmId ?? null, place.isFloodCall ? 1 : 0, alarmId);
    listener[how](view(alarmId, nowMs), nowMs);
  };

  const refreshRow = (row: AlarmRow, nowMs: number): void => {
    followPlant(row, nowMs);
    const isSilent = silencesOf(row, nowMs).length > 0;
    if (isSilent === (row.is_silent === 1)) return;
    setSilent.run(isSilent ? 1 : 0, row.alarm_id);
    row.is_silent = isSilent ? 1 : 0;
    if (row.acknowledged_at_ms !== null) return;
    if (isSilent) listener.onSilenced(view(row.alarm_id, nowMs), nowMs);
    else announce(row.alarm_id, 'onUnsilenced', nowMs);
  };

  return {
    silencesOf,
    view,
    silenceAtRaise: (alarm, nowMs) => {
      const phase = phaseOf(alarm.controller_id, nowMs);
      const because = phase === undefined ? undefined : suppressedBecause(alarm.name, phase);
      const isByPeople =
        alarm.latches === 0 &&
        alarm.priority !== 'high' &&
        silences.of(alarm.controller_id, alarm.name, nowMs).length > 0;
      return { isSilent: isByPeople || because !== undefined, suppressedBecause: because ?? null };
    },
    announce,
    owed: (nowMs) =>
      silentSomewhere.all().filter((row) => {
        const phase = phaseOf(row.controller_id, nowMs);
        const because = phase === undefined ? row.suppressed_because : (suppressedBecause(row.name, phase) ?? null);
        return silencesOf({ ...row, suppressed_because: because }, nowMs).length === 0;
      }),
    opened: (controllerId) => {
      lookedAt.set(controllerId, undefined);
    },
    refresh: (alarmId, nowMs) => {
      const row = byId.get(alarmId);
      if (row !== undefined && isOpen(row)) refreshRow(row, nowMs);
    },
    tick: (nowMs) => {
      for (const [controllerId, before] of lookedAt) {
        const phase = phaseOf(controllerId, nowMs);
        if (phase === undefined || phase === before) continue;
        const isAnyOpen = options.store.together(() => {
          const rows = openOf.all(controllerId);
          for (const row of rows) refreshRow(row, nowMs);
          return rows.length > 0;
        });
        // Noted only once it is written.
        if (isAnyOpen) lookedAt.set(controllerId, phase);
        else lookedAt.delete(controllerId);
      }
    },
  };
}
