/*
 * Where an axis of time is marked and with which words, from a second to years: whole hours and days as clocks of the person's zone show them, also in a night in which
 * they change. Called by the charts; pure.
 */
import { clockTime, clockTimeToSecond } from '../words/times.js';
import { aheadMs, momentOf } from '../words/zone.js';
import { lengthOf, type View } from './view.js';

const SECOND = 1000;
const MINUTE = 60 * SECOND;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

export interface TimeTick {
  readonly atMs: number;
  readonly words: string;
}

const STEPS = [
  ...[1, 2, 5, 10, 15, 30].map((count) => count * SECOND),
  ...[1, 2, 5, 10, 15, 30].map((count) => count * MINUTE),
  ...[1, 2, 3, 6, 12].map((count) => count * HOUR),
  ...[1, 2, 7].map((count) => count * DAY),
];
const MONTHS = [1, 2, 3, 6, 12, 24, 60, 120];
/** The longest month. */
const MONTH = 31 * DAY;
const PIXELS_EACH = 62;

/** In order of time; as many as have room in so many pixels, two where the view allows. */
export function timeTicks(view: View, widthPixels: number, zone: string): TimeTick[] {
  const most = Math.max(2, Math.floor(widthPixels / PIXELS_EACH));
  const step = STEPS.find((one) => lengthOf(view) / one <= most);
  if (step === undefined) return monthTicks(view, most, zone);
  const moments = step <= HOUR ? shortSteps(view, step, zone) : shownSteps(view, step, zone);
  return moments.map((atMs) => ({ atMs, words: tickWords(atMs, step, zone) }));
}

/** Steps that go on through a change of the clock: an hour that is shown twice has two of its marks. */
function shortSteps(view: View, step: number, zone: string): number[] {
  const moments: number[] = [];
  // Some zones are ahead by half an hour.
  const shift = aheadMs(view.from, zone) % step;
  for (let at = Math.ceil((view.from + shift) / step) * step - shift; at <= view.to; at += step) moments.push(at);
  return moments;
}

/** Steps by what clocks show. A week begins on Monday; 1 January 1970 was a Thursday. */
function shownSteps(view: View, step: number, zone: string): number[] {
  const shift = step === 7 * DAY ? 3 * DAY : 0;
  const moments: number[] = [];
  for (let shown = Math.floor((view.from + aheadMs(view.from, zone) + shift) / step) * step - shift; ; shown += step) {
    const at = momentOf(shown, zone);
    if (at > view.to) return moments;
    if (at >= view.from && at !== moments.at(-1)) moments.push(at);
  }
}

function monthTicks(view: View, most: number, zone: string): TimeTick[] {
  const step = MONTHS.find((months) => lengthOf(view) / (months * MONTH) <= most) ?? 240;
  const began = new Date(view.from + aheadMs(view.from, zone));
  const ticks: TimeTick[] = [];
  for (let month = Math.floor((began.getUTCFullYear() * 12 + began.getUTCMonth()) / step) * step; ; month += step) {
    const atMs = momentOf(Date.UTC(Math.floor(month / 12), month % 12, 1), zone);
    if (atMs > view.to) return ticks;
    const isYear = month % 12 === 0;
    if (atMs >= view.from) ticks.push({ atMs, words: isYear ? String(month / 12) : dateWords(atMs, zone, 'month') });
  }
}

/** At midnight the day, else the time of day, to the second where marks stand closer than a minute. */
function tickWords(atMs: number, step: number, zone: string): string {
  const isMidnight = (atMs + aheadMs(atMs, zone)) % DAY === 0;
  if (step >= DAY || isMidnight) return dateWords(atMs, zone, 'day');
  return step < MINUTE ? clockTimeToSecond(atMs, zone) : clockTime(atMs, zone);
}

function dateWords(atMs: number, zone: string, to: 'day' | 'month'): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    month: 'short',
    ...(to === 'day' ? { day: 'numeric' } : {}),
  }).format(atMs);
}
