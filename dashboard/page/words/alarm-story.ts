/*
 * An alarm told as a story: when it began, when it called, who saw it, when it went. Also its state in words, and which
 * alarms come first. Used by the alarm list and by the marks on the night band.
 */
import type { AlarmState, AlarmView, JournalEntry } from '@bathkeeper/shared-core/messages';
import { byWords } from '@bathkeeper/shared-core/watch';
import { actWords } from './journal-words.js';
import { clockTimeToSecond, dayWords, spanWords } from './times.js';

/** `seen`: that somebody acknowledged it, and who. */
const alarmStateWords: Readonly<Record<AlarmState, (seen: string) => string>> = {
  unacknowledged: () => 'active, nobody has acknowledged it',
  acknowledged: (seen) => `active, ${seen}`,
  'returned-unacknowledged': () => 'returned to normal, nobody has acknowledged it',
  latched: (seen) => `${seen}, its cause is gone; latched until it is reset at the bath`,
  normal: (seen) => `returned to normal, ${seen}`,
};

/** True while the cause stands. */
export function isActive(alarm: AlarmView): boolean {
  return alarm.state === 'unacknowledged' || alarm.state === 'acknowledged';
}

/** True for what must stay in sight: active, not yet acknowledged, or a trip that nobody has reset at the bath. */
export function isStanding(alarm: AlarmView): boolean {
  return alarm.state !== 'normal';
}

/** True for an alarm that calls nobody now, though it lives on as any other. */
export function isSilent(alarm: AlarmView): boolean {
  return (alarm.silences ?? []).length > 0;
}

/** Example: "acknowledged by Robin". */
function seenWords(acknowledgedBy: string | null): string {
  return acknowledgedBy === null ? 'acknowledged' : `acknowledged ${byWords(acknowledgedBy)}`;
}

/** Its state in words, with the latch of a trip that is still to be reset. */
export function stateWords(alarm: AlarmView): string {
  const words = alarmStateWords[alarm.state](seenWords(alarm.acknowledgedBy));
  if (alarm.isImported === true) return `from a file, as it was when that was written: ${words}`;
  return alarm.isLatched === true && alarm.state !== 'latched' && alarm.state !== 'normal'
    ? `${words}; latched until it is reset at the bath`
    : words;
}

export interface CauseGroup {
  readonly alarm: AlarmView;
  /** Alarms that this one explains, in the order of care. */
  readonly cameWithIt: readonly AlarmView[];
}

/** In the order of care, each alarm that another standing one explains beneath that one. No alarm is lost, whatever points where. */
export function groupedByCause(alarms: readonly AlarmView[]): CauseGroup[] {
  const inOrder = inOrderOfCare(alarms);
  const isFirstOfAll = (alarm: AlarmView): boolean =>
    alarm.causedByAlarmId === undefined || !inOrder.some((other) => other.alarmId === alarm.causedByAlarmId);
  const tops = inOrder.filter(isFirstOfAll);
  const groups = tops.map((alarm) => ({
    alarm,
    cameWithIt: inOrder.filter((other) => other !== alarm && other.causedByAlarmId === alarm.alarmId),
  }));
  const placed = new Set(groups.flatMap((group) => [group.alarm, ...group.cameWithIt]));
  // A chain or a ring of causes: what hangs on none of the tops stands by itself.
  return [...groups, ...inOrder.filter((alarm) => !placed.has(alarm)).map((alarm) => ({ alarm, cameWithIt: [] }))];
}

/** What came with a file is nobody's to acknowledge here. */
export function wantsAcknowledging(alarm: AlarmView): boolean {
  if (alarm.isImported === true) return false;
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

/**
 * Lines in the order in which they happened: cause and call from the alarm, every change of it from the journal's entries.
 * Without entries (not answered, or older than the journal) the changes are told from the alarm too.
 */
export function alarmStory(
  alarm: AlarmView,
  nowMs: number,
  entries: readonly JournalEntry[] = [],
  timeZone?: string,
): StoryLine[] {
  const lines: { atMs: number; order: number; what: string }[] = [];
  const tell = (atMs: number, order: number, what: string): void => {
    lines.push({ atMs, order, what });
  };
  tell(alarm.causeAtMs, 0, 'the cause began at the bath');
  const delaySeconds = (alarm.raisedAtMs - alarm.causeAtMs) / 1000;
  const later = delaySeconds >= 1 ? `, ${spanWords(delaySeconds)} later` : '';
  const own = entries.filter((entry) => entry.alarmId === alarm.alarmId);
  if (alarm.notifiedAtMs !== null) tell(alarm.notifiedAtMs, 2, 'the phone was called');
  if (own.length === 0) {
    tell(alarm.raisedAtMs, 1, `the alarm was raised${later}`);
    if (alarm.acknowledgedAtMs !== null) {
      tell(alarm.acknowledgedAtMs, 3, seenWords(alarm.acknowledgedBy));
    }
    if (alarm.returnedAtMs !== null) tell(alarm.returnedAtMs, 3, 'returned to normal');
  }
  for (const entry of own) {
    if (entry.what === 'raised') tell(entry.atMs, 1, `the alarm was raised${later}`);
    else tell(entry.atMs, 3 + entry.entryId, actWords(entry));
  }
  return lines
    .sort((a, b) => a.atMs - b.atMs || a.order - b.order)
    .map(({ atMs, what }) => ({ at: clockTimeToSecond(atMs, timeZone) + dayWords(atMs, nowMs, timeZone), what }));
}

/** What became of the call. */
export function notificationWords(alarm: AlarmView): string {
  switch (alarm.notification) {
    case 'delivered':
      return 'The phone was called.';
    case 'waiting':
      return 'No phone was called for this yet.';
    case 'nobody':
      return 'Nobody is set up to be called. See Calls.';
    case 'failing':
      return alarm.acknowledgedAtMs === null
        ? 'The phone could not be reached yet; it is tried again. See Calls.'
        : 'The phone could not be reached before somebody acknowledged it.';
    case 'none':
      return 'No phone was called for this.';
  }
}
