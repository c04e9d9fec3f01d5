/*
 * How well a controller's link has been: seconds that its records cover of those that they should, and how often it connected anew. Told of
 * connections by the composition root, asked by the leave-alone check. It reads the store, and keeps a few times for each controller.
 */
import type { Store } from '../store/store.js';

/** Records are one a second unless merged; so many seconds back it looks. */
const LOOKED_BACK_SECONDS = 6 * 3600;
const WATCHED_MS = 24 * 3_600_000;
const CONNECTIONS_KEPT = 100;

export interface LinkRecord {
  /** 0: no record is in the store. */
  readonly secondsExpected: number;
  readonly secondsStored: number;
  /** Within the time watched; the first connection after a start does not count. */
  readonly reconnects: number;
  readonly watchedMs: number;
}

export interface LinkRecords {
  connected(controllerId: string, nowMs: number): void;
  of(controllerId: string, nowMs: number): LinkRecord;
}

export function openLinkRecords(store: Store, openedAtMs: number): LinkRecords {
  const connections = new Map<string, number[]>();
  // By the primary key: neither a year of records nor an earlier memory of the controller is searched through.
  const newest = store.database.prepare<[string], { incarnation: number; last: number }>(
    `SELECT r.incarnation, r.first + r.span - 1 AS last FROM queues q JOIN records r ON r.controller_id = q.controller_id
       AND r.incarnation = q.incarnation AND r.first = (SELECT max(first) FROM records
         WHERE controller_id = q.controller_id AND incarnation = q.incarnation)
     WHERE q.controller_id = ? ORDER BY r.taken_at_ms DESC LIMIT 1`,
  );
  const covered = store.database.prepare<[string, number, number], { first: number | null; stored: number | null }>(
    'SELECT min(first) AS first, sum(span) AS stored FROM records WHERE controller_id = ? AND incarnation = ? AND first > ?',
  );
  const lastBefore = store.database.prepare<[string, number, number], { last: number }>(
    `SELECT first + span - 1 AS last FROM records WHERE controller_id = ? AND incarnation = ? AND first <= ?
     ORDER BY first DESC LIMIT 1`,
  );
  /** Of the last seconds up to this number: how many there should be, and how many there are. */
  const secondsOf = (controllerId: string, incarnation: number, last: number) => {
    const through = last - LOOKED_BACK_SECONDS;
    const { first, stored } = covered.get(controllerId, incarnation, through)!;
    const before = lastBefore.get(controllerId, incarnation, through);
    // What came before the very first record may have been another dashboard's: it is not known, and not held against the link.
    if (before === undefined) return { secondsExpected: last - (first ?? last + 1) + 1, secondsStored: stored ?? 0 };
    return {
      secondsExpected: LOOKED_BACK_SECONDS,
      secondsStored: (stored ?? 0) + Math.min(LOOKED_BACK_SECONDS, Math.max(0, before.last - through)),
    };
  };
  return {
    connected: (controllerId, nowMs) => {
      const times = connections.get(controllerId) ?? [];
      times.push(nowMs);
      if (times.length > CONNECTIONS_KEPT) times.shift();
      connections.set(controllerId, times);
    },
    of: (controllerId, nowMs) => {
      const row = newest.get(controllerId);
      const fromMs = Math.max(openedAtMs, nowMs - WATCHED_MS);
      const times = (connections.get(controllerId) ?? []).slice(1);
      return {
        ...(row === undefined
          ? { secondsExpected: 0, secondsStored: 0 }
          : secondsOf(controllerId, row.incarnation, row.last)),
        reconnects: times.filter((at) => at > fromMs).length,
        watchedMs: Math.max(0, nowMs - fromMs),
      };
    },
  };
}
