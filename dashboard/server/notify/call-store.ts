/*
 * The tables of calls: what is to be told, which alarms it tells of, and one delivery for each ringing of each channel. Written by
 * calling.ts and call-queue.ts, most of it in the transaction of the alarm itself. It sends nothing and decides nothing.
 */
import { randomUUID } from 'node:crypto';
import type { AlarmName, AlarmView, CallPayload } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';

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

export interface DeliveryRow {
  delivery_number: number;
  call_number: number;
  contact_id: number;
  channel_id: number;
  round: number;
  queued_at_ms: number;
  tries: number;
  delivered_at_ms: number | null;
  /** The link in it was used. */
  used_at_ms: number | null;
}

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

export interface CallStore {
  add(call: NewCall, nowMs: number): number;
  call(callNumber: number): CallRow | undefined;
  callOfAlarm(alarmId: number): CallRow | undefined;
  /** Calls of a controller's alarms that have not ended. */
  openAlarmCalls(controllerId: string): CallRow[];
  /** Newest first: calls as grave that have not ended, begun since then, of an alarm of this name at whatever bath. */
  openCallsOfName(name: AlarmName, priority: AlarmView['priority'], sinceMs: number, countMax: number): CallRow[];
  /** The alarm belongs to this call from its given round on. */
  join(alarmId: number, callNumber: number, round: number): void;
  setSilenced(alarmId: number, isSilenced: boolean): void;
  /** Unacknowledged and not silenced, in the order in which they came. */
  alarmsOf(callNumber: number): CalledAlarm[];
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

  addDelivery(
    call: CallRow,
    round: number,
    contactId: number,
    channelId: number,
    nowMs: number,
    firstTryAtMs: number,
  ): void;
  delivery(deliveryNumber: number): DeliveryRow | undefined;
  deliveriesOf(callNumber: number): (DeliveryRow & { given_up_at_ms: number | null; last_failure: string | null })[];
  /** Channels with deliveries that are due. */
  dueChannels(nowMs: number): number[];
  dueDeliveries(channelId: number, nowMs: number, countMax: number): DeliveryRow[];
  /** The first try after then. */
  nextTryAtMs(afterMs: number): number | null;
  delivered(delivery: DeliveryRow, nowMs: number): void;
  failed(delivery: DeliveryRow, words: string, nextTryAtMs: number): void;
  giveUp(deliveryNumber: number, nowMs: number): void;
  /** False: it was used before. */
  use(deliveryNumber: number, nowMs: number): boolean;
  noteConfirmation(delivery: DeliveryRow, kind: CallPayload['kind'], nowMs: number): void;
}

