/*
 * The words of a call: of one alarm, of several, and again when nobody acknowledged. Called when a delivery is about to be sent. Pure.
 */
import type { AlarmView } from '@bathkeeper/shared-core/messages';

export interface ToldAlarm {
  readonly bathName: string;
  readonly title: string;
  readonly detail: string;
  readonly checkFirst: string;
}

/** So many are listed by name; the page has them all. */
const LISTED_MAX = 8;

/**
 * What to do first, then what was seen. Example: two alarms of one bath, first round -> title "Copper 60 L: Tripped: the contactor is open, and 1 more", and a message that
 * ends with "Also: Rotation stopped (no pulse for 23 s)."
 */
export function alarmCallWords(alarms: readonly ToldAlarm[], minutesUnacknowledged: number | undefined) {
  const [first, ...others] = alarms;
  if (first === undefined) return { title: 'Bathkeeper', message: 'What this call was for is over.' };
  const isSameBath = others.every((alarm) => alarm.bathName === first.bathName);
  const listed = others
    .slice(0, LISTED_MAX)
    .map(
      (alarm) =>
        `${isSameBath ? '' : `${alarm.bathName}: `}${alarm.title}${alarm.detail === '' ? '' : ` (${alarm.detail})`}`,
    );
  const unlisted = others.length - listed.length;
  return {
    title: `${first.bathName}: ${first.title}${others.length === 0 ? '' : `, and ${String(others.length)} more`}`,
    message: [
      // What to do comes first: a phone that lies locked shows little more.
      first.checkFirst,
      ...(first.detail === '' ? [] : [`Seen: ${first.detail}.`]),
      ...(minutesUnacknowledged === undefined
        ? []
        : [`Nobody has acknowledged for ${minutesWords(minutesUnacknowledged)}.`]),
      ...(listed.length === 0
        ? []
        : [`Also: ${listed.join('; ')}${unlisted === 0 ? '' : `; and ${String(unlisted)} more on the page`}.`]),
    ].join(' '),
  };
}

export function minutesWords(minutes: number): string {
  return minutes === 1 ? '1 minute' : `${String(minutes)} minutes`;
}

const rank = { low: 0, medium: 1, high: 2 } as const;

/** The highest of them; of none: low. */
export function highestPriority(priorities: readonly AlarmView['priority'][]): AlarmView['priority'] {
  return priorities.reduce<AlarmView['priority']>((high, one) => (rank[one] > rank[high] ? one : high), 'low');
}
