/*
 * An alarm told as a story: when it began, when it called, who saw it, when it went. Also its state in words, and which
 * alarms come first. Used by the alarm list and by the marks on the night band.
 */
import type { AlarmName, AlarmState, AlarmView } from '@bathkeeper/shared-core/messages';
import { clockTimeToSecond, dayWords, spanWords } from './times.js';

/** Short names, for a mark whose alarm is no longer in the list. */
export const alarmTitle: Readonly<Record<AlarmName, string>> = {
  'rotation-stalled': 'Rotation stopped',
  'current-off-permitted': 'Current off its permitted value',
  'bath-temperature-out-of-band': 'Bath temperature out of band',
  'controller-silent': 'Controller silent',
  trip: 'Tripped',
  'contactor-contradicts': 'The contactor does not obey',
  held: 'Held',
  'sensor-fault': 'Sensor at fault',
  'notification-failed': 'The phone could not be called',
  'message-refused': 'A message was refused',
  'command-refused': 'The controller refused a message',
  'current-does-not-fall': 'Current still flows',
  'anode-passivating': 'Anodes are passivating',
  'contact-weak': 'Contact is weak',
  'bath-will-overheat': 'Bath will be too warm',
  'clip-hot': 'A clip is hot',
  'rotation-slow': 'Part turns too slowly',
  'rotation-given-up': 'Motor given up',
  'agitation-stopped': 'Agitation stopped',
  'filter-stopped': 'Filter stopped',
  'start-takes-long': 'The start takes long',
  'held-for-long': 'Held for long',
  'not-acknowledged': 'Nobody has acknowledged',
  'supply-fault': 'The supply does not obey',
  'memory-fault': 'The memory is at fault',
  'alert-latch-not-opening': 'The alert latch did not open',
  'current-drifting': 'Current drifts',
  'cell-resistance-drifting': 'Cell resistance drifts',
  'temperature-drifting': 'Bath temperature drifts',
  'rotation-drifting': 'Rotation drifts',
  'supply-drifting': 'The supply drifts',
  'liquid-evaporating': 'Liquid evaporates',
  'broker-lost': 'The broker is lost',
  'disk-nearly-full': 'The disk is nearly full',
  'clock-wrong': 'The clock is wrong',
  'watch-stood-still': 'The watch stood still',
  'store-not-writable': 'The store cannot be written',
};

export const alarmStateWords: Readonly<Record<AlarmState, string>> = {
  unacknowledged: 'active, nobody has acknowledged it',
  acknowledged: 'active, acknowledged',
  'returned-unacknowledged': 'returned to normal, nobody has acknowledged it',
  latched: 'acknowledged, its cause is gone; latched until it is reset at the bath',
  normal: 'returned to normal, acknowledged',
};

/** True while the cause stands. */
export function isActive(alarm: AlarmView): boolean {
  return alarm.state === 'unacknowledged' || alarm.state === 'acknowledged';
}

export function wantsAcknowledging(alarm: AlarmView): boolean {
  return alarm.state === 'unacknowledged' || alarm.state === 'returned-unacknowledged';
}

const stateRank: Readonly<Record<AlarmState, number>> = {
  unacknowledged: 0,
  'returned-unacknowledged': 1,
  acknowledged: 2,
  latched: 3,
  normal: 4,
};
const priorityRank = { high: 0, medium: 1, low: 2 } as const;

/** What wants a person first, then the graver, then the newer. */
export function inOrderOfCare(alarms: readonly AlarmView[]): AlarmView[] {
  return [...alarms].sort(
    (a, b) =>
      stateRank[a.state] - stateRank[b.state] ||
      priorityRank[a.priority] - priorityRank[b.priority] ||
      b.raisedAtMs - a.raisedAtMs,
  );
}

export interface StoryLine {
  readonly at: string;
  readonly what: string;
}

/** Lines in the order in which they happened. */
export function alarmStory(alarm: AlarmView, nowMs: number, timeZone?: string): StoryLine[] {
  const lines: { atMs: number; what: string }[] = [{ atMs: alarm.causeAtMs, what: 'the cause began at the bath' }];
  const delaySeconds = (alarm.raisedAtMs - alarm.causeAtMs) / 1000;
  lines.push({
    atMs: alarm.raisedAtMs,
    what: delaySeconds >= 1 ? `the alarm was raised, ${spanWords(delaySeconds)} later` : 'the alarm was raised',
  });
  if (alarm.notifiedAtMs !== null) lines.push({ atMs: alarm.notifiedAtMs, what: 'the phone was called' });
  if (alarm.acknowledgedAtMs !== null) {
    lines.push({
      atMs: alarm.acknowledgedAtMs,
      what: `acknowledged${alarm.acknowledgedBy ? ` by ${alarm.acknowledgedBy}` : ''}`,
    });
  }
  if (alarm.returnedAtMs !== null) lines.push({ atMs: alarm.returnedAtMs, what: 'returned to normal' });
  return lines
    .sort((a, b) => a.atMs - b.atMs)
    .map(({ atMs, what }) => ({ at: clockTimeToSecond(atMs, timeZone) + dayWords(atMs, nowMs, timeZone), what }));
}

/** What became of the call. */
export function notificationWords(alarm: AlarmView): string {
  switch (alarm.notification) {
    case 'delivered':
      return 'The phone was called.';
    case 'waiting':
      return 'The call to the phone is on its way.';
    case 'failing':
      return 'The phone could not be reached yet; it is tried again. See Settings.';
    case 'none':
      return 'No phone was called for this.';
  }
}
