/*
 * Which alarm makes which call, and who is rung in each round of it. The listener's half runs within the transaction of the alarm; a round
 * is taken by the queue when it is due. It writes deliveries and sends nothing.
 *
 * Within their hours, in their order: the first person at once, again and the next ones as escalation.ts says. A call of high priority goes on
 * to those whose hours it is not, and rings them at once where nobody is on duty; one of medium priority waits, and takes up whoever's hours begin.
 * Low calls those who want it, once.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import type { AlarmListener } from '../watch/alarm-listener.js';
import { FAILING_TRIES } from './call-queue.js';
import type { CalledAlarm, CallRow, CallStore, DeliveryRow } from './call-store.js';
import { highestPriority } from './call-words.js';
import type { CallingSettings } from './calling-settings.js';
import { type Contacts, dutyBeginsMs, isOnDuty, type Person } from './contacts.js';
import { type Callee, roundAt } from './escalation.js';

/** An alarm that has returned is still worth its first call for this long. */
const OVER_MS = 3_600_000;
/** What joins a call must be told soon: one that rings again later than this (or than the pace) is no call for it. */
const JOIN_WAIT_MS = 10 * 60_000;
/** So long a cause may come back as the same alarm (see the alarm list): the call waits for it, and ends then. */
const SAME_ALARM_MS = 10 * 60_000;
const NOBODY_ON_DUTY_WAIT_MS = 60_000;
const TEST_AGAIN_MS = 60_000;
/** Good news that nobody could be told within a day is none any more. */
const NEWS_STALE_MS = 24 * 3_600_000;
export const TEST_ROUNDS_MAX = 60;
/** So many baths are called for one by one when they fall silent within a minute; it is the network then, and the last of these calls lists the others. */
const SILENT_CALLS_MAX = 3;
const SILENT_TOGETHER_MS = 60_000;

