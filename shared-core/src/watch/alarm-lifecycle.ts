/*
 * The life of an alarm after ISA-18.2 / IEC 62682 (from memory): that somebody has seen it, that its cause is gone, and for a trip that
 * it was reset at the bath, are independent facts. Used by the dashboard's alarm list; holds no list itself, and knows nothing of
 * silence: a shelved alarm lives on as any other.
 */
import type { AlarmState } from '../messages/api.js';

export type AlarmAct = 'raise' | 'return' | 'acknowledge' | 'reset';

const next: Readonly<Record<AlarmState, Readonly<Partial<Record<AlarmAct, AlarmState>>>>> = {
  normal: { raise: 'unacknowledged' },
  unacknowledged: { return: 'returned-unacknowledged', acknowledge: 'acknowledged' },
  acknowledged: { return: 'normal' },
  'returned-unacknowledged': { raise: 'unacknowledged', acknowledge: 'normal' },
  latched: { raise: 'unacknowledged', reset: 'normal' },
};

/**
 * The state after the act, or undefined when the act changes nothing in this state. `isLatched`: it is a trip that was not reset since its
 * cause went; then what would be normal is `latched`. A reset before somebody acknowledged only takes the latch away (`isLatched` false
 * from then on); a reset while the cause stands does nothing.
 *
 * Example: acknowledged, and the cause of a trip goes: `alarmStateAfter('acknowledged', 'return', true)` is `latched`.
 */
export function alarmStateAfter(state: AlarmState, act: AlarmAct, isLatched = false): AlarmState | undefined {
  const after = next[state][act];
  return after === 'normal' && isLatched && act !== 'reset' ? 'latched' : after;
}

/** The state that the times tell. Example: acknowledged and not returned is `acknowledged`. */
export function alarmState(
  acknowledgedAtMs: number | null,
  returnedAtMs: number | null,
  isLatched = false,
): AlarmState {
  if (acknowledgedAtMs === null) return returnedAtMs === null ? 'unacknowledged' : 'returned-unacknowledged';
  if (returnedAtMs === null) return 'acknowledged';
  return isLatched ? 'latched' : 'normal';
}
