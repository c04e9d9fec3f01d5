/*
 * A controller that comes back from a run and knows nothing of it: its memory was dead or wiped when the power went, so it stands idle and tells of no
 * trip, while the part hangs in the bath without current. Only the dashboard remembers. Called by the watchman with every live message.
 */
import { isLive, Phase } from '@bathkeeper/shared-core/control';
import type { AlarmList } from './alarm-list.js';

/** An end that waits in the controller's outbox has come by then. Our own practice, no source. */
const END_LATE_MS = 60_000;

export interface ForgottenRun {
  /** `isRunOpen`: is the newest run one whose end nobody told? Asked only when it matters. */
  live(controllerId: string, phase: Phase, isRunOpen: () => boolean, nowMs: number): void;
}

/** `lastLive`: the controllers whose newest record, from before this start, was of a live run. */
export function openForgottenRun(
  alarms: Pick<AlarmList, 'raise' | 'returnToNormal'>,
  lastLive: Iterable<string>,
): ForgottenRun {
  const wasLive = new Set(lastLive);
  const idleSinceMs = new Map<string, number>();
  return {
    live: (controllerId, phase, isRunOpen, nowMs) => {
      if (phase !== Phase.idle) {
        idleSinceMs.delete(controllerId);
        if (isLive(phase)) wasLive.add(controllerId);
        // In trip, done and ready it knows its run.
        else wasLive.delete(controllerId);
        alarms.returnToNormal(controllerId, 'run-forgotten', nowMs);
        return;
      }
      if (!wasLive.has(controllerId)) return;
      const sinceMs = Math.min(idleSinceMs.get(controllerId) ?? nowMs, nowMs);
      idleSinceMs.set(controllerId, sinceMs);
      if (nowMs - sinceMs < END_LATE_MS) return;
      if (isRunOpen()) {
        const detail = 'it was live when it was last heard, and now stands idle and tells of no end';
        alarms.raise({ controllerId, name: 'run-forgotten', causeAtMs: sinceMs, detail }, nowMs);
      }
      wasLive.delete(controllerId);
    },
  };
}
