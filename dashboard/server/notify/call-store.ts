/*
 * The table of calls: what is to be told, and when it rings next. Written by calling.ts and call-queue.ts, most of it in the transaction of the
 * alarm itself. It sends nothing and decides nothing; which alarms a call tells of is called-alarms.ts's, the ringings of each channel are
 * delivery-store.ts's.
 */
import { randomUUID } from 'node:crypto';
import type { AlarmName, AlarmView, CallPayload } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { type CalledAlarmStore, openCalledAlarmStore } from './called-alarms.js';
import { type DeliveryStore, openDeliveryStore } from './delivery-store.js';

export type { DeliveryRow } from './delivery-store.js';

export interface CallRow {
  call_number: number;
  call_id: string;
  kind: CallPayload['kind'];
  controller_id: string;
  priority: AlarmView['priority'];
  /** Of what is no alarm; an alarm's words are its own. */
  title: string | null;
  message: string | null;
  /** Only this person, only this channel; null: whoever is due. */
  contact_id: number | null;
  channel_id: number | null;
  queued_at_ms: number;
  round: number;
  started_at_ms: number | null;
  last_round_at_ms: number | null;
  /** null: no further round. */
  next_round_at_ms: number | null;
  rounds_max: number | null;
  confirmed_at_ms: number | null;
  ended_at_ms: number | null;
}

export interface NewCall {
  readonly kind: CallPayload['kind'];
  readonly controllerId: string;
  readonly priority: AlarmView['priority'];
  readonly title?: string;
  readonly message?: string;
  readonly contactId?: number;
  readonly channelId?: number;
  readonly roundsMax?: number;
}

export interface CallStore extends CalledAlarmStore, DeliveryStore {
  add(call: NewCall, nowMs: number): number;
  call(callNumber: number): CallRow | undefined;
  callOfAlarm(alarmId: number): CallRow | undefined;
  /** Calls of a controller's alarms that have not ended. */
  openAlarmCalls(controllerId: string): CallRow[];
  /** Newest first: calls as grave that have not ended, begun since then, of an alarm of this name at whatever bath. */
  openCallsOfName(name: AlarmName, priority: AlarmView['priority'], sinceMs: number, countMax: number): CallRow[];
  dueCalls(nowMs: number): CallRow[];
  nextRoundAtMs(): number | null;
  roundTaken(call: CallRow, round: { nextAtMs: number | null; isRung: boolean }, nowMs: number): void;
  setNextRound(callNumber: number, atMs: number): void;
  /** Nothing reaches somebody whom this call rings: whose turn comes by that is looked at now. */
  lookAgainAt(callNumber: number, nowMs: number): void;
  /**
   * The clock was set by so much (back is negative), to `nowMs`: what was planned by the earlier clock moves with it, or nobody would be rung until
   * then, and everybody at once where it was set forward.
   */
  clockSet(byMs: number, nowMs: number): void;
  /** Who can be called has changed: calls that ring, and those that wait for somebody, are looked at again. */
  lookAgain(nowMs: number): void;
  /** Nothing more goes out for it. */
  end(callNumber: number, nowMs: number): void;
  confirm(callNumber: number, nowMs: number): void;
  newestTestCalls(count: number): CallRow[];
}

