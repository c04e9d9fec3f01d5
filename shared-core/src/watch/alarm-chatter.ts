/*
 * Chatter after somebody has seen: whether a cause that comes back shortly after an acknowledged alarm rings again at once, or only when it
 * stays. Called by the dashboard when an alarm is raised and once a second. It never delays what was not acknowledged, nor what is graver.
 */
import type { AlarmName, AlarmView } from '../messages/api.js';
import { priorityRank } from './alarm-grouping.js';

/** So soon after it was gone a cause is the same one coming and going. Our own practice, as for one that nobody acknowledged. */
export const CAME_BACK_MS = 10 * 60_000;
/** One that stands so long without a break does not chatter. Our own practice, no source. */
export const CHATTER_MS = 2 * 60_000;
/** What somebody has seen so long ago is news again: no night of chatter goes by unheard. Our own practice, no source. */
export const SEEN_MS = 60 * 60_000;

/**
 * Of what is high only these flicker by nature, and what they lead to rings by itself: a lost contact holds the run, a current that is far off
 * trips it, and a controller protects the bath alone. Rotation is not among them: the controller bounds its restarts at three.
 */
const highThatChatters: readonly AlarmName[] = ['contact-weak', 'current-off-permitted', 'controller-silent'];

export interface SeenAlarm {
  readonly priority: AlarmView['priority'];
  readonly acknowledgedAtMs: number;
  readonly returnedAtMs: number;
}

/**
 * Is it held back, shown as acknowledged, until it has stood for CHATTER_MS? `seen`: the newest alarm of its name that was acknowledged and is gone.
 *
 * Example: a weak contact, acknowledged at 02:00 and gone at 02:05, that comes back at 02:06 is; a stopped rotation never is.
 */
export function isHeldBack(
  raised: { readonly name: AlarmName; readonly priority: AlarmView['priority'] },
  seen: SeenAlarm,
  nowMs: number,
): boolean {
  return (
    (raised.priority !== 'high' || highThatChatters.includes(raised.name)) &&
    priorityRank[raised.priority] <= priorityRank[seen.priority] &&
    nowMs - seen.returnedAtMs < CAME_BACK_MS &&
    nowMs - seen.acknowledgedAtMs < SEEN_MS
  );
}
