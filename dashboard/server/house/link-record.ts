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
  // By the primary key, from the newest backwards: neither a year of records nor an earlier memory of the controller is searched through.
  const newest = store.database.prepare<[string], { controller: number; memory: number; last: number }>(
    `SELECT m.controller, m.memory, r.first + r.span - 1 AS last FROM memories m JOIN raw_records r ON r.controller = m.controller
       AND r.taken_at_ms = m.newest_at_ms AND r.memory = m.memory
     WHERE m.controller_id = ? ORDER BY m.newest_at_ms DESC, r.first DESC LIMIT 1`,
  );
  const lastBefore = store.database.prepare<[number, number, number], { last: number; at: number }>(
    `SELECT first + span - 1 AS last, taken_at_ms AS at FROM raw_records WHERE controller = ? AND memory = ? AND first <= ?
     ORDER BY taken_at_ms DESC LIMIT 1`,
  );
  const covered = store.database.prepare<
    [number, number, number, number],
    { first: number | null; stored: number | null }
  >(
    `SELECT min(first) AS first, sum(span) AS stored FROM raw_records
     WHERE controller = ? AND taken_at_ms > ? AND memory = ? AND first > ?`,
  );
  /** Of the last seconds up to this number: how many there should be, and how many there are. */
  const secondsOf = ({ controller, memory, last }: { controller: number; memory: number; last: number }) => {
    const through = last - LOOKED_BACK_SECONDS;
    const before = lastBefore.get(controller, memory, through);
    const { first, stored } = covered.get(controller, before?.at ?? -Infinity, memory, through)!;
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
        ...(row === undefined ? { secondsExpected: 0, secondsStored: 0 } : secondsOf(row)),
        reconnects: times.filter((at) => at > fromMs).length,
        watchedMs: Math.max(0, nowMs - fromMs),
      };
    },
  };
}
