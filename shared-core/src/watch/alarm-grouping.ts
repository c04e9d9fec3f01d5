/*
 * One call for a burst: which alarm's call also stands for an alarm that is raised now. Called by the dashboard for each alarm that would
 * call; what a call says, and whom it reaches, is the calling's. It never joins an alarm to a call that somebody has answered.
 */
import type { AlarmView } from '../messages/api.js';

/** More than this many raised within FLOOD_MS at one controller is a flood (ISA-18.2 / IEC 62682, from memory). */
export const FLOOD_COUNT = 10;
export const FLOOD_MS = 10 * 60_000;
/** What is raised within this time is one event to a person. Our own practice, no source. */
export const TOGETHER_MS = 1_000;

/** An alarm whose call was begun, of the same controller or of the house. */
export interface CalledAlarm {
  readonly alarmId: number;
  readonly priority: AlarmView['priority'];
  readonly announcedAtMs: number;
  /** null: it has a call of its own. */
  readonly calledWithAlarmId: number | null;
  readonly isFloodCall: boolean;
  /** It stands, and nobody has acknowledged it. */
  readonly isOpen: boolean;
}

export interface CallPlace {
  /** The alarm whose call stands for this one; undefined: it calls itself. */
  readonly calledWithAlarmId: number | undefined;
  /** Its own call is the one of a flood, and lists what was raised. */
  readonly isFloodCall: boolean;
}

/** The graver the higher. */
export const priorityRank = { low: 0, medium: 1, high: 2 } as const;

/**
 * Where an alarm is called that is announced now. `raisedInFloodTime`: how many this controller raised within FLOOD_MS, this one included.
 * It joins only a call of the same priority or a higher one, that nobody has answered: what is graver calls by itself. In a flood the first
 * alarm beyond the limit begins the call that lists them, even where earlier calls are still open, since those have gone out without it.
 *
 * Example: a trip 200 ms after a contactor that does not obey is called with it.
 */
export function callPlace(
  alarm: { readonly priority: AlarmView['priority']; readonly causedByAlarmId: number | undefined },
  called: readonly CalledAlarm[],
  raisedInFloodTime: number,
  nowMs: number,
): CallPlace {
  const leads = (one: CalledAlarm | undefined): one is CalledAlarm =>
    one !== undefined &&
    one.calledWithAlarmId === null &&
    one.isOpen &&
    one.priority !== 'low' &&
    priorityRank[one.priority] >= priorityRank[alarm.priority];
  const leaderOf = (one: CalledAlarm): CalledAlarm | undefined =>
    one.calledWithAlarmId === null ? one : called.find((other) => other.alarmId === one.calledWithAlarmId);
  const joined = (one: CalledAlarm): CallPlace => ({ calledWithAlarmId: one.alarmId, isFloodCall: false });

  // What wakes nobody needs no call, and begins none.
  if (alarm.priority === 'low') return { calledWithAlarmId: undefined, isFloodCall: false };
  const isFlood = raisedInFloodTime > FLOOD_COUNT;
  const cause = called.find((one) => one.alarmId === alarm.causedByAlarmId);
  const together = called.filter((one) => nowMs >= one.announcedAtMs && nowMs - one.announcedAtMs <= TOGETHER_MS);
  const candidates = [
    ...(cause === undefined ? [] : [leaderOf(cause)]),
    ...together.map(leaderOf),
    ...(isFlood ? called.filter((one) => one.isFloodCall && nowMs - one.announcedAtMs <= FLOOD_MS) : []),
  ];
  const leader = candidates.find(leads);
  return leader === undefined ? { calledWithAlarmId: undefined, isFloodCall: isFlood } : joined(leader);
}
