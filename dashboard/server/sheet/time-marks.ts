/* Moments to mark on an axis of time: whole minutes, hours or days as clocks of a zone show them. Asked by the picture of the night; pure. */
import { runClock, runDay } from '@bathkeeper/shared-core/trade';

const MINUTE = 60_000;
const STEPS = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 10_080, 43_200].map((count) => count * MINUTE);
const POINTS_EACH = 44;

export interface TimeMark {
  readonly atMs: number;
  readonly words: string;
}

/** The first one has its day. A zone's clock is asked each quarter of an hour, so that a mark stands at a whole hour also after the clocks changed. */
export function timeMarks(fromMs: number, toMs: number, points: number, zone: string): TimeMark[] {
  const most = Math.max(2, Math.floor(points / POINTS_EACH));
  const step = STEPS.find((one) => (toMs - fromMs) / one <= most) ?? STEPS.at(-1)!;
  const stride = Math.min(step, 15 * MINUTE);
  const marks: number[] = [];
  for (let at = Math.ceil(fromMs / stride) * stride; at <= toMs; at += stride)
    if (isWhole(at, step, zone) && at - (marks.at(-1) ?? -Infinity) >= Math.min(step, 12 * 60 * MINUTE)) marks.push(at);
  const isDays = step >= 1440 * MINUTE;
  return marks
    .filter((_, index) => !isDays || index % Math.round(step / (1440 * MINUTE)) === 0)
    .map((atMs, index) => ({ atMs, words: isDays ? shortDay(atMs, zone) : `${index === 0 ? `${weekday(atMs, zone)} ` : ''}${runClock(atMs, zone)}` }));
} // prettier-ignore

function isWhole(atMs: number, step: number, zone: string): boolean {
  if (step < 60 * MINUTE) return atMs % step === 0;
  const [hours, minutes] = runClock(atMs, zone).split(':').map(Number) as [number, number];
  return minutes === 0 && (hours * 60 * MINUTE) % Math.min(step, 1440 * MINUTE) === 0;
}

/** Example: "Tue". */
const weekday = (atMs: number, zone: string): string => runDay(atMs, zone).slice(0, 3);
/** Example: "10 Feb". */
const shortDay = (atMs: number, zone: string): string => runDay(atMs, zone).split(' ').slice(1, 3).join(' ');
