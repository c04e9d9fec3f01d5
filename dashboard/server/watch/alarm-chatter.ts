/*
 * Alarms that came back after somebody had acknowledged them, and are held back until they stay: which these are, and since when. Used by the
 * alarm list alone. The journal says since when over a restart, so that a killed dashboard holds nothing back for longer.
 */
import type { AlarmName } from '@bathkeeper/shared-core/messages';
import { CAME_BACK_MS, CHATTER_MS, SEEN_MS } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';
import { type AlarmCause, causeOf } from './alarm-cause.js';
import { ALARM_COLUMNS, type AlarmRow } from './alarm-rows.js';

export interface AlarmChatter {
  /** The newest of this name that was acknowledged and is gone, as long as it may still count. */
  seen(controllerId: string, name: AlarmName, nowMs: number): AlarmRow | undefined;
  hold(alarmId: number, cause: AlarmCause, nowMs: number): void;
  /** What has stood for too long to be chatter, with its cause as it was told last. */
  overdue(nowMs: number): readonly { readonly row: AlarmRow; readonly cause: AlarmCause }[];
  /** It calls by itself now. */
  letGo(alarmId: number): void;
}

interface Held {
  readonly sinceMs: number;
  /** Undefined: told before this start. */
  readonly cause: AlarmCause | undefined;
}

export function openAlarmChatter(store: Store): AlarmChatter {
  const { database } = store;
  const newestSeen = database.prepare<[string, string, number, number], AlarmRow>(
    `SELECT ${ALARM_COLUMNS} WHERE a.controller_id = ? AND a.name = ? AND a.acknowledged_at_ms > ? AND a.returned_at_ms > ?
     ORDER BY a.alarm_id DESC LIMIT 1`,
  );
  const byId = database.prepare<[number], AlarmRow>(`SELECT ${ALARM_COLUMNS} WHERE a.alarm_id = ?`);
  // What was raised again after its acknowledgement, and stands.
  const heldBefore = database.prepare<[], { alarm_id: number; at_ms: number }>(
    `SELECT a.alarm_id, t.at_ms FROM alarms a JOIN alarm_transitions t ON t.id = (SELECT max(id) FROM alarm_transitions
       WHERE alarm_id = a.alarm_id AND what IN ('raised-again', 'acknowledged'))
     WHERE a.returned_at_ms IS NULL AND a.acknowledged_at_ms IS NOT NULL AND a.latches = 0 AND t.what = 'raised-again'`,
  );
  const held = new Map<number, Held>(
    heldBefore.all().map((row) => [row.alarm_id, { sinceMs: row.at_ms, cause: undefined }]),
  );
  return {
    seen: (controllerId, name, nowMs) => newestSeen.get(controllerId, name, nowMs - SEEN_MS, nowMs - CAME_BACK_MS),
    hold: (alarmId, cause, nowMs) => {
      held.set(alarmId, { sinceMs: nowMs, cause });
    },
    overdue: (nowMs) =>
      [...held].flatMap(([alarmId, { sinceMs, cause }]) => {
        const row = byId.get(alarmId);
        // Gone again, or its raising was never written.
        if (row === undefined || row.returned_at_ms !== null) {
          held.delete(alarmId);
          return [];
        }
        // A clock that was set back holds nothing for longer.
        if (nowMs - sinceMs < CHATTER_MS && nowMs >= sinceMs) return [];
        return [{ row, cause: cause ?? causeOf(row, sinceMs) }];
      }),
    letGo: (alarmId) => {
      held.delete(alarmId);
    },
  };
}