export interface Rounds {
  readonly listener: AlarmListener;
  take(call: CallRow, nowMs: number): void;
  matters(delivery: DeliveryRow, nowMs: number): boolean;
  /** The alarms that a delivery tells of when it is sent now. */
  alarmsToTell(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
  /** The alarms that the link in it acknowledges: also those that another call has taken over since. */
  alarmsAnswered(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
  /** Open alarms of the calls that took over from its call, which this link does not acknowledge. */
  openAfter(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
  /** Ends the call when nobody need be called for it any more. */
  settle(callNumber: number, nowMs: number): void;
}

/** What a call knows of somebody, from what was sent for it so far. */
function calleeOf(person: Person, rung: readonly DeliveryRow[]): Callee {
  const own = rung.filter((delivery) => delivery.contact_id === person.contactId);
  return {
    wasRung: own.length > 0,
    isUnreachable:
      own.every((delivery) => delivery.delivered_at_ms === null) &&
      person.channels.every((channel) =>
        own.some((delivery) => delivery.channel_id === channel.channel_id && delivery.tries >= FAILING_TRIES),
      ),
  };
}

export function openRounds(options: {
  calls: CallStore;
  contacts: Contacts;
  settings: CallingSettings;
  /** The queue looks what is due. */
  wake: () => void;
}): Rounds {
  const { calls, contacts, settings, wake } = options;

  const isWorthFirstCall = (call: CallRow, alarm: CalledAlarm, nowMs: number): boolean =>
    alarm.over_at_ms === null || call.queued_at_ms > nowMs - OVER_MS;

  const settle = (callNumber: number, nowMs: number): void => {
    if (calls.alarmsOf(callNumber).length === 0) calls.end(callNumber, nowMs);
  };

  /** People whom this alarm may ring at all; whoever's every channel fails cannot be told of that failure. */
  const peopleFor = (names: readonly string[], priority: AlarmView['priority']): readonly Person[] => {
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
  };

  const begin = (alarm: AlarmView, nowMs: number): void => {
    if (
      peopleFor([alarm.name], alarm.priority).length === 0 &&
      (alarm.priority === 'low' || alarm.name === 'notification-failed')
    )
      return;
    calls.join(alarm.alarmId, calls.add({ kind: 'alarm', controllerId: alarm.controllerId, priority: alarm.priority }, nowMs), 1); // prettier-ignore
    wake();
  };
  const joinCallOf = (coveringAlarmId: number, alarm: AlarmView, nowMs: number): boolean => {
    const call = calls.callOfAlarm(coveringAlarmId);
    // A call that has rung for the last time would never tell of it.
    if (call === undefined || call.next_round_at_ms === null) return false;
    const waitMs = Math.max(JOIN_WAIT_MS, settings.escalation().againAfterMinutes * 60_000);
    if (call.round > 0 && call.next_round_at_ms > nowMs + waitMs) return false;
    // Something worse than what was told rings by itself.
    if (call.round > 0 && highestPriority([call.priority, alarm.priority]) !== call.priority) return false;
    calls.join(alarm.alarmId, call.call_number, call.round + 1);
    return true;
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
    if (newest === undefined || others.length < SILENT_CALLS_MAX) return false;
    calls.join(alarm.alarmId, newest.call_number, newest.round + 1);
    return true;
  };
  const announce = (alarm: AlarmView, nowMs: number): void => {
    if (alarm.calledWithAlarmId !== undefined && joinCallOf(alarm.calledWithAlarmId, alarm, nowMs)) return;
    if (joinSilentOthers(alarm, nowMs)) return;
    begin(alarm, nowMs);
    if (alarm.isFloodCall === true) gatherFlood(alarm, nowMs);
  };

  const listener: AlarmListener = {
    onRaised: (alarm, nowMs) => {
      announce(alarm, nowMs);
    },
    onRaisedAgain: (alarm, nowMs) => {
      const call = calls.callOfAlarm(alarm.alarmId);
      if (call === undefined) return;
      // Whose turn came meanwhile is rung now; nobody is rung twice for it.
      calls.setNextRound(call.call_number, nowMs);
      wake();
    },
    onUnsilenced: (alarm, nowMs) => {
      announce(alarm, nowMs);
    },
    onSilenced: (alarm, nowMs) => {
      calls.setSilenced(alarm.alarmId, true);
      const call = calls.callOfAlarm(alarm.alarmId);
      if (call !== undefined) settle(call.call_number, nowMs);
    },
    // The round that comes next asks what still stands.
    onReturned: () => undefined,
    onAcknowledged: (alarm, nowMs) => {
      const call = calls.callOfAlarm(alarm.alarmId);
      if (call !== undefined) settle(call.call_number, nowMs);
    },
  };

  const takeAlarmRound = (call: CallRow, nowMs: number): void => {
    const unseen = calls.alarmsOf(call.call_number);
    const standing = unseen.filter((alarm) => alarm.over_at_ms === null);
    if (call.round > 0 && standing.length === 0 && unseen.length > 0) {
      const waitUntilMs = Math.max(...unseen.map((alarm) => alarm.over_at_ms!)) + SAME_ALARM_MS;
      if (waitUntilMs > nowMs) {
        calls.setNextRound(call.call_number, waitUntilMs);
        return;
      }
    }
    const told = call.round > 0 ? standing : unseen.filter((alarm) => isWorthFirstCall(call, alarm, nowMs));
    if (told.length === 0) {
      calls.end(call.call_number, nowMs);
      return;
    }
    const priority = highestPriority(told.map((alarm) => alarm.priority));
    const reachable = peopleFor(
      told.map((alarm) => alarm.name),
      priority,
    );
    const { timeZone, ...pace } = settings.escalation();
    const onDuty = reachable.filter((person) => isOnDuty(person, nowMs, timeZone));
    const people =
      priority === 'high' ? [...onDuty, ...reachable.filter((person) => !onDuty.includes(person))] : onDuty;
    if (people.length === 0) {
      calls.setNextRound(call.call_number, nowMs + NOBODY_ON_DUTY_WAIT_MS);
      return;
    }
    const rung = calls.deliveriesOf(call.call_number);
    const round = roundAt(
      priority,
      pace,
      people.map((person) => calleeOf(person, rung)),
      { startedAtMs: call.started_at_ms, lastRoundAtMs: call.last_round_at_ms },
      nowMs,
    );
    for (const place of round.people) ring(call, people[place]!, nowMs, nowMs);
    const nextAtMs =
      round.nextAtMs === null
        ? null
        : Math.min(
            round.nextAtMs,
            ...reachable.filter((one) => !people.includes(one)).map((one) => dutyBeginsMs(one, nowMs, timeZone)),
          );
    calls.roundTaken(call, { nextAtMs, isRung: round.people.length > 0 }, nowMs);
  };

  const ring = (call: CallRow, person: Person, nowMs: number, firstTryAtMs: number): void => {
    for (const channel of person.channels)
      if (call.channel_id === null || channel.channel_id === call.channel_id)
        calls.addDelivery(call, call.round + 1, person.contactId, channel.channel_id, nowMs, firstTryAtMs);
  };

  const takeTestRound = (call: CallRow, nowMs: number): void => {
    const person = contacts.people().find((one) => one.contactId === call.contact_id);
    if (call.confirmed_at_ms !== null || call.round >= (call.rounds_max ?? 1) || person === undefined) {
      calls.end(call.call_number, nowMs);
      return;
    }
    ring(call, person, nowMs, nowMs);
    const isLast = call.round + 1 >= (call.rounds_max ?? 1);
    const nextAtMs = isLast && call.rounds_max === 1 ? null : nowMs + TEST_AGAIN_MS;
    calls.roundTaken(call, { nextAtMs, isRung: true }, nowMs);
  };

  /** To everybody who wants it, each when their hours begin: it wakes nobody. */
  const takeNewsRound = (call: CallRow, nowMs: number): void => {
    const { timeZone } = settings.escalation();
    for (const person of contacts.people()) {
      if (call.kind === 'good-news' ? !person.wantsGoodNews : !person.wantsMorningSummary) continue;
      ring(call, person, nowMs, isOnDuty(person, nowMs, timeZone) ? nowMs : dutyBeginsMs(person, nowMs, timeZone));
    }
    calls.roundTaken(call, { nextAtMs: null, isRung: true }, nowMs);
  };

  const worthTelling = (alarms: readonly CalledAlarm[], delivery: DeliveryRow, nowMs: number): CalledAlarm[] => {
    const call = calls.call(delivery.call_number);
    return alarms.filter(
      (alarm) => call !== undefined && alarm.joined_round <= delivery.round && isWorthFirstCall(call, alarm, nowMs),
    );
  };
  const alarmsToTell = (delivery: DeliveryRow, nowMs: number): CalledAlarm[] =>
    worthTelling(calls.alarmsOf(delivery.call_number), delivery, nowMs);
  const alarmsAnswered = (delivery: DeliveryRow, nowMs: number): CalledAlarm[] =>
    worthTelling(calls.alarmsToldBy(delivery.call_number), delivery, nowMs);

  return {
    listener,
    settle,
    alarmsToTell,
    alarmsAnswered,
    openAfter: (delivery, nowMs) => {
      const own = new Set(alarmsAnswered(delivery, nowMs).map((alarm) => alarm.alarm_id));
      return calls
        .callsAfter(delivery.call_number)
        .flatMap((callNumber) => calls.alarmsOf(callNumber))
        .filter((alarm) => alarm.over_at_ms === null && !own.has(alarm.alarm_id));
    },
    take: (call, nowMs) => {
      if (call.kind === 'alarm') takeAlarmRound(call, nowMs);
      else if (call.kind === 'test') takeTestRound(call, nowMs);
      else takeNewsRound(call, nowMs);
    },
    matters: (delivery, nowMs) => {
      const call = calls.call(delivery.call_number);
      if (call === undefined || contacts.channel(delivery.channel_id) === undefined) return false;
      switch (call.kind) {
        case 'alarm':
          return alarmsToTell(delivery, nowMs).length > 0;
        case 'test':
          return call.confirmed_at_ms === null && call.ended_at_ms === null;
        case 'good-news':
        case 'morning-summary':
          return nowMs - call.queued_at_ms <= NEWS_STALE_MS;
      }
    },
  };
}