export function openCallStore(store: Store): CallStore {
  const { database } = store;
  const calledAlarms = openCalledAlarmStore(database);
  const deliveries = openDeliveryStore(database);
  const whole = 'CAST(? AS INTEGER)';
  const insertCall = database.prepare(
    `INSERT INTO calls (call_id, kind, controller_id, priority, title, message, contact_id, channel_id, queued_at_ms, next_round_at_ms, rounds_max)
     VALUES (?, ?, ?, ?, ?, ?, ${whole}, ${whole}, ${whole}, ${whole}, ${whole})`,
  );
  const oneCall = database.prepare<[number], CallRow>('SELECT * FROM calls WHERE call_number = ?');
  const ofAlarm = database.prepare<[number], CallRow>(
    'SELECT c.* FROM notifications n JOIN calls c ON c.call_number = n.call_number WHERE n.alarm_id = ?',
  );
  const openOf = database.prepare<[string], CallRow>(
    "SELECT * FROM calls WHERE kind = 'alarm' AND controller_id = ? AND next_round_at_ms IS NOT NULL ORDER BY call_number",
  );
  const openOfName = database.prepare<[string, number, string, number], CallRow>(
    `SELECT * FROM calls c WHERE kind = 'alarm' AND priority = ? AND next_round_at_ms IS NOT NULL AND queued_at_ms > ? AND EXISTS (
       SELECT 1 FROM notifications n JOIN alarms a ON a.alarm_id = n.alarm_id WHERE n.call_number = c.call_number AND a.name = ?)
     ORDER BY call_number DESC LIMIT ?`,
  );
  const dueCalls = database.prepare<[number], CallRow>(
    'SELECT * FROM calls WHERE next_round_at_ms <= ? ORDER BY next_round_at_ms, call_number LIMIT 500',
  );
  const nextRound = database.prepare<[], { at: number | null }>(
    'SELECT min(next_round_at_ms) AS at FROM calls WHERE next_round_at_ms IS NOT NULL',
  );
  const takeRound = database.prepare(
    `UPDATE calls SET round = ${whole}, started_at_ms = ${whole}, last_round_at_ms = ${whole}, next_round_at_ms = ${whole}
     WHERE call_number = ?`,
  );
  const setNext = database.prepare(
    `UPDATE calls SET next_round_at_ms = ${whole}, ended_at_ms = NULL WHERE call_number = ?`,
  );
  const lookAgainAt = database.prepare(
    `UPDATE calls SET next_round_at_ms = ${whole} WHERE call_number = ? AND kind = 'alarm' AND ended_at_ms IS NULL`,
  );
  const lookAgain = database.prepare(
    `UPDATE calls SET next_round_at_ms = ${whole} WHERE next_round_at_ms IS NOT NULL AND (started_at_ms IS NULL OR kind = 'alarm')`,
  );
  const moveCalls = database.prepare(
    `UPDATE calls SET queued_at_ms = queued_at_ms + ${whole}, started_at_ms = started_at_ms + ${whole}, last_round_at_ms = last_round_at_ms + ${whole},
       next_round_at_ms = next_round_at_ms + ${whole} WHERE next_round_at_ms IS NOT NULL OR last_round_at_ms > ${whole}
       OR call_number IN (SELECT call_number FROM deliveries WHERE delivered_at_ms IS NULL AND given_up_at_ms IS NULL)`,
  );
  const endCall = database.prepare(
    `UPDATE calls SET next_round_at_ms = NULL, ended_at_ms = coalesce(ended_at_ms, ${whole}) WHERE call_number = ?`,
  );
  const confirmCall = database.prepare(
    `UPDATE calls SET confirmed_at_ms = coalesce(confirmed_at_ms, ${whole}) WHERE call_number = ?`,
  );
  const tests = database.prepare<[number], CallRow>(
    `SELECT * FROM calls WHERE kind = 'test' ORDER BY call_number DESC LIMIT ?`,
  );

  return {
    add: (call, nowMs) =>
      Number(
        insertCall.run(
          randomUUID(),
          call.kind,
          call.controllerId,
          call.priority,
          call.title ?? null,
          call.message ?? null,
          call.contactId ?? null,
          call.channelId ?? null,
          nowMs,
          nowMs,
          call.roundsMax ?? null,
        ).lastInsertRowid,
      ),
    call: (callNumber) => oneCall.get(callNumber),
    callOfAlarm: (alarmId) => ofAlarm.get(alarmId),
    openAlarmCalls: (controllerId) => openOf.all(controllerId),
    openCallsOfName: (name, priority, sinceMs, countMax) => openOfName.all(priority, sinceMs, name, countMax),
    dueCalls: (nowMs) => dueCalls.all(nowMs),
    nextRoundAtMs: () => nextRound.get()!.at,
    roundTaken: (call, { nextAtMs, isRung }, nowMs) => {
      takeRound.run(
        call.round + Number(isRung),
        call.started_at_ms ?? (isRung ? nowMs : null),
        isRung ? nowMs : call.last_round_at_ms,
        nextAtMs,
        call.call_number,
      );
    },
    setNextRound: (callNumber, atMs) => {
      setNext.run(atMs, callNumber);
    },
    lookAgainAt: (callNumber, nowMs) => {
      lookAgainAt.run(nowMs, callNumber);
    },
    clockSet: (byMs, nowMs) => {
      store.together(() => {
        moveCalls.run(byMs, byMs, byMs, byMs, nowMs);
        deliveries.moveTimes(byMs, nowMs);
      });
    },
    lookAgain: (nowMs) => {
      lookAgain.run(nowMs);
    },
    end: (callNumber, nowMs) => {
      endCall.run(nowMs, callNumber);
      deliveries.giveUpAll(callNumber, nowMs);
    },
    confirm: (callNumber, nowMs) => {
      confirmCall.run(nowMs, callNumber);
    },
    newestTestCalls: (count) => tests.all(count),
    ...calledAlarms,
    ...deliveries,
  };
}
