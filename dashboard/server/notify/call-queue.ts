/*
 * The durable queue of calls: a row stays until the receiver has answered, through restarts, always under the same id.
 * Woken by the alarm list and by the clock. At least once; the receiver can fold repeats by the id.
 */
import { randomUUID } from 'node:crypto';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import type { Cancel, DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import { type PostOutcome, postToWebhook, type WebhookTarget } from './webhook-post.js';

/** Waits between tries; the last one is kept. */
const RETRY_SECONDS = [2, 5, 15, 30, 60, 120, 300];

/** An alarm that has returned is still worth a call for this long. */
const OVER_MS = 3_600_000;

const UNBOOKED_WAIT_MS = 60_000;

interface CallRow {
  notification_id: string;
  alarm_id: number;
  body: string;
  tries: number;
}

export interface CallQueue {
  queue(alarm: AlarmView, bathName: string, nowMs: number): void;
  /** Tries everything that is due; resolves when the answers are in. */
  pump(): Promise<void>;
  /** Posts under way. */
  readonly underWay: number;
  lastDelivery(): { atMs: number | null; failure: string | null };
  close(): void;
}

export function openCallQueue(options: {
  store: Store;
  clock: DashboardClock;
  target: () => WebhookTarget | undefined;
  pageAddress: () => string | undefined;
  failing: (controllerless: string) => void;
  delivered: () => void;
  /** The store did not take something. */
  failed?: (what: string, fault: unknown) => void;
  post?: (target: WebhookTarget, body: string) => Promise<PostOutcome>;
}): CallQueue {
  const { store, clock } = options;
  const post = options.post ?? postToWebhook;
  const { database } = store;
  const insert = database.prepare(
    'INSERT INTO notifications (notification_id, alarm_id, body, queued_at_ms, next_try_at_ms) VALUES (?, CAST(? AS INTEGER), ?, CAST(? AS INTEGER), CAST(? AS INTEGER))',
  );
  // Nobody is woken for what somebody has seen, nor for what was over long before the call could go out.
  const matters = `delivered_at_ms IS NULL AND alarm_id IN (SELECT alarm_id FROM alarms WHERE acknowledged_at_ms IS NULL
    AND (returned_at_ms IS NULL OR queued_at_ms > CAST(? AS INTEGER)))`;
  const due = database.prepare<[number, number], CallRow>(
    `SELECT notification_id, alarm_id, body, tries FROM notifications WHERE ${matters} AND next_try_at_ms <= ? ORDER BY queued_at_ms LIMIT 20`,
  );
  const nextDue = database.prepare<[number], { at: number | null }>(
    `SELECT min(next_try_at_ms) AS at FROM notifications WHERE ${matters}`,
  );
  const done = database.prepare(
    'UPDATE notifications SET delivered_at_ms = CAST(? AS INTEGER), tries = tries + 1, last_failure = NULL WHERE notification_id = ?',
  );
  const failed = database.prepare(
    'UPDATE notifications SET tries = tries + 1, next_try_at_ms = CAST(? AS INTEGER), last_failure = ? WHERE notification_id = ?',
  );
  const newest = database.prepare<[], { at: number | null }>('SELECT max(delivered_at_ms) AS at FROM notifications');
  const newestFailure = database.prepare<[], { last_failure: string | null }>(
    'SELECT last_failure FROM notifications WHERE delivered_at_ms IS NULL AND last_failure IS NOT NULL ORDER BY next_try_at_ms DESC LIMIT 1',
  );

  const underWay = new Map<string, Promise<void>>();
  /** Calls whose outcome could not be booked: not before this time again, or a full disk would ring the phone without end. */
  const notBefore = new Map<string, number>();
  let timer: Cancel | undefined;
  let isClosed = false;

  const send = async (row: CallRow): Promise<void> => {
    const target = options.target();
    if (target === undefined) return;
    const outcome = await post(target, row.body);
    if (isClosed) return;
    if (outcome.delivered) {
      done.run(clock.nowMs(), row.notification_id);
      options.delivered();
    } else {
      const wait = RETRY_SECONDS[Math.min(row.tries, RETRY_SECONDS.length - 1)]!;
      failed.run(clock.nowMs() + wait * 1000, outcome.words, row.notification_id);
      if (row.tries + 1 >= 2) options.failing(outcome.words);
    }
  };
  const arm = (): void => {
    timer?.();
    timer = undefined;
    const at = options.target() === undefined ? null : (nextDue.get(clock.nowMs() - OVER_MS)?.at ?? null);
    if (at === null || isClosed) return;
    const held = Math.max(0, ...notBefore.values());
    timer = clock.after(
      Math.max(0, at - clock.nowMs(), notBefore.size > 0 ? Math.min(held - clock.nowMs(), UNBOOKED_WAIT_MS) : 0),
      () => {
        for (const [id, untilMs] of notBefore) if (untilMs <= clock.nowMs()) notBefore.delete(id);
        void pump();
      },
    );
  };
  const pump = async (): Promise<void> => {
    if (isClosed || options.target() === undefined) return;
    for (const row of due.all(clock.nowMs() - OVER_MS, clock.nowMs())) {
      if (underWay.has(row.notification_id) || (notBefore.get(row.notification_id) ?? 0) > clock.nowMs()) continue;
      underWay.set(
        row.notification_id,
        send(row)
          .catch((fault: unknown) => {
            // Answered or not, the row still stands in the queue: it is tried again, and the receiver folds repeats by the id.
            notBefore.set(row.notification_id, clock.nowMs() + UNBOOKED_WAIT_MS);
            options.failed?.('a call could not be booked', fault);
          })
          .finally(() => {
            underWay.delete(row.notification_id);
            if (!isClosed) arm();
          }),
      );
    }
    await Promise.all(underWay.values());
  };

  arm();
  return {
    queue: (alarm, bathName, nowMs) => {
      const id = randomUUID();
      const body = JSON.stringify({
        id,
        title: `${bathName}: ${alarm.title}`,
        message: `${alarm.detail}. ${alarm.checkFirst}`,
        priority: alarm.priority,
        alarm: alarm.name,
        controller: alarm.controllerId,
        raisedAt: new Date(nowMs).toISOString(),
        ...(options.pageAddress() === undefined ? {} : { url: options.pageAddress() }),
      });
      insert.run(id, alarm.alarmId, body, nowMs, nowMs);
      setImmediate(() => {
        void pump();
      });
    },
    pump,
    get underWay() {
      return underWay.size;
    },
    lastDelivery: () => ({ atMs: newest.get()?.at ?? null, failure: newestFailure.get()?.last_failure ?? null }),
    close: () => {
      isClosed = true;
      timer?.();
    },
  };
}
