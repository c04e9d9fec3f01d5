/*
 * The time of day in the house: hours in which somebody may be called, and the morning, in the owner's time zone, daylight saving
 * included. Asked by whoever decides who is called. Pure: the instant is passed in.
 */

export const MINUTES_OF_DAY = 1440;

export function isTimeZone(name: string): boolean {
  try {
    new Intl.DateTimeFormat('en-GB', { timeZone: name });
    return name !== '';
  } catch {
    return false;
  }
}

/** The zone that this computer is set to. */
export function computerTimeZone(): string {
  return Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC';
}

const formats = new Map<string, Intl.DateTimeFormat>();
function formatOf(timeZone: string): Intl.DateTimeFormat {
  let format = formats.get(timeZone);
  if (format === undefined) {
    format = new Intl.DateTimeFormat('en-GB', { timeZone, year: 'numeric', month: '2-digit', day: '2-digit', hour: '2-digit', minute: '2-digit', hourCycle: 'h23' }); // prettier-ignore
    formats.set(timeZone, format);
  }
  return format;
}
function partsAt(atMs: number, timeZone: string): Readonly<Record<string, string>> {
  return Object.fromEntries(
    formatOf(timeZone)
      .formatToParts(atMs)
      .map(({ type, value }) => [type, value]),
  );
}

/** Minutes since local midnight, 0 to 1439. Example: 2026-07-01T00:30Z in Europe/Berlin -> 150. */
export function minuteOfDay(atMs: number, timeZone: string): number {
  const { hour, minute } = partsAt(atMs, timeZone);
  return Number(hour) * 60 + Number(minute);
}

/** Example: 2026-07-01T23:30Z in Europe/Berlin -> '2026-07-02'. */
export function localDay(atMs: number, timeZone: string): string {
  const { year, month, day } = partsAt(atMs, timeZone);
  return `${String(year)}-${String(month)}-${String(day)}`;
}

/** Example: 2026-07-01T00:30Z in Europe/Berlin -> '02:30'. */
export function localTime(atMs: number, timeZone: string): string {
  const { hour, minute } = partsAt(atMs, timeZone);
  return `${String(hour)}:${String(minute)}`;
}

/** `from` counts, `to` does not; from after to goes over midnight; both null: at any hour. Example: 1320 to 420 holds at 60. */
export function isWithinHours(minute: number, fromMinute: number | null, toMinute: number | null): boolean {
  if (fromMinute === null || toMinute === null) return true;
  return fromMinute <= toMinute ? minute >= fromMinute && minute < toMinute : minute >= fromMinute || minute < toMinute;
}

/** Whole minutes until this minute of the day comes next; 0: it is now. A night in which clocks change may be an hour off: ask again then. */
export function minutesUntil(minute: number, wantedMinute: number): number {
  return (wantedMinute - minute + MINUTES_OF_DAY) % MINUTES_OF_DAY;
}

/** When somebody may be called, in minutes of the day; both null: at any hour. */
export interface Hours {
  readonly fromMinute: number | null;
  readonly toMinute: number | null;
}

export function isOnDuty(person: Hours, nowMs: number, timeZone: string): boolean {
  return isWithinHours(minuteOfDay(nowMs, timeZone), person.fromMinute, person.toMinute);
}

/** When the hours of somebody who is not on duty begin. */
export function dutyBeginsMs(person: Pick<Hours, 'fromMinute'>, nowMs: number, timeZone: string): number {
  const beginsAt = (person.fromMinute ?? 0) % MINUTES_OF_DAY;
  const atMs = nowMs + minutesUntil(minuteOfDay(nowMs, timeZone), beginsAt) * 60_000;
  // In a night in which clocks change that is off by as much as they change.
  const laterMinutes = minutesUntil(minuteOfDay(atMs, timeZone), beginsAt);
  const changedMs = atMs + (laterMinutes > MINUTES_OF_DAY / 2 ? laterMinutes - MINUTES_OF_DAY : laterMinutes) * 60_000;
  // A minute that the change leaps over: then the hours begin with what comes after it.
  return minuteOfDay(changedMs, timeZone) === beginsAt ? changedMs : atMs;
}
