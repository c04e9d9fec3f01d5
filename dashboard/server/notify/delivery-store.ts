/*
 * The table of deliveries: one for each ringing of each channel, with its tries, what became of them, and whether its link was used. Part of the
 * call store, and written through it within the transactions of calls and alarms. It sends nothing and decides nothing.
 */
import type { CallPayload } from '@bathkeeper/shared-core/messages';
import type { Store } from '../store/store.js';
import { TOKEN_HOURS } from './acknowledge-token.js';

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

/** With what became of it. */
export interface BookedDelivery extends DeliveryRow {
  readonly given_up_at_ms: number | null;
  readonly last_failure: string | null;
}

export interface DeliveryStore {
  addDelivery(
    call: { readonly call_number: number },
    round: number,
    contactId: number,
    channelId: number,
    nowMs: number,
    firstTryAtMs: number,
  ): void;
  delivery(deliveryNumber: number): DeliveryRow | undefined;
  deliveriesOf(callNumber: number): BookedDelivery[];
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
  /** Of what has not been delivered yet. */
  giveUpAll(callNumber: number, nowMs: number): void;
  /** The clock was set by so much, to `nowMs`: what waits, and each link that still serves, count on by the new one. */
  moveTimes(byMs: number, nowMs: number): void;
}

export function openDeliveryStore(database: Store['database']): DeliveryStore {
  const whole = 'CAST(? AS INTEGER)';
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
  const ofCall = database.prepare<[number], BookedDelivery>(
    'SELECT * FROM deliveries WHERE call_number = ? ORDER BY delivery_number',
  );
  const waiting = 'delivered_at_ms IS NULL AND given_up_at_ms IS NULL';
  const move = database.prepare(
    `UPDATE deliveries SET queued_at_ms = queued_at_ms + ${whole}, next_try_at_ms = next_try_at_ms + ${whole}
     WHERE (${waiting}) OR (used_at_ms IS NULL AND queued_at_ms > ${whole})`,
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
  const giveUpAll = database.prepare(
    `UPDATE deliveries SET given_up_at_ms = ${whole} WHERE call_number = ? AND delivered_at_ms IS NULL AND given_up_at_ms IS NULL`,
  );

  return {
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
    giveUpAll: (callNumber, nowMs) => {
      giveUpAll.run(nowMs, callNumber);
    },
    moveTimes: (byMs, nowMs) => {
      move.run(byMs, byMs, nowMs - byMs - TOKEN_HOURS * 3_600_000);
    },
  };
}
