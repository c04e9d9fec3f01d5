/*
 * Times and spans in words. Times of day are those of the browser unless a time zone is named (tests name one).
 * Used by the sentence, the alarms and the night band; never reads a clock: what is "now" is passed in.
 */

export { spanWords } from '@bathkeeper/shared-core/trade';

const MINUTE = 60_000;
const HOUR = 3_600_000;
const DAY = 86_400_000;

const formats = new Map<string, Intl.DateTimeFormat>();

function formatted(atMs: number, zone: string | undefined, key: string, options: Intl.DateTimeFormatOptions): string {
  const id = `${key} ${zone ?? ''}`;
  let format = formats.get(id);
  if (!format) {
    format = new Intl.DateTimeFormat('en-GB', { ...options, ...(zone ? { timeZone: zone } : {}) });
    formats.set(id, format);
  }
  return format.format(atMs);
}

/** Example: `clockTime(Date.UTC(2026, 0, 5, 6, 40), 'UTC')` is "06:40". */
export function clockTime(atMs: number, zone?: string): string {
  return formatted(atMs, zone, 'time', { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
}

/** With seconds, for the story of an alarm: "03:10:21". */
export function clockTimeToSecond(atMs: number, zone?: string): string {
  return formatted(atMs, zone, 'second', { hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23' });
}

/** Year, month and day as one sortable text: tells two days apart. */
export function calendarDay(atMs: number, zone?: string): string {
  return formatted(atMs, zone, 'day', { year: 'numeric', month: '2-digit', day: '2-digit' });
}

/** "" today, " tomorrow", " yesterday", else " on Thu 26 Nov", in another year " on Thu 26 Nov 2024". */
export function dayWords(atMs: number, nowMs: number, zone?: string): string {
  const day = calendarDay(atMs, zone);
  if (day === calendarDay(nowMs, zone)) return '';
  if (day === calendarDay(nowMs + DAY, zone)) return ' tomorrow';
  if (day === calendarDay(nowMs - DAY, zone)) return ' yesterday';
  return ` on ${datedDay(atMs, nowMs, zone)}`;
}

/** Example: "Thu 26 Nov". */
export function dayDate(atMs: number, zone?: string): string {
  return formatted(atMs, zone, 'date', { weekday: 'short', day: 'numeric', month: 'short' }).replace(',', '');
}

/** Example: "Thu 26 Nov", in another year "Thu 26 Nov 2024". */
export function datedDay(atMs: number, nowMs: number, zone?: string): string {
  const year = formatted(atMs, zone, 'year', { year: 'numeric' });
  const isOther = year !== formatted(nowMs, zone, 'year', { year: 'numeric' });
  return `${dayDate(atMs, zone)}${isOther ? ` ${year}` : ''}`;
}

/** A day as a heading: "Today, Thu 26 Nov", "Yesterday, Wed 25 Nov", "Mon 23 Nov", in another year "Sat 23 Nov 2024". */
export function dayHeading(atMs: number, nowMs: number, zone?: string): string {
  const words = dayWords(atMs, nowMs, zone).trim();
  const date = datedDay(atMs, nowMs, zone);
  if (words === '') return `Today, ${date}`;
  return words.startsWith('on ') ? date : `${words.charAt(0).toUpperCase()}${words.slice(1)}, ${date}`;
}

/** Example: "03:12", "23:50 yesterday". */
export function timeWords(atMs: number, nowMs: number, zone?: string): string {
  return clockTime(atMs, zone) + dayWords(atMs, nowMs, zone);
}

/** "23:50", "06:40 tomorrow", but plain "06:40" for the coming morning: within twelve hours nobody takes it for another day. */
export function nearTimeWords(atMs: number, nowMs: number, zone?: string): string {
  return Math.abs(atMs - nowMs) < 12 * HOUR ? clockTime(atMs, zone) : timeWords(atMs, nowMs, zone);
}

/** A forecast: rounded to five minutes when it is more than half an hour away. Example: "about 06:40". */
export function aboutTime(atMs: number, nowMs: number, zone?: string): string {
  const step = Math.abs(atMs - nowMs) > 30 * MINUTE ? 5 * MINUTE : MINUTE;
  return 'about ' + nearTimeWords(Math.round(atMs / step) * step, nowMs, zone);
}
