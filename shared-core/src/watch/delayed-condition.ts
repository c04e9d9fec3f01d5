/*
 * One condition with on-delay and off-delay, after ISA-18.2: it stands once it was true without a break for the on-delay and is
 * over once it was false without a break for the off-delay. Used by every watch of the dashboard; knows nothing of alarms.
 */

export interface DelayedCondition {
  isActive: boolean;
  /** Since when it has been true (while not active) or false (while active) without a break; null: it is not turning. */
  turningSinceMs: number | null;
  /** When the cause began, as well as is known: the first true reading of what is active or becoming so. */
  causeAtMs: number | null;
}

export function delayedCondition(): DelayedCondition {
  return { isActive: false, turningSinceMs: null, causeAtMs: null };
}

/**
 * Takes one reading and changes the condition in place. Answers `raised` or `cleared` when it turned now.
 *
 * Example: with an on-delay of 10 s, true at 0 s and at 10 s answers `raised` at the second, and the cause is at 0 s.
 */
export function judged(
  condition: DelayedCondition,
  isTrue: boolean,
  nowMs: number,
  delays: { readonly onMs: number; readonly offMs: number },
): 'raised' | 'cleared' | undefined {
  if (isTrue === condition.isActive) {
    condition.turningSinceMs = null;
    return undefined;
  }
  // (A clock that was set back must not lengthen the delay.)
  condition.turningSinceMs = Math.min(condition.turningSinceMs ?? nowMs, nowMs);
  if (nowMs - condition.turningSinceMs < (isTrue ? delays.onMs : delays.offMs)) return undefined;
  condition.causeAtMs = isTrue ? condition.turningSinceMs : null;
  condition.isActive = isTrue;
  condition.turningSinceMs = null;
  return isTrue ? 'raised' : 'cleared';
}
