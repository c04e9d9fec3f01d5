/*
 * Which alarm makes a call, and which joins one that is open. Told by the alarm list, within the transaction of the alarm; who is rung
 * then is rounds.ts's. It sends nothing.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import type { AlarmListener } from '../watch/alarm-listener.js';
import type { CallRow, CallStore } from './call-store.js';
import type { CalledAlarm } from './called-alarms.js';
import { highestPriority } from './call-words.js';
import type { Contacts, Person } from './contacts.js';

/** So many baths are called for one by one when they fall silent within a minute; it is the network then, and the last of these calls lists the others. */
const SILENT_CALLS_MAX = 3;
const SILENT_TOGETHER_MS = 60_000;
/**
 * What joins a call that has rung is told at once, but no sooner than this after the last ringing: a burst becomes one more ringing, however
 * slow the pace is. The usual pace; our own practice, no source.
 */
const NEWS_APART_MS = 5 * 60_000;
/**
 * What joins so soon after the first ringing belongs to the same event: one more ringing then tells the whole of it, before whoever has
 * acknowledged the first from a locked phone sleeps on. Our own practice, no source.
 */
const BURST_MS = 10_000;

/** People whom these alarms may ring at all; whoever's every channel fails cannot be told of that failure. */
export function peopleFor(
  contacts: Contacts,
  names: readonly string[],
  priority: AlarmView['priority'],
): readonly Person[] {
  const isAboutCalling = names.every((name) => name === 'notification-failed');
  return contacts
    .people()
    .filter((person) => priority !== 'low' || person.wantsLowPriority)
    .map((person) =>
      isAboutCalling
        ? { ...person, channels: person.channels.filter((channel) => channel.failing_since_ms === null) }
        : person,
    )
    .filter((person) => person.channels.length > 0);
}

/** When a call rings for what joined it since its last round; Infinity: nothing did. */
export function newsDueMs(call: CallRow, standing: readonly CalledAlarm[], nowMs: number): number {
  const news = standing.filter((alarm) => alarm.joined_round > call.round);
  if (call.round === 0 || news.length === 0) return Infinity;
  const rungAtMs = call.last_round_at_ms ?? nowMs;
  const isBurst = call.round === 1 && news.some((alarm) => alarm.raised_at_ms - rungAtMs <= BURST_MS);
  return Math.max(nowMs, rungAtMs + (isBurst ? BURST_MS : NEWS_APART_MS));
}

export function alarmCalls(options: {
  calls: CallStore;
  contacts: Contacts;
  /** The queue looks what is due. */
  wake: () => void;
}): AlarmListener {
  const { calls, contacts, wake } = options;

  /** Ends the call when nobody need be called for it any more. */
  const settle = (callNumber: number, nowMs: number): void => {
    if (calls.alarmsOf(callNumber).length === 0) calls.end(callNumber, nowMs);
  };
  const begin = (alarm: AlarmView, nowMs: number): void => {
    if (
      peopleFor(contacts, [alarm.name], alarm.priority).length === 0 &&
      (alarm.priority === 'low' || alarm.name === 'notification-failed')
    )
      return;
    calls.join(alarm.alarmId, calls.add({ kind: 'alarm', controllerId: alarm.controllerId, priority: alarm.priority }, nowMs), 1); // prettier-ignore
    wake();
  };
  /** False: this call has rung for the last time, and would never tell of it. */
  const joinOpen = (call: CallRow, alarm: AlarmView, nowMs: number): boolean => {
    if (call.next_round_at_ms === null) return false;
    calls.join(alarm.alarmId, call.call_number, call.round + 1);
    const newsMs = newsDueMs(call, calls.alarmsOf(call.call_number), nowMs);
    if (newsMs < call.next_round_at_ms) {
      calls.setNextRound(call.call_number, newsMs);
      wake();
    }
    return true;
  };
  const joinCallOf = (coveringAlarmId: number, alarm: AlarmView, nowMs: number): boolean => {
    const call = calls.callOfAlarm(coveringAlarmId);
    if (call === undefined) return false;
    // Something worse than what was told rings by itself.
    if (call.round > 0 && highestPriority([call.priority, alarm.priority]) !== call.priority) return false;
    return joinOpen(call, alarm, nowMs);
  };

  /** One call lists a flood: what earlier calls of this bath still ring for, and is no graver, goes over to it. */
  const gatherFlood = (alarm: AlarmView, nowMs: number): void => {
    const call = calls.callOfAlarm(alarm.alarmId);
    if (call === undefined) return;
    for (const earlier of calls.openAlarmCalls(alarm.controllerId)) {
      if (earlier.call_number === call.call_number) continue;
      for (const one of calls.alarmsOf(earlier.call_number))
        if (highestPriority([alarm.priority, one.priority]) === alarm.priority) calls.join(one.alarm_id, call.call_number, 1); // prettier-ignore
      settle(earlier.call_number, nowMs);
    }
  };
  /** A network that fails silences every controller at once: nobody needs a thousand calls. */
  const joinSilentOthers = (alarm: AlarmView, nowMs: number): boolean => {
    if (alarm.name !== 'controller-silent') return false;
    const others = calls.openCallsOfName(alarm.name, alarm.priority, nowMs - SILENT_TOGETHER_MS, SILENT_CALLS_MAX);
    const [newest] = others;
    return newest !== undefined && others.length >= SILENT_CALLS_MAX && joinOpen(newest, alarm, nowMs);
  };
  const announce = (alarm: AlarmView, nowMs: number): void => {
    if (alarm.calledWithAlarmId !== undefined && joinCallOf(alarm.calledWithAlarmId, alarm, nowMs)) return;
    if (joinSilentOthers(alarm, nowMs)) return;
    begin(alarm, nowMs);
    if (alarm.isFloodCall === true) gatherFlood(alarm, nowMs);
  };

  const settleCallOf = (alarm: AlarmView, nowMs: number): void => {
    const call = calls.callOfAlarm(alarm.alarmId);
    if (call !== undefined) settle(call.call_number, nowMs);
  };
  return {
    onRaised: announce,
    onRaisedAgain: (alarm, nowMs) => {
      const call = calls.callOfAlarm(alarm.alarmId);
      if (call === undefined) return;
      // Whose turn came meanwhile is rung now; nobody is rung twice for it.
      calls.setNextRound(call.call_number, nowMs);
      wake();
    },
    onUnsilenced: announce,
    onSilenced: (alarm, nowMs) => {
      calls.setSilenced(alarm.alarmId, true);
      settleCallOf(alarm, nowMs);
    },
    // The round that comes next asks what still stands.
    onReturned: () => undefined,
    onAcknowledged: settleCallOf,
  };
}
