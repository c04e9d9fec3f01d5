/*
 * Sends what is due over the channels, and books what became of it: at least once, the same delivery under the same id, with back-off. A
 * row stays until the receiver has answered, through restarts. Woken by calling.ts and by the clock; who is rung is decided there.
 */
import type { Cancel, DashboardClock } from '../clock.js';
import type { Store } from '../store/store.js';
import type { CallRow, CallStore, DeliveryRow } from './call-store.js';
import type { PostOutcome } from './webhook-post.js';

/** Waits between tries; the last one is kept. */
const RETRY_SECONDS = [2, 5, 15, 30, 60, 120, 300];
/** So many tries that failed, and the channel counts as failing. */
export const FAILING_TRIES = 2;
/** A channel that hangs must not hold up the others, nor be dialled by a thousand calls at once. */
const UNDER_WAY_PER_CHANNEL = 4;
const UNBOOKED_WAIT_MS = 60_000;
/** A timer counts on when the clock is set: it looks again at least this often. */
const LOOK_AGAIN_MS = 10 * 60_000;

export interface SendOutcome extends PostOutcome {
  /** The channel will never work again. */
  readonly isGone?: boolean;
}

export interface CallQueue {
  /** Takes rounds and tries everything that is due; resolves when the answers are in. */
  pump(): Promise<void>;
  /** The same, after what is running now has ended. */
  wake(): void;
  /** Deliveries under way. */
  readonly underWay: number;
  close(): void;
}

export function openCallQueue(options: {
  store: Store;
  calls: CallStore;
  clock: DashboardClock;
  /** May anything be sent at all? */
  hasChannels: () => boolean;
  takeRound: (call: CallRow, nowMs: number) => void;
  /** Is it still worth it? */
  matters: (delivery: DeliveryRow, nowMs: number) => boolean;
  send: (delivery: DeliveryRow) => Promise<SendOutcome>;
  /** Within the transaction of the booking. `isFailing`: it failed often enough to be told. */
  booked: (delivery: DeliveryRow, outcome: SendOutcome, isFailing: boolean, nowMs: number) => void;
  /** After it. */
  told: () => void;
  /** The store did not take something. */
  failed: (what: string, fault: unknown) => void;
}): CallQueue {
  const { store, calls, clock } = options;
  const underWay = new Map<number, Promise<void>>();
  const underWayOf = new Map<number, number>();
  /** Deliveries whose outcome could not be booked: not before this time again, or a full disk would ring the phone without end. By the steady count. */
  const notBefore = new Map<number, number>();
  let timer: Cancel | undefined;
  let isClosed = false;
  let isWoken = false;

  const deliver = async (delivery: DeliveryRow): Promise<void> => {
    const outcome = await options.send(delivery).catch(
      // It would fail so each time: told as any other failure, and the next person's turn comes.
      (fault: unknown): SendOutcome => ({
        delivered: false,
        words: `This call could not be put together (${(fault as Error).message}).`,
      }),
    );
    if (isClosed) return;
    const nowMs = clock.nowMs();
    store.together(() => {
      if (outcome.delivered) calls.delivered(delivery, nowMs);
      else {
        const wait = RETRY_SECONDS[Math.min(delivery.tries, RETRY_SECONDS.length - 1)]!;
        calls.failed(delivery, outcome.words, nowMs + wait * 1000);
      }
      options.booked(delivery, outcome, !outcome.delivered && delivery.tries + 1 >= FAILING_TRIES, nowMs);
    });
    options.told();
  };
  const begin = (delivery: DeliveryRow): void => {
    const { delivery_number: number, channel_id: channel } = delivery;
    underWayOf.set(channel, (underWayOf.get(channel) ?? 0) + 1);
    underWay.set(
      number,
      deliver(delivery)
        .catch((fault: unknown) => {
          // Answered or not, the row still stands in the queue: it is tried again, and the receiver folds repeats by the id.
          notBefore.set(number, clock.steadyMs() + UNBOOKED_WAIT_MS);
          options.failed('a call could not be booked', fault);
        })
        .finally(() => {
          underWay.delete(number);
          underWayOf.set(channel, underWayOf.get(channel)! - 1);
          wake();
        }),
    );
  };
  const startDue = (): void => {
    if (isClosed || !options.hasChannels()) return;
    const nowMs = clock.nowMs();
    const due = calls.dueCalls(nowMs);
    if (due.length > 0)
      store.together(() => {
        for (const call of due) options.takeRound(call, nowMs);
      });
    if (due.length > 0) wake();
    for (const [number, untilMs] of notBefore) if (untilMs <= clock.steadyMs()) notBefore.delete(number);
    // Channel by channel: however much waits for one that hangs, the others are looked at.
    for (const channel of calls.dueChannels(nowMs)) {
      for (const delivery of calls.dueDeliveries(channel, nowMs, UNDER_WAY_PER_CHANNEL + notBefore.size)) {
        if (underWay.has(delivery.delivery_number) || notBefore.has(delivery.delivery_number)) continue;
        if ((underWayOf.get(channel) ?? 0) >= UNDER_WAY_PER_CHANNEL) break;
        if (options.matters(delivery, nowMs)) begin(delivery);
        else calls.giveUp(delivery.delivery_number, nowMs);
      }
    }
  };
  /** What is due already is under way, held, or waits for what is under way. */
  const arm = (afterMs: number): void => {
    timer?.();
    timer = undefined;
    if (isClosed || !options.hasChannels()) return;
    const at = Math.min(calls.nextRoundAtMs() ?? Infinity, calls.nextTryAtMs(afterMs) ?? Infinity);
    const waitMs = Math.min(
      at - clock.nowMs(),
      ...[...notBefore.values()].map((untilMs) => untilMs - clock.steadyMs()),
    );
    if (waitMs !== Infinity) timer = clock.after(Math.min(Math.max(0, waitMs), LOOK_AGAIN_MS), wakeNow);
  };
  const wakeNow = (): void => {
    try {
      startDue();
      arm(clock.nowMs());
    } catch (fault) {
      options.failed('calls could not be looked through', fault);
      if (!isClosed) timer = clock.after(UNBOOKED_WAIT_MS, wakeNow);
    }
  };
  const wake = (): void => {
    if (isWoken || isClosed) return;
    isWoken = true;
    setImmediate(() => {
      isWoken = false;
      wakeNow();
    });
  };

  arm(-Infinity);
  return {
    pump: async () => {
      wakeNow();
      // What was woken for later in this turn comes first: whoever waits in a loop must let it.
      if (isWoken) await new Promise<void>((next) => setImmediate(next));
      await Promise.all(underWay.values());
    },
    wake,
    get underWay() {
      return underWay.size + Number(isWoken);
    },
    close: () => {
      isClosed = true;
      timer?.();
    },
  };
}
