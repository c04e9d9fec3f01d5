/*
 * The picture of the night: current between its least and most, what was permitted, the bath's temperature, over one axis of time with phases, interruptions and
 * alarms. Drawn once as shapes in points, which PDF and HTML each put on their paper. Asked by set-sheet.ts; knows no paper.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { Series } from '@bathkeeper/shared-core/messages';
import { phaseWords, type RunRecord, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { type Axis, valueAxis } from './axis.js';
import type { Letters } from './letters.js';
import { timeMarks } from './time-marks.js';

export type Tone = 'ink' | 'faint' | 'rule' | 'current' | 'band' | 'bath' | 'phase' | 'care' | 'gap';
export type Shape =
  | { readonly kind: 'line'; readonly points: readonly Point[]; readonly tone: Tone; readonly width: number; readonly isDashed?: boolean }
  | { readonly kind: 'area'; readonly points: readonly Point[]; readonly tone: Tone }
  | { readonly kind: 'text'; readonly at: Point; readonly words: string; readonly tone: Tone; readonly anchor: 'start' | 'middle' | 'end' }; // prettier-ignore
/** From the upper left corner, down. */
export type Point = readonly [x: number, y: number];

export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
  /** For whoever hears the sheet. */
  readonly words: string;
}

export interface NightAsked {
  readonly record: Pick<RunRecord, 'startedAtMs' | 'lastedUntilMs' | 'phases' | 'interruptions' | 'alarms' | 'run'>;
  readonly series: Series;
  /** Alarm → its number in the story; one that is not told there has a mark without a number. */
  readonly numbers: ReadonlyMap<number, number>;
  readonly units: UnitSystem;
  readonly zone: string;
  readonly width: number;
  readonly height: number;
  readonly letters: Letters;
}

/** Of the words in the picture. */
export const PICTURE_SIZE = 6.5;
const LEFT = 30;
const RIGHT = 30;
const STRIP = 11;
const MARKS = 12;
/** Hours, and below them what is what. */
const FOOT = 21;
/** A line breaks where more was not logged. */
const GAP_MS = 2000;

const LEGEND =
  'Current: mean, and shaded its least to most; dashed: permitted. On the right-hand scale: the bath. Upright bars: without current. Triangles: alarms.';

interface Frame {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: (atMs: number) => number;
}

export function nightPicture(asked: NightAsked): Picture {
  const { width, height, record, units } = asked;
  const from = record.startedAtMs;
  const span = Math.max(1000, record.lastedUntilMs - from);
  const [left, right] = [LEFT, width - RIGHT];
  const frame: Frame = {
    left,
    right,
    top: STRIP + MARKS,
    bottom: height - FOOT,
    x: (atMs) => left + ((right - left) * Math.min(span, Math.max(0, atMs - from))) / span,
  };
  const runs = stretches(asked.series, record.run);
  const rows = runs.flat();
  const currents = rows.flatMap(({ most, permitted }) => [most ?? 0, permitted]);
  const amps = valueAxis(0, Math.max(1, ...currents), 5);
  const warm = rows.flatMap(({ celsius }) => (celsius === null ? [] : [shownBath(celsius, units)]));
  const bath = warm.length === 0 ? undefined : valueAxis(Math.min(...warm) - 1, Math.max(...warm) + 1, 5);
  return {
    width,
    height,
    shapes: [
      ...interruptionShapes(asked, frame),
      ...phaseShapes(asked, frame),
      ...timeShapes(asked, frame),
      ...(rows.length === 0 ? [] : axisShapes(frame, amps, 'A', left - 3, 'end', true)),
      ...(rows.length === 0 ? [] : [word([left, height - 2], LEGEND, 'faint', 'start')]),
      ...(bath === undefined
        ? []
        : axisShapes(frame, bath, units === 'metric' ? '°C' : '°F', right + 3, 'start', false)),
      ...runs.flatMap((run) => currentShapes(run, frame, amps)),
      ...(bath === undefined ? [] : runs.flatMap((run) => bathShapes(run, frame, bath, units))),
      ...alarmShapes(asked, frame),
      ...(rows.length > 0
        ? []
        : [
            word(
              [(left + right) / 2, (frame.top + frame.bottom) / 2],
              'Nothing was logged of this run.',
              'ink',
              'middle',
            ),
          ]),
    ],
    words:
      rows.length === 0
        ? 'Nothing was logged of this run.'
        : `Current from 0 to ${String(Math.round(Math.max(...currents) * 10) / 10)} A over the run, with its least and most, the permitted current, the temperature of the bath, phases, ${String(record.interruptions.length)} interruptions and ${String(record.alarms.length)} alarms.`,
  };
}

