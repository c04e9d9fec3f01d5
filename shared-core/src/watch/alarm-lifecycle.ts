/*
 * The life of an alarm after ISA-18.2 / IEC 62682: that somebody has seen it and that its cause is gone are two independent
 * facts. Used by the dashboard's alarm list; holds no list itself.
 */
import type { AlarmState } from '../messages/api.js';

export type AlarmAct = 'raise' | 'return' | 'acknowledge';

const next: Readonly<Record<AlarmState, Readonly<Partial<Record<AlarmAct, AlarmState>>>>> = {
  normal: { raise: 'unacknowledged' },
  unacknowledged: { return: 'returned-unacknowledged', acknowledge: 'acknowledged' },
  acknowledged: { return: 'normal' },
  'returned-unacknowledged': { raise: 'unacknowledged', acknowledge: 'normal' },
};

/** The state after the act, or undefined when the act changes nothing in this state. */
export function alarmStateAfter(state: AlarmState, act: AlarmAct): AlarmState | undefined {
  return next[state][act];
}

/** The state that three times tell. Example: acknowledged and not returned is `acknowledged`. */
export function alarmState(acknowledgedAtMs: number | null, returnedAtMs: number | null): AlarmState {
  if (acknowledgedAtMs === null) return returnedAtMs === null ? 'unacknowledged' : 'returned-unacknowledged';
  return returnedAtMs === null ? 'acknowledged' : 'normal';
}
