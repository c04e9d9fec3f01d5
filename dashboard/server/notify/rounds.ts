/*
 * Who is rung in each round of a call, and what a message tells. A round is taken by the queue when it is due. It writes deliveries and sends nothing;
 * which alarm makes which call is alarm-calls.ts.
 *
 * Within their hours, in their order: the first person at once, again and the next ones as escalation.ts says. A call of high priority goes on
 * to those whose hours it is not, and rings them at once where nobody is on duty; one of medium priority waits, and takes up whoever's hours begin.
 * Low calls those who want it, once.
 */
import { newsDueMs, peopleFor } from './alarm-calls.js';
import { FAILING_TRIES } from './call-queue.js';
import type { CallRow, CallStore, DeliveryRow } from './call-store.js';
import type { CalledAlarm } from './called-alarms.js';
import { highestPriority } from './call-words.js';
import type { CallingSettings } from './calling-settings.js';
import type { Contacts, Person } from './contacts.js';
import { dutyBeginsMs, isOnDuty } from './house-time.js';
import { type Callee, roundAt } from './escalation.js';

/** An alarm that has returned is still worth its first call for this long. */
const OVER_MS = 3_600_000;
/** So long a cause may come back as the same alarm (see the alarm list): the call waits for it, and ends then. */
const SAME_ALARM_MS = 10 * 60_000;
const NOBODY_ON_DUTY_WAIT_MS = 60_000;
const TEST_AGAIN_MS = 60_000;
/** Good news that nobody could be told within a day is none any more. */
const NEWS_STALE_MS = 24 * 3_600_000;
export const TEST_ROUNDS_MAX = 60;

export interface Rounds {
  take(call: CallRow, nowMs: number): void;
  matters(delivery: DeliveryRow, nowMs: number): boolean;
  /** The alarms that a delivery tells of when it is sent now. */
  alarmsToTell(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
  /** The alarms that the link in it acknowledges: also those that another call has taken over since. */
  alarmsAnswered(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
  /** Open alarms of its call and of those that took over from it, which this link does not acknowledge. */
  openAfter(delivery: DeliveryRow, nowMs: number): CalledAlarm[];
}

/** What a call knows of somebody, from what was sent for it so far. What went to an address that was taken away since has not rung them. */
function calleeOf(person: Person, rung: readonly DeliveryRow[]): Callee {
  const ways = new Set(person.channels.map((channel) => channel.channel_id));
  const own = rung.filter((delivery) => delivery.contact_id === person.contactId && ways.has(delivery.channel_id));
  return {
    wasRung: own.length > 0,
    isUnreachable:
      own.every((delivery) => delivery.delivered_at_ms === null) &&
      person.channels.every((channel) =>
        own.some((delivery) => delivery.channel_id === channel.channel_id && delivery.tries >= FAILING_TRIES),
      ),
  };
}

export function openRounds(options: { calls: CallStore; contacts: Contacts; settings: CallingSettings }): Rounds {
  const { calls, contacts, settings } = options;

  const isWorthFirstCall = (call: CallRow, alarm: CalledAlarm, nowMs: number): boolean =>
    alarm.over_at_ms === null || Math.max(call.queued_at_ms, alarm.raised_at_ms) > nowMs - OVER_MS;

  /** What a round tells: what stands; and what came and went before a round could tell it, once. */
  const toldIn = (call: CallRow, unseen: readonly CalledAlarm[], nowMs: number): CalledAlarm[] =>
    unseen.filter((alarm) =>
      call.round > 0 && alarm.joined_round <= call.round
        ? alarm.over_at_ms === null
        : isWorthFirstCall(call, alarm, nowMs),
    );
  /** Nothing is to be told: the call waits for a cause that may come back, and ends. */
  const waitOrEnd = (call: CallRow, unseen: readonly CalledAlarm[], nowMs: number): void => {
    const waitUntilMs = Math.max(...unseen.map((alarm) => alarm.over_at_ms ?? -Infinity)) + SAME_ALARM_MS;
    if (call.round > 0 && waitUntilMs > nowMs) calls.setNextRound(call.call_number, waitUntilMs);
    else calls.end(call.call_number, nowMs);
  };

  const takeAlarmRound = (call: CallRow, nowMs: number): void => {
    const unseen = calls.alarmsOf(call.call_number);
    const told = toldIn(call, unseen, nowMs);
    if (told.length === 0) {
      waitOrEnd(call, unseen, nowMs);
      return;
    }
    const priority = highestPriority(told.map((alarm) => alarm.priority));
    const reachable = peopleFor(
      contacts,
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
    const newsMs = newsDueMs(call, told, nowMs);
    // Reminders are of what stands.
    const isReminding = call.round === 0 || told.some((alarm) => alarm.over_at_ms === null);
    const reminded = isReminding ? round.people : [];
    const places = newsMs <= nowMs || (newsMs !== Infinity && reminded.length > 0) ? round.turns : reminded;
    for (const place of places) ring(call, people[place]!, nowMs, nowMs);
    const nextAtMs =
      round.nextAtMs === null
        ? null
        : Math.min(
            round.nextAtMs,
            places.length > 0 ? Infinity : newsMs,
            ...reachable.filter((one) => !people.includes(one)).map((one) => dutyBeginsMs(one, nowMs, timeZone)),
          );
    calls.roundTaken(call, { nextAtMs, isRung: places.length > 0 }, nowMs);
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
    alarmsToTell,
    alarmsAnswered,
    openAfter: (delivery, nowMs) => {
      const own = new Set(alarmsAnswered(delivery, nowMs).map((alarm) => alarm.alarm_id));
      return [delivery.call_number, ...calls.callsAfter(delivery.call_number)]
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
