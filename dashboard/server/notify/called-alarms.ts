/*
 * Which alarms a call tells of, from which of its rounds on, and what it told before another call took them over. Part of the call store, and written
 * through it within the transactions of alarms. It sends nothing and decides nothing.
 */
import type { AlarmName, AlarmView } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';

/** An alarm of a call that somebody should still see. */
export interface CalledAlarm {
  alarm_id: number;
  controller_id: string;
  name: AlarmName;
  priority: AlarmView['priority'];
  title: string;
  detail: string;
  check_first: string;
  raised_at_ms: number;
  /** Of the first round that lists it. */
  joined_round: number;
  /** Its cause is gone (what latches: it was reset); null: it stands. */
  over_at_ms: number | null;
}

export interface AlarmFate {
  acknowledged_at_ms: number | null;
  is_silenced: number;
}

export interface CalledAlarmStore {
  /** The alarm belongs to this call from its given round on; what a call before has told of it stays known. */
  join(alarmId: number, callNumber: number, round: number): void;
  setSilenced(alarmId: number, isSilenced: boolean): void;
  /** Unacknowledged and not silenced, the gravest first, then in the order in which they came. */
  alarmsOf(callNumber: number): CalledAlarm[];
  /** The same, with those that the call has told of and another one has taken over since. */
  alarmsToldBy(callNumber: number): CalledAlarm[];
  /** What became of everything that the call has told of up to this round. */
  fatesOf(callNumber: number, round: number): AlarmFate[];
  /** The calls that have taken something over from this one. */
  callsAfter(callNumber: number): number[];
  /** The same of every call that has not ended: what somebody is being rung for. */
  ringing(): CalledAlarm[];
}

export function openCalledAlarmStore(database: Store['database']): CalledAlarmStore {
  const whole = 'CAST(? AS INTEGER)';
  const keepTold = database.prepare(
    `INSERT OR IGNORE INTO told_before (call_number, alarm_id, joined_round)
     SELECT call_number, alarm_id, joined_round FROM notifications WHERE alarm_id = ? AND call_number <> ?`,
  );
  const join = database.prepare(
    `INSERT INTO notifications (alarm_id, call_number, joined_round) VALUES (${whole}, ${whole}, ${whole})
     ON CONFLICT (alarm_id) DO UPDATE SET call_number = excluded.call_number, joined_round = excluded.joined_round, is_silenced = 0`,
  );
  const silence = database.prepare(`UPDATE notifications SET is_silenced = ${whole} WHERE alarm_id = ?`);
  const calledAlarms = `SELECT a.alarm_id, a.controller_id, a.name, a.priority, a.title, a.detail, a.check_first, a.raised_at_ms, t.joined_round,
       CASE WHEN a.latches = 1 AND a.reset_at_ms IS NULL THEN NULL ELSE a.returned_at_ms END AS over_at_ms`;
  // The gravest first: it gives the call its title and its first step.
  const inOrder = `a.acknowledged_at_ms IS NULL
     ORDER BY CASE a.priority WHEN 'high' THEN 0 WHEN 'medium' THEN 1 ELSE 2 END, t.joined_round, a.alarm_id`;
  const alarmsOf = database.prepare<[number], CalledAlarm>(
    `${calledAlarms} FROM notifications t JOIN alarms a ON a.alarm_id = t.alarm_id
     WHERE t.call_number = ? AND t.is_silenced = 0 AND ${inOrder}`,
  );
  const ringing = database.prepare<[], CalledAlarm>(
    `${calledAlarms} FROM calls c JOIN notifications t ON t.call_number = c.call_number JOIN alarms a ON a.alarm_id = t.alarm_id
     WHERE c.kind = 'alarm' AND c.next_round_at_ms IS NOT NULL AND t.is_silenced = 0 AND ${inOrder}`,
  );
  /** As of this call: the row of another call is the newer one. */
  const told = `(SELECT alarm_id, joined_round FROM notifications WHERE call_number = @call
     UNION SELECT alarm_id, joined_round FROM told_before b WHERE call_number = @call
       AND NOT EXISTS (SELECT 1 FROM notifications o WHERE o.alarm_id = b.alarm_id AND o.call_number = @call)) t
     JOIN notifications n ON n.alarm_id = t.alarm_id JOIN alarms a ON a.alarm_id = t.alarm_id`;
  const alarmsToldBy = database.prepare<[{ call: number }], CalledAlarm>(
    `${calledAlarms} FROM ${told} WHERE n.is_silenced = 0 AND ${inOrder}`,
  );
  const fatesOf = database.prepare<[{ call: number; round: number }], AlarmFate>(
    `SELECT a.acknowledged_at_ms, n.is_silenced FROM ${told} WHERE t.joined_round <= @round`,
  );
  const callsAfter = database
    .prepare<[number], number>(
      `SELECT DISTINCT n.call_number FROM told_before b JOIN notifications n ON n.alarm_id = b.alarm_id
       WHERE b.call_number = ? AND n.call_number <> b.call_number`,
    )
    .pluck();

  return {
    join: (alarmId, callNumber, round) => {
      keepTold.run(alarmId, callNumber);
      join.run(alarmId, callNumber, round);
    },
    setSilenced: (alarmId, isSilenced) => {
      silence.run(Number(isSilenced), alarmId);
    },
    alarmsOf: (callNumber) => alarmsOf.all(callNumber),
    alarmsToldBy: (callNumber) => alarmsToldBy.all({ call: callNumber }),
    fatesOf: (callNumber, round) => fatesOf.all({ call: callNumber, round }),
    callsAfter: (callNumber) => callsAfter.all(callNumber),
    ringing: () => ringing.all(),
  };
}