interface Row {
  readonly fromMs: number;
  readonly untilMs: number;
  readonly mean: number | null;
  readonly least: number | null;
  readonly most: number | null;
  readonly permitted: number;
  readonly celsius: number | null;
}

/** Of this run, in pieces without a gap. */
function stretches(series: Series, run: number): Row[][] {
  const pieces: Row[][] = [];
  let coveredMs = -Infinity;
  for (const [index, fromMs] of series.startMs.entries()) {
    if (series.run[index] !== run) continue;
    const seconds = series.seconds[index]!;
    const untilMs = Math.max(fromMs + series.bucketMs, fromMs + seconds * 1000);
    const row: Row = {
      fromMs,
      untilMs,
      mean: series.currentMeanAmps[index]!,
      least: series.currentMinAmps[index]!,
      most: series.currentMaxAmps[index]!,
      permitted: series.permittedAmps[index]!,
      celsius: series.temperatureCelsius[index]!,
    };
    if (fromMs - coveredMs > GAP_MS) pieces.push([]);
    pieces.at(-1)!.push(row);
    coveredMs = Math.max(coveredMs, untilMs);
  }
  return pieces;
}

const shownBath = (celsius: number, units: UnitSystem): number => (units === 'metric' ? celsius : celsius * 1.8 + 32);

/** Each row as wide as its time, at least as a hair: a second's spike is seen at any length of the run. */
function currentShapes(run: readonly Row[], frame: Frame, axis: Axis): Shape[] {
  const y = heightOf(frame, axis);
  const read = run.filter(({ least, most }) => least !== null && most !== null);
  const edge = (value: (row: Row) => number): Point[] =>
    read.flatMap((row): Point[] => [
      [frame.x(row.fromMs), y(value(row))],
      [frame.x(row.untilMs), y(value(row))],
    ]);
  const band = [...edge(({ most }) => most!), ...edge(({ least }) => least!).reverse()];
  const steps = run.flatMap(({ fromMs, untilMs, permitted }): Point[] => [
    [frame.x(fromMs), y(permitted)],
    [frame.x(untilMs), y(permitted)],
  ]);
  return [
    ...(band.length === 0 ? [] : ([{ kind: 'area', points: band, tone: 'band' }, { kind: 'line', points: [...band, band[0]!], tone: 'band', width: 0.5 }] as const)),
    { kind: 'line', points: steps, tone: 'ink', width: 0.5, isDashed: true },
    ...lineOf(read, frame, ({ mean }) => (mean === null ? null : y(mean)), 'current'),
  ]; // prettier-ignore
}

function bathShapes(run: readonly Row[], frame: Frame, axis: Axis, units: UnitSystem): Shape[] {
  const y = heightOf(frame, axis);
  return lineOf(run, frame, ({ celsius }) => (celsius === null ? null : y(shownBath(celsius, units))), 'bath');
}

function lineOf(rows: readonly Row[], frame: Frame, y: (row: Row) => number | null, tone: Tone): Shape[] {
  const points = rows.flatMap((row): Point[] => {
    const at = y(row);
    return at === null ? [] : [[frame.x((row.fromMs + row.untilMs) / 2), at]];
  });
  const [only] = points;
  if (only === undefined) return [];
  return [{ kind: 'line', points: points.length > 1 ? points : [only, [only[0] + 0.5, only[1]]], tone, width: 0.9 }];
}

const heightOf =
  ({ top, bottom }: Frame, { from, to }: Axis) =>
  (value: number): number =>
    bottom - ((bottom - top) * (value - from)) / (to - from);

