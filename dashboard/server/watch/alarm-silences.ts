/*
 * What is shelved and what is out of service, by controller and name, in the store: it holds before, during and after an alarm, and over a
 * restart. Used by the alarm list alone, within its transactions. It calls nobody and ends no alarm.
 */
import type { AlarmName, AlarmSilence } from '@bathkeeper/shared-core/messages';
import { isShelvedAt } from '@bathkeeper/shared-core/watch';
import type { Store } from '../store/store.js';

interface SilenceRow {
  controller_id: string;
  name: AlarmName;
  kind: 'shelved' | 'out-of-service';
  who: string;
  reason: string;
  since_ms: number;
  until_ms: number | null;
}

export interface SilencedName {
  readonly controllerId: string;
  readonly name: AlarmName;
  readonly silence: AlarmSilence;
}

export interface AlarmSilences {
  /** What silences this name now, whether or not it is raised. */
  of(controllerId: string, name: AlarmName, nowMs: number): AlarmSilence[];
  ofController(controllerId: string, nowMs: number): SilencedName[];
  put(controllerId: string, name: AlarmName, silence: Exclude<AlarmSilence, { kind: 'suppressed-by-design' }>): void;
  /** False: there was none of this kind. */
  end(controllerId: string, name: AlarmName, kind: SilenceRow['kind']): boolean;
  /** Shelves that are over, the clock being where it is. */
  overShelves(nowMs: number): SilencedName[];
}

export function openAlarmSilences(store: Store): AlarmSilences {
  const { database } = store;
  const ofName = database.prepare<[string, string], SilenceRow>(
    'SELECT * FROM alarm_silences WHERE controller_id = ? AND name = ? ORDER BY kind DESC',
  );
  const ofController = database.prepare<[string], SilenceRow>(
    'SELECT * FROM alarm_silences WHERE controller_id = ? ORDER BY name, kind DESC',
  );
  const shelves = database.prepare<[], SilenceRow>("SELECT * FROM alarm_silences WHERE kind = 'shelved'");
  const put = database.prepare(
    `INSERT OR REPLACE INTO alarm_silences (controller_id, name, kind, who, reason, since_ms, until_ms)
     VALUES (?, ?, ?, ?, ?, CAST(? AS INTEGER), CAST(? AS INTEGER))`,
  );
  const remove = database.prepare('DELETE FROM alarm_silences WHERE controller_id = ? AND name = ? AND kind = ?');

  /** As the store has them; undefined: they may have changed. Most seconds have none, and need not ask. */
  let shelved: SilencedName[] | undefined;

  const silenceOf = (row: SilenceRow): AlarmSilence => {
    const { who, reason, since_ms: sinceMs } = row;
    return row.until_ms === null
      ? { kind: 'out-of-service', who, reason, sinceMs }
      : { kind: 'shelved', who, reason, sinceMs, untilMs: row.until_ms };
  };
  const holdsAt = (silence: AlarmSilence, nowMs: number): boolean =>
    silence.kind !== 'shelved' || isShelvedAt(silence, nowMs);
  const named = (row: SilenceRow): SilencedName => ({
    controllerId: row.controller_id,
    name: row.name,
    silence: silenceOf(row),
  });

  return {
    of: (controllerId, name, nowMs) =>
      ofName
        .all(controllerId, name)
        .map(silenceOf)
        .filter((one) => holdsAt(one, nowMs)),
    ofController: (controllerId, nowMs) =>
      ofController
        .all(controllerId)
        .map(named)
        .filter((one) => holdsAt(one.silence, nowMs)),
    put: (controllerId, name, silence) => {
      shelved = undefined;
      const untilMs = silence.kind === 'shelved' ? silence.untilMs : null;
      put.run(controllerId, name, silence.kind, silence.who, silence.reason, silence.sinceMs, untilMs);
    },
    end: (controllerId, name, kind) => {
      shelved = undefined;
      return remove.run(controllerId, name, kind).changes > 0;
    },
    overShelves: (nowMs) => {
      shelved ??= shelves.all().map(named);
      return shelved.filter((one) => !holdsAt(one.silence, nowMs));
    },
  };
}
