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

/** How often a person is rung again at the pace. High: until somebody acknowledges. Our own practice, no source. */
const TIMES_AGAIN: Readonly<Record<AlarmView['priority'], number>> = { high: Infinity, medium: 1, low: 0 };
/**
 * After that, as long as nobody acknowledges: an alarm stays annunciated until somebody has seen it, and is annunciated anew after a set time where it
 * is not (re-alarming in ISA-18.2 / IEC 62682, from memory). Low never: nobody need see it. The hour is our own practice, no source.
 */
const SLOWLY_AGAIN_MS: Readonly<Partial<Record<AlarmView['priority'], number>>> = { medium: 3_600_000 };

/** Somebody in the order, as this call knows them: people come and go, and their hours too, while it rings. */
export interface Callee {
  readonly wasRung: boolean;
  /** Rung, and nothing reached them: the next one's turn comes with theirs. */
  readonly isUnreachable: boolean;
}
export interface RoundBefore {
  /** When the first round was; null: this is it. */
  readonly startedAtMs: number | null;
  readonly lastRoundAtMs: number | null;
}
export interface Round {
  /** Who is to be rung now: places in the order. */
  readonly people: readonly number[];
  /** Everybody whose turn has come, now or before: whom news of the call is told. */
  readonly turns: readonly number[];
  /** null: no further round. */
  readonly nextAtMs: number | null;
}

/**
 * The round that is due. A round that comes late (the dashboard was down) rings everybody whose turn came meanwhile, once.
 * Example: high, two people, 5 and 10 minutes: place 0 at 0 and 5, places 0 and 1 at 10, 15, 20 and so on; medium: place 0 at 0 and 5, 65, 125
 * and so on, place 1 at 10, 15, 75 and so on.
 */
export function roundAt(
  priority: AlarmView['priority'],
  pace: Pace,
  callees: readonly Callee[],
  before: RoundBefore,
  nowMs: number,
): Round {
  const againMs = pace.againAfterMinutes * 60_000;
  const elapsedMs = nowMs - (before.startedAtMs ?? nowMs);
  const previousMs = (before.lastRoundAtMs ?? -Infinity) - (before.startedAtMs ?? nowMs);
  const people: number[] = [];
  const turns: number[] = [];
  let nextMs = Infinity;
  let reachableBefore = 0;
  for (const [place, { wasRung, isUnreachable }] of callees.entries()) {
    const turnMs = priority === 'low' ? 0 : reachableBefore * pace.nextPersonAfterMinutes * 60_000;
    if (!isUnreachable) reachableBefore++;
    if (turnMs > elapsedMs) {
      nextMs = Math.min(nextMs, turnMs);
      continue;
    }
    turns.push(place);
    const ringing = ringingAt(priority, againMs, elapsedMs - turnMs);
    if (!wasRung || turnMs + ringing.lastMs > previousMs) people.push(place);
    nextMs = Math.min(nextMs, turnMs + ringing.nextMs);
  }
  return { people, turns, nextAtMs: nextMs === Infinity ? null : nowMs - elapsedMs + nextMs };
}

/** When, since somebody's turn began, they were to be rung last by now, and when they are to be next; Infinity: not again. */
function ringingAt(
  priority: AlarmView['priority'],
  againMs: number,
  sinceMs: number,
): { lastMs: number; nextMs: number } {
  const times = Math.floor(sinceMs / againMs);
  if (times < TIMES_AGAIN[priority]) return { lastMs: times * againMs, nextMs: (times + 1) * againMs };
  const lastAtPaceMs = TIMES_AGAIN[priority] * againMs;
  const slowlyMs = SLOWLY_AGAIN_MS[priority];
  if (slowlyMs === undefined) return { lastMs: lastAtPaceMs, nextMs: Infinity };
  const lastMs = lastAtPaceMs + Math.floor((sinceMs - lastAtPaceMs) / slowlyMs) * slowlyMs;
  return { lastMs, nextMs: lastMs + slowlyMs };
}