function axisShapes(
  frame: Frame,
  axis: Axis,
  unit: string,
  x: number,
  anchor: 'start' | 'end',
  isRuled: boolean,
): Shape[] {
  const y = heightOf(frame, axis);
  return axis.marks.flatMap((mark, index): Shape[] => {
    const at = y(mark);
    const words = index === axis.marks.length - 1 ? `${String(mark)} ${unit}` : String(mark);
    const rule: Shape[] = isRuled ? [{ kind: 'line', points: [[frame.left, at], [frame.right, at]], tone: 'rule', width: 0.4 }] : []; // prettier-ignore
    return [...rule, word([x, at + PICTURE_SIZE * 0.35], words, isRuled ? 'current' : 'bath', anchor)];
  });
}

function timeShapes({ record, zone, letters }: NightAsked, frame: Frame): Shape[] {
  const marks = timeMarks(record.startedAtMs, record.lastedUntilMs, frame.right - frame.left, zone);
  let free = -Infinity;
  return marks.flatMap(({ atMs, words }): Shape[] => {
    const x = frame.x(atMs);
    const half = letters.width(words, PICTURE_SIZE, false) / 2;
    const tick: Shape = { kind: 'line', points: [[x, frame.bottom], [x, frame.bottom + 2.5]], tone: 'ink', width: 0.5 }; // prettier-ignore
    if (x - half < free || x + half > frame.right + RIGHT) return [tick];
    free = x + half + 4;
    return [tick, word([x, frame.bottom + 2.5 + PICTURE_SIZE], words, 'ink', 'middle')];
  });
}

const box = (x0: number, y0: number, x1: number, y1: number): Point[] => [
  [x0, y0],
  [x1, y0],
  [x1, y1],
  [x0, y1],
];

function phaseShapes({ record, letters }: NightAsked, frame: Frame): Shape[] {
  return record.phases.flatMap(({ phase, fromMs, seconds }): Shape[] => {
    const [x0, x1] = [frame.x(fromMs), frame.x(fromMs + seconds * 1000)];
    const isCare = phase === Phase.trip || phase === Phase.hold;
    const name = phaseWords[phase].split(/[ :]/)[0]!;
    const isRoomy = letters.width(name, PICTURE_SIZE, false) + 4 <= x1 - x0;
    return [
      { kind: 'area', points: box(x0, 0, Math.max(x0 + 0.4, x1 - 0.4), STRIP), tone: isCare ? 'care' : 'phase' },
      ...(isRoomy ? [word([(x0 + x1) / 2, STRIP - 3], name, 'ink', 'middle')] : []),
    ];
  });
}

function interruptionShapes({ record }: NightAsked, frame: Frame): Shape[] {
  return record.interruptions.flatMap(({ fromMs, untilMs, seconds }): Shape[] => {
    const until = untilMs ?? record.lastedUntilMs;
    const x1 = frame.x(until);
    const x0 = Math.min(frame.x(fromMs ?? until - (seconds ?? 0) * 1000), x1 - 0.6);
    return [{ kind: 'area', points: box(x0, STRIP, x1, frame.bottom), tone: 'gap' }];
  });
}

/** A triangle for each, its number above while there is room for it. */
function alarmShapes({ record, numbers, letters }: NightAsked, frame: Frame): Shape[] {
  const base = STRIP + MARKS - 1;
  let free = -Infinity;
  return [...record.alarms]
    .sort((one, other) => one.alarm.raisedAtMs - other.alarm.raisedAtMs)
    .flatMap(({ alarm }): Shape[] => {
      const x = frame.x(alarm.raisedAtMs);
      const mark: Shape = { kind: 'area', points: [[x, base], [x - 2.2, base - 4], [x + 2.2, base - 4]], tone: 'care' }; // prettier-ignore
      const number = numbers.get(alarm.alarmId);
      const words = String(number);
      const half = letters.width(words, PICTURE_SIZE, false) / 2;
      if (number === undefined || x - half < free) return [mark];
      free = x + half + 1.5;
      return [mark, word([x, base - 5], words, 'care', 'middle')];
    });
}

function word(at: Point, words: string, tone: Tone, anchor: 'start' | 'middle' | 'end'): Shape {
  return { kind: 'text', at, words, tone, anchor };
}
