/*
 * Moments of a run in words, for a sheet that is read years later: with the day and the year, in a named time zone. Called by run-sheet.ts; reads no clock
 * and no zone of its own.
 */
const formats = new Map<string, Intl.DateTimeFormat>();

function formatted(atMs: number, zone: string, key: string, options: Intl.DateTimeFormatOptions): string {
  const id = `${key} ${zone}`;
  const format = formats.get(id) ?? new Intl.DateTimeFormat('en-GB', { ...options, timeZone: zone });
  formats.set(id, format);
  return format.format(atMs);
}

/** Example: "Tue 10 Feb 2026". */
export function runDay(atMs: number, zone: string): string {
  const options = { weekday: 'short', day: 'numeric', month: 'short', year: 'numeric' } as const;
  return formatted(atMs, zone, 'day', options).replace(',', '');
}

/** Example: "02:04". */
export function runClock(atMs: number, zone: string): string {
  return formatted(atMs, zone, 'clock', { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
}

/** Example: "Tue 02:04". */
export function runMoment(atMs: number, zone: string): string {
  return `${formatted(atMs, zone, 'weekday', { weekday: 'short' })} ${runClock(atMs, zone)}`;
}

const DAY_MS = 86_400_000;

/** Example: "Mon 9 Feb 2026, 08:10 to 16:40", "Mon 9 Feb 2026, 22:24 to Tue 06:40", after a whole day "Mon 9 Feb 2026, 22:24 to Wed 11 Feb 2026, 06:40". */
export function runSpan(fromMs: number, toMs: number, zone: string): string {
  const day = runDay(toMs, zone);
  const end = toMs - fromMs >= DAY_MS ? `${day}, ${runClock(toMs, zone)}` : runMoment(toMs, zone);
  const isSameDay = day === runDay(fromMs, zone);
  return `${runDay(fromMs, zone)}, ${runClock(fromMs, zone)} to ${isSameDay ? runClock(toMs, zone) : end}`;
}

/** Is a weekday enough to know which one is meant? From the day before a run's start to the sixth after it. */
export function isNear(atMs: number, startedAtMs: number): boolean {
  return atMs >= startedAtMs - DAY_MS && atMs < startedAtMs + 6 * DAY_MS;
}

/** Example: "Tue 02:04"; far from the run "Thu 26 Nov 2026, 02:04". */
export function momentOfRun(atMs: number, startedAtMs: number, zone: string): string {
  return isNear(atMs, startedAtMs) ? runMoment(atMs, zone) : `${runDay(atMs, zone)}, ${runClock(atMs, zone)}`;
}

/** What stands before the words of a line whose weekday alone would not do. Example: "Thu 26 Nov 2026: "; "" near the run. */
export function farDay(atMs: number, startedAtMs: number, zone: string): string {
  return isNear(atMs, startedAtMs) ? '' : `${runDay(atMs, zone)}: `;
}
