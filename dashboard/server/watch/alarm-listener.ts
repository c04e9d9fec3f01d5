/*
 * What whoever calls people is told of alarms. Implemented by the calling, told by the alarm list; it holds the contract between the two and
 * nothing else.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';

/**
 * Whoever calls people. Each is told within the transaction that wrote the change: what it writes to the same store stands or falls with
 * it, and what it throws undoes both. Each may be told of an alarm of any priority, and more than once in the life of an alarm.
 */
export interface AlarmListener {
  /**
   * A new alarm that is not silent. With `calledWithAlarmId` it belongs to the call of that alarm (raised in the same second, explained by
   * it, or part of a flood): it needs no call of its own, unless that call has ended: that call lists it as long as it was not sent, and rings on
   * for whatever of it nobody has acknowledged. With `isFloodCall` its own call lists whatever else still calls of this controller.
   */
  onRaised(alarm: AlarmView, nowMs: number): void;
  /** It stands again within ten minutes, unacknowledged as before: no new call is begun, but what `onReturned` ended goes on. */
  onRaisedAgain(alarm: AlarmView, nowMs: number): void;
  /** Call it now, as if it were raised: it stands unacknowledged, and nothing silences it any more. */
  onUnsilenced(alarm: AlarmView, nowMs: number): void;
  /** Nobody is to be called for it from now on, though it stands. */
  onSilenced(alarm: AlarmView, nowMs: number): void;
  /** Its cause is gone, and for what latches: it was reset at the bath. A trip whose cause is gone still wants somebody until then. */
  onReturned(alarm: AlarmView, nowMs: number): void;
  onAcknowledged(alarm: AlarmView, nowMs: number): void;
}
