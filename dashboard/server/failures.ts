/*
 * What failed in the dashboard's own work, told to the log once a minute for each kind, since a full disk fails at every message. Opened by the
 * composition root and handed to whatever must go on after a failure.
 */
import type { Logger } from 'pino';
import type { DashboardClock } from './clock.js';

const TOLD_AGAIN_MS = 60_000;

export interface Failures {
  readonly failed: (what: string, fault: unknown) => void;
  /** The same work; what it throws is told as `what` and ends nothing else. */
  readonly guarded: (what: string, run: () => void) => () => void;
}

export function openFailures(clock: DashboardClock, log: Logger): Failures {
  const told = new Set<string>();
  const failed = (what: string, fault: unknown): void => {
    if (told.has(what)) return;
    told.add(what);
    clock.after(TOLD_AGAIN_MS, () => told.delete(what));
    log.error({ err: fault }, what);
  };
  return {
    failed,
    guarded: (what, run) => () => {
      try {
        run();
      } catch (fault) {
        failed(what, fault);
      }
    },
  };
}
