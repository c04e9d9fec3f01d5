/*
 * Shelving and out of service: which alarms may be silent, for how long, and until when they are. Called by the dashboard before it
 * writes a silence and at each raise. It never ends an alarm nor touches an interlock: silence only spares the phone.
 */
import { SHELVE_HOURS_MAX, type AlarmView, type ShelveRequest } from '../messages/api.js';

export interface Silenceable {
  readonly priority: AlarmView['priority'];
  /** A trip, which stays until it is reset at the bath. */
  readonly latches: boolean;
}

/** Never what latches, and nothing of high priority: those are the ones that a sleeping person is woken for. Our own rule, no source. */
export function mayBeShelved(alarm: Silenceable): boolean {
  return !alarm.latches && alarm.priority !== 'high';
}

const REASON_CHARACTERS_MAX = 200;

function reasonFaults(reason: string): string[] {
  const length = reason.trim().length;
  if (length === 0) return ['A reason is missing: say in a few words why this alarm may be silent.'];
  return length > REASON_CHARACTERS_MAX
    ? [`The reason has ${String(length)} characters, at most ${String(REASON_CHARACTERS_MAX)} fit: shorten it.`]
    : [];
}

/**
 * Every fault of a request to shelve, each a whole sentence; empty: it may be shelved. OPC UA Part 9, 5.8.17.4: a time beyond MaxTimeShelved
 * is refused as out of range, so it is never shortened here.
 *
 * Example: a trip for 13 hours without a reason answers three sentences.
 */
export function shelveFaults(alarm: Silenceable, request: ShelveRequest): string[] {
  const faults = outOfServiceFaults(alarm, request.reason);
  const minutesMax = SHELVE_HOURS_MAX * 60;
  if (!(Number.isFinite(request.minutes) && request.minutes >= 1)) {
    faults.push(`The shelf needs an end: expected 1 to ${String(minutesMax)} minutes, got ${String(request.minutes)}.`);
  } else if (request.minutes > minutesMax) {
    faults.push(
      `An alarm is shelved for ${String(SHELVE_HOURS_MAX)} hours at most (${String(minutesMax)} minutes), got ${String(request.minutes)}: ` +
        'ask for less, or take it out of service.',
    );
  }
  return faults;
}

/** Every fault of a request to take an alarm out of service. */
export function outOfServiceFaults(alarm: Silenceable, reason: string): string[] {
  const faults = mayBeShelved(alarm)
    ? []
    : ['A trip or another alarm of high priority is never silent: remove its cause, and acknowledge it.'];
  return [...faults, ...reasonFaults(reason)];
}

/** A shelf is over at its end, not after it. A clock that was set back to before its beginning ends it too: nobody can tell how long it was. */
export function isShelvedAt(shelf: { readonly sinceMs: number; readonly untilMs: number }, nowMs: number): boolean {
  return nowMs >= shelf.sinceMs && nowMs < shelf.untilMs;
}
