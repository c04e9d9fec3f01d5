/*
 * The controllers as witnesses of the time: a controller that ran on while this dashboard was off has counted how long. Compares that with
 * what the clock shows after the start, once for each. Used by house-watch.ts; it reads what earlier starts stored, and writes nothing.
 */
import type { Store } from '../store/store.js';

/** A boot's beginning is known to a minute (see the store), and crystals drift. */
const TOLERANCE_MS = 120_000;

export interface ControllerCount {
  /** So much more the clock shows than the controller has counted; undefined: they agree, or there is nothing to compare. */
  differenceMs(
    controllerId: string,
    incarnation: number,
    boot: number,
    uptimeMs: number,
    nowMs: number,
  ): number | undefined;
}

export function openControllerCount(store: Store): ControllerCount {
  interface BootRow {
    controller_id: string;
    incarnation: number;
    boot: number;
    at: number;
  }
  const keyOf = (controllerId: string, incarnation: number, boot: number): string =>
    `${controllerId}/${String(incarnation)}/${String(boot)}`;
  const known = new Map<string, { bootAtMs: number; uptimeMs: number | undefined }>();
  // Read before the first message of this start, which tells the store anew when the boot began.
  for (const row of store.database
    .prepare<[], BootRow>(
      'SELECT controller_id, incarnation, max(boot) AS boot, epoch_at_boot_ms AS at FROM boots GROUP BY controller_id, incarnation',
    )
    .all())
    known.set(keyOf(row.controller_id, row.incarnation, row.boot), { bootAtMs: row.at, uptimeMs: undefined });
  return {
    differenceMs: (controllerId, incarnation, boot, uptimeMs, nowMs) => {
      const key = keyOf(controllerId, incarnation, boot);
      const one = known.get(key);
      if (one === undefined) return undefined;
      // A count that stands is no witness: the second message must be later than the first by its own count.
      if (one.uptimeMs === undefined || uptimeMs <= one.uptimeMs) {
        one.uptimeMs ??= uptimeMs;
        return undefined;
      }
      known.delete(key);
      const differenceMs = nowMs - uptimeMs - one.bootAtMs;
      return Math.abs(differenceMs) > TOLERANCE_MS ? differenceMs : undefined;
    },
  };
}
