/*
 * Who is rung when nobody acknowledges: the same person again, then the next one, for as long as the priority asks. Called at each
 * round of a call. Pure: people are places in the order (0 first), times are passed in; it knows no channel and sends nothing.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';

export interface Pace {
  readonly againAfterMinutes: number;
  readonly nextPersonAfterMinutes: number;
}
export const USUAL_PACE: Pace = { againAfterMinutes: 5, nextPersonAfterMinutes: 10 };

/** How often a person is rung again. High: until somebody acknowledges. Our own practice, no source. */
const TIMES_AGAIN: Readonly<Record<AlarmView['priority'], number>> = { high: Infinity, medium: 1, low: 0 };

export interface RoundBefore {
  /** When the first round was; null: this is it. */
  readonly startedAtMs: number | null;
  readonly lastRoundAtMs: number | null;
  /** People who were rung so far. */
  readonly reachedCount: number;
  /** People whose turn came early, since every channel of those before them failed. */
  readonly aheadCount: number;
}
export interface Round {
  /** Places in the order. */
  readonly people: readonly number[];
  readonly reachedCount: number;
  /** null: no further round. */
  readonly nextAtMs: number | null;
}

/**
 * The round that is due. A round that comes late (the dashboard was down) rings everybody whose turn came meanwhile, once.
 * Example: high, two people, 5 and 10 minutes: place 0 at 0 and 5, places 0 and 1 at 10, 15, 20 and so on.
 */
export function roundAt(
  priority: AlarmView['priority'],
  pace: Pace,
  peopleCount: number,
  before: RoundBefore,
  nowMs: number,
): Round {
  const againMs = pace.againAfterMinutes * 60_000;
  const elapsedMs = nowMs - (before.startedAtMs ?? nowMs);
  const previousMs = (before.lastRoundAtMs ?? -Infinity) - (before.startedAtMs ?? nowMs);
  const people: number[] = [];
  let reachedCount = before.reachedCount;
  let nextMs = Infinity;
  for (let place = 0; place < peopleCount; place++) {
    const turnMs =
      priority === 'low' ? 0 : Math.max(0, place - before.aheadCount) * pace.nextPersonAfterMinutes * 60_000;
    if (turnMs > elapsedMs) {
      nextMs = Math.min(nextMs, turnMs);
      continue;
    }
    const times = Math.min(Math.floor((elapsedMs - turnMs) / againMs), TIMES_AGAIN[priority]);
    if (place >= before.reachedCount || turnMs + times * againMs > previousMs) people.push(place);
    reachedCount = Math.max(reachedCount, place + 1);
    if (times < TIMES_AGAIN[priority]) nextMs = Math.min(nextMs, turnMs + (times + 1) * againMs);
  }
  return { people, reachedCount, nextAtMs: nextMs === Infinity ? null : nowMs - elapsedMs + nextMs };
}
