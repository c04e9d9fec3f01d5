/*
 * Two runs on one axis: by the time since each began, or by the charge that had flowed. Where a logged moment lies on that axis, which window of time a part of the
 * axis is, and how the axis is marked. Called by the chart of two runs; pure.
 */
import type { Series } from '@bathkeeper/shared-core/messages';
import { significant, spanWords } from '@bathkeeper/shared-core/trade';
import { bucketAt } from './reading.js';
import type { TimeTick } from './time-ticks.js';
import { lengthOf, type View } from './view.js';

export type Alignment = 'start' | 'charge';

/** What of a run's record decides where it lies. */
export interface LaidRun {
  readonly controllerId: string;
  readonly run: number;
  readonly startedAtMs: number;
  readonly lastedUntilMs: number;
  readonly measures: { readonly chargeAmpereHours: number };
}

/** Milliseconds since the start, or ampere-hours. */
export function wholeAxis(alignment: Alignment, runs: readonly LaidRun[]): View {
  const lengths = runs.map(({ startedAtMs, lastedUntilMs, measures }) =>
    alignment === 'start' ? lastedUntilMs - startedAtMs : measures.chargeAmpereHours,
  );
  return { from: 0, to: Math.max(alignment === 'start' ? 60_000 : 0.1, ...lengths) };
}

/** Ampere-hours at a moment within a bucket: a straight line to the count at its end from the one before it, where that is known. */
function chargeAt(series: Series, index: number, atMs: number): number {
  const now = series.chargeAmpereHours[index]!;
  const before = series.run[index - 1] === series.run[index] ? series.chargeAmpereHours[index - 1]! : now;
  const share = Math.min(1, Math.max(0, (atMs - series.startMs[index]!) / series.bucketMs));
  return before + share * (now - before);
}

/** null: it belongs to another run. */
export function placedBy(alignment: Alignment, series: Series, { run, startedAtMs }: LaidRun) {
  return (atMs: number, index: number): number | null => {
    if (series.run[index] !== run) return null;
    return alignment === 'start' ? atMs - startedAtMs : chargeAt(series, index, atMs);
  };
}

/** The run's own time that is seen. By charge it is looked up in all of the run, and null while that is not known. */
export function windowOf(alignment: Alignment, view: View, laid: LaidRun, whole: Series | null): View | null {
  const { startedAtMs, lastedUntilMs, run } = laid;
  const bounded = (from: number, to: number): View => {
    const begin = Math.max(startedAtMs, Math.min(from, lastedUntilMs - 1000));
    return { from: begin, to: Math.max(begin + 1000, Math.min(to, lastedUntilMs)) };
  };
  if (alignment === 'start') return bounded(startedAtMs + view.from, startedAtMs + view.to);
  if (whole === null) return null;
  const own = whole.startMs.map((_, index) => index).filter((index) => whole.run[index] === run);
  const first = own.findLast((index) => whole.chargeAmpereHours[index]! <= view.from);
  const last = own.find((index) => whole.chargeAmpereHours[index]! >= view.to);
  return bounded(
    first === undefined ? startedAtMs : whole.startMs[first]!,
    last === undefined ? lastedUntilMs : whole.startMs[last]! + 2 * whole.bucketMs,
  );
}

/** What was logged of the run at a place of the axis; null: nothing was. */
export function bucketAtPlace(alignment: Alignment, series: Series, laid: LaidRun, place: number, within: number): number | null {
  if (alignment === 'start') {
    const index = bucketAt(series, laid.startedAtMs + place, within);
    return index !== null && series.run[index] === laid.run ? index : null;
  }
  let found: number | null = null;
  let away = within;
  for (let index = 0; index < series.startMs.length; index++) {
    if (series.run[index] !== laid.run) continue;
    const distance = Math.abs(series.chargeAmpereHours[index]! - place);
    if (distance >= away) continue;
    found = index;
    away = distance;
  }
  return found;
} // prettier-ignore

const [MINUTE, HOUR] = [60, 3600];
const SECONDS_STEPS = [
  ...[1, 2, 5, 10, 15, 30],
  ...[1, 2, 5, 10, 15, 30].map((count) => count * MINUTE),
  ...[1, 2, 3, 6, 12, 24, 48, 168].map((count) => count * HOUR),
];
const PIXELS_EACH = 76;

/** The next of 1, 2 and 5 times a power of ten. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((one) => one * power).find((step) => step >= least) ?? 10 * power;
}

export function placeTicks(alignment: Alignment, view: View, widthPixels: number): TimeTick[] {
  const most = Math.max(2, Math.floor(widthPixels / PIXELS_EACH));
  const step =
    alignment === 'charge'
      ? roundStep(lengthOf(view) / most)
      : 1000 * (SECONDS_STEPS.find((seconds) => lengthOf(view) / 1000 / seconds <= most) ?? roundStep(lengthOf(view) / 1000 / most));
  const ticks: TimeTick[] = [];
  // A step of 0.2 is none in binary.
  const [first, last] = [Math.ceil(view.from / step - 1e-9), Math.floor(view.to / step + 1e-9)];
  for (let count = first; count <= last; count++)
    ticks.push({ atMs: count * step, words: placeWords(alignment, count * step) });
  return ticks;
} // prettier-ignore

/** Example: "2 h 30 min", "1 h", "1 min", "01:00:05", "12.5 Ah". Beside "2 h" an hour is no 60 minutes. */
export function placeWords(alignment: Alignment, place: number): string {
  if (alignment === 'charge') return `${significant(place, 4)}\u00a0Ah`;
  const seconds = Math.round(place / 1000);
  const [hours, minutes, rest] = [Math.floor(seconds / HOUR), Math.floor((seconds % HOUR) / MINUTE), seconds % MINUTE];
  if (rest !== 0) return [hours, minutes, rest].map((part) => String(part).padStart(2, '0')).join(':');
  if (seconds === 0 || hours >= 2) return spanWords(seconds);
  return [...(hours > 0 ? ['1\u00a0h'] : []), ...(minutes > 0 ? [`${String(minutes)}\u00a0min`] : [])].join(' ');
}