export function openCallStore(store: Store): CallStore {
  const { database } = store;
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
  const join = database.prepare(
    `INSERT INTO notifications (alarm_id, call_number, joined_round) VALUES (${whole}, ${whole}, ${whole})
     ON CONFLICT (alarm_id) DO UPDATE SET call_number = excluded.call_number, joined_round = excluded.joined_round, is_silenced = 0`,
  );
  const silence = database.prepare(`UPDATE notifications SET is_silenced = ${whole} WHERE alarm_id = ?`);
  const alarmsOf = database.prepare<[number], CalledAlarm>(
    `SELECT a.alarm_id, a.controller_id, a.name, a.priority, a.title, a.detail, a.check_first, a.raised_at_ms, n.joined_round,
       CASE WHEN a.latches = 1 AND a.reset_at_ms IS NULL THEN NULL ELSE a.returned_at_ms END AS over_at_ms
     FROM notifications n JOIN alarms a ON a.alarm_id = n.alarm_id
     WHERE n.call_number = ? AND n.is_silenced = 0 AND a.acknowledged_at_ms IS NULL ORDER BY n.joined_round, a.alarm_id`,
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
    `UPDATE calls SET started_at_ms = started_at_ms + ${whole}, last_round_at_ms = last_round_at_ms + ${whole},
       next_round_at_ms = next_round_at_ms + ${whole} WHERE next_round_at_ms IS NOT NULL OR last_round_at_ms > ${whole}`,
  );
  const endCall = database.prepare(
    `UPDATE calls SET next_round_at_ms = NULL, ended_at_ms = coalesce(ended_at_ms, ${whole}) WHERE call_number = ?`,
  );
  const giveUpAll = database.prepare(
    `UPDATE deliveries SET given_up_at_ms = ${whole} WHERE call_number = ? AND delivered_at_ms IS NULL AND given_up_at_ms IS NULL`,
  );
  const confirmCall = database.prepare(
    `UPDATE calls SET confirmed_at_ms = coalesce(confirmed_at_ms, ${whole}) WHERE call_number = ?`,
  );
  const tests = database.prepare<[number], CallRow>(
    `SELECT * FROM calls WHERE kind = 'test' ORDER BY call_number DESC LIMIT ?`,
  );

  const insertDelivery = database.prepare(
    `INSERT INTO deliveries (call_number, contact_id, channel_id, round, queued_at_ms, next_try_at_ms)
     VALUES (${whole}, ${whole}, ${whole}, ${whole}, ${whole}, ${whole}) ON CONFLICT DO NOTHING`,
  );
  // A reminder of the same channel tells all that the one before would have told.
  const giveUpEarlier = database.prepare(
    `UPDATE deliveries SET given_up_at_ms = ${whole}
     WHERE call_number = ? AND channel_id = ? AND round < ? AND delivered_at_ms IS NULL AND given_up_at_ms IS NULL`,
  );
  const oneDelivery = database.prepare<[number], DeliveryRow>('SELECT * FROM deliveries WHERE delivery_number = ?');
  const ofCall = database.prepare<
    [number],
    DeliveryRow & { given_up_at_ms: number | null; last_failure: string | null }
  >('SELECT * FROM deliveries WHERE call_number = ? ORDER BY delivery_number');
  const waiting = 'delivered_at_ms IS NULL AND given_up_at_ms IS NULL';
  const moveDeliveries = database.prepare(
    `UPDATE deliveries SET next_try_at_ms = next_try_at_ms + ${whole} WHERE ${waiting}`,
  );
  const dueChannels = database.prepare<[number], { channel_id: number }>(
    `SELECT DISTINCT channel_id FROM deliveries WHERE ${waiting} AND next_try_at_ms <= ?`,
  );
  const dueDeliveries = database.prepare<[number, number, number], DeliveryRow>(
    `SELECT * FROM deliveries WHERE ${waiting} AND channel_id = ? AND next_try_at_ms <= ? ORDER BY next_try_at_ms, delivery_number LIMIT ?`,
  );
  const nextTry = database.prepare<[number], { at: number | null }>(
    `SELECT min(next_try_at_ms) AS at FROM deliveries WHERE ${waiting} AND next_try_at_ms > ?`,
  );
  const setDelivered = database.prepare(
    `UPDATE deliveries SET delivered_at_ms = ${whole}, tries = tries + 1, last_failure = NULL WHERE delivery_number = ?`,
  );
  const setFailed = database.prepare(
    `UPDATE deliveries SET tries = tries + 1, next_try_at_ms = ${whole}, last_failure = ? WHERE delivery_number = ?`,
  );
  const noteOnAlarms = database.prepare(
    `UPDATE notifications SET tries = tries + 1, delivered_at_ms = coalesce(delivered_at_ms, ${whole})
     WHERE call_number = ? AND joined_round <= ?`,
  );
  const giveUp = database.prepare(
    `UPDATE deliveries SET given_up_at_ms = ${whole} WHERE delivery_number = ? AND ${waiting}`,
  );
  const use = database.prepare(
    `UPDATE deliveries SET used_at_ms = ${whole} WHERE delivery_number = ? AND used_at_ms IS NULL`,
  );
  const confirmation = database.prepare(
    `INSERT INTO call_confirmations (at_ms, contact_id, channel_id, call_number, kind) VALUES (${whole}, ${whole}, ${whole}, ${whole}, ?)`,
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
    join: (alarmId, callNumber, round) => {
      join.run(alarmId, callNumber, round);
    },
    setSilenced: (alarmId, isSilenced) => {
      silence.run(Number(isSilenced), alarmId);
    },
    alarmsOf: (callNumber) => alarmsOf.all(callNumber),
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
        moveCalls.run(byMs, byMs, byMs, nowMs);
        moveDeliveries.run(byMs);
      });
    },
    lookAgain: (nowMs) => {
      lookAgain.run(nowMs);
    },
    end: (callNumber, nowMs) => {
      endCall.run(nowMs, callNumber);
      giveUpAll.run(nowMs, callNumber);
    },
    confirm: (callNumber, nowMs) => {
      confirmCall.run(nowMs, callNumber);
    },
    newestTestCalls: (count) => tests.all(count),
    addDelivery: (call, round, contactId, channelId, nowMs, firstTryAtMs) => {
      giveUpEarlier.run(nowMs, call.call_number, channelId, round);
      insertDelivery.run(call.call_number, contactId, channelId, round, nowMs, firstTryAtMs);
    },
    delivery: (deliveryNumber) => oneDelivery.get(deliveryNumber),
    deliveriesOf: (callNumber) => ofCall.all(callNumber),
    dueChannels: (nowMs) => dueChannels.all(nowMs).map((row) => row.channel_id),
    dueDeliveries: (channelId, nowMs, countMax) => dueDeliveries.all(channelId, nowMs, countMax),
    nextTryAtMs: (afterMs) => nextTry.get(afterMs)!.at,
    delivered: (delivery, nowMs) => {
      setDelivered.run(nowMs, delivery.delivery_number);
      noteOnAlarms.run(nowMs, delivery.call_number, delivery.round);
    },
    failed: (delivery, words, nextTryAtMs) => {
      setFailed.run(nextTryAtMs, words, delivery.delivery_number);
      noteOnAlarms.run(null, delivery.call_number, delivery.round);
    },
    giveUp: (deliveryNumber, nowMs) => {
      giveUp.run(nowMs, deliveryNumber);
    },
    use: (deliveryNumber, nowMs) => use.run(nowMs, deliveryNumber).changes > 0,
    noteConfirmation: (delivery, kind, nowMs) => {
      confirmation.run(nowMs, delivery.contact_id, delivery.channel_id, delivery.call_number, kind);
    },
  };
}
