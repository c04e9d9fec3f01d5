/*
 * Resistance of the cell at constant current, terminal voltage over current, corrected to 25 °C. A resistant line through the last half hour
 * takes the paint's closing, the anodes' wear and the bath's own slow ways with it; what departs from its continuation within minutes is a
 * contact that goes, a film, or something that comes near. Besides it keeps what was learnt once the paint had closed, for what changes
 * over hours. Called by the drift watch with each block of plating.
 */
import { BLOCK_MS, type Recent, remember } from './block.js';
import { median, resistantLine } from './robust.js';
import { forgetShift, type ShiftChart, shiftChart, type ShiftWidths, takeResidual } from './shift-chart.js';

export interface ResistanceCourse {
  /** Logarithms of the corrected resistance. */
  recent: Recent;
  chart: ShiftChart | null;
  /** While a shift stands: the logarithm before it, and when it was found. */
  before: number | null;
  foundAtMs: number;
  /** Learnt once the paint has closed; null: not yet. */
  learnt: number | null;
  slowSide: 'above' | 'below' | null;
  /** When the slow change that stands was at half of it. */
  slowSinceMs: number;
  halfWayAtMs: number;
}

export interface ResistanceShift {
  readonly turned: 'raised' | 'cleared' | undefined;
  readonly slowTurned: 'raised' | 'cleared' | undefined;
  /** Which way the slow change goes that turned or stands; null: none. */
  readonly slowSide: 'above' | 'below' | null;
  /** Ohms, corrected to 25 °C: now, and what the line continued (or what was learnt, for the slow change). */
  readonly nowOhms: number;
  /** The same of a longer while, for what somebody is woken by. */
  readonly lastingOhms: number;
  readonly beforeOhms: number;
  readonly learntOhms: number;
}

/**
 * Fall of V/I per kelvin. The conductivity of the liquid rises by 1.5 % (its sign is published: Hotlos and Jaskula 1988; the size is common
 * practice, no source); liquid is most of the voltage, so 1.3 % of the whole. What it is wrong by, the line takes with it.
 */
export const OHMS_FRACTION_PER_KELVIN = 0.013;
const REFERENCE_CELSIUS = 25;
const OHMIC_PART = 0.8;
/** The line is laid through at most so many blocks, never through the newest five minutes, where a change may be. */
const LINE_BLOCKS = 60;
const GUARD_BLOCKS = 10;
const LEARNING_BLOCKS = 12;
const SLOPE_BLOCKS = 24;
/** What matters. */
const SHIFT = 0.005;
/** A contact that gets better again wakes nobody: a fall counts half. */
const FALL_WEIGHT = 0.5;
/** The least that the first blocks may let one think of the spread; within an hour it becomes what it is. */
const SIGMA_FIRST = 0.0012;
const FIRST_WIDER = 1.3;
/** Wider after each shift that came to nothing, up to a hundredth: beyond it nobody would hear of a clip. */
const MUTTERS_MORE = 1.4;
const SIGMA_MAX = 0.01;
/** Slip rings mutter for minutes. */
const WIDTHS: ShiftWidths = { shift: SHIFT, allowanceSigmas: 1.7, calmSamples: 10 };
/** So long after plating began the paint has closed: what it changes then is under a tenth of a per cent an hour on the virtual bath. */
export const CLOSED_MS = 45 * 60_000;
const LEARNT_BLOCKS = 20;
const NOW_BLOCKS = 3;
const LASTING_BLOCKS = 5;
/** Over hours: raised beyond, over within. A wrong coefficient makes 1.5 % of 3 K. */
const SLOW_SHIFT = 0.06;
const SLOW_SHIFT_OVER = 0.04;

export function resistanceCourse(): ResistanceCourse {
  return {
    recent: { atMs: [], values: [] },
    chart: null,
    before: null,
    foundAtMs: 0,
    learnt: null,
    slowSide: null,
    slowSinceMs: 0,
    halfWayAtMs: 0,
  };
}

/** Ohms as they would be at 25 °C. `correctedOhms(0.1, 35)` is 0.1139. */
export function correctedOhms(ohms: number, celsius: number): number {
  return ohms * Math.exp(OHMS_FRACTION_PER_KELVIN * (celsius - REFERENCE_CELSIUS));
}

/**
 * V/I as it would be at the usual current and 25 °C: a current that is a little off changes V/I, since the electrodes' part of the voltage hardly
 * follows it. Three fifths to nineteen twentieths of the voltage are ohmic; what the middle is wrong by is under 0.4 % of V/I at 2 %.
 *
 * Example: 4 V and 20 A at 25 °C are 0.2 ohms; 3.92 V and 19.5 A, 0.2010 by themselves, are 0.2000 at 20 A.
 */
export function ohmsAt(
  usualAmps: number,
  { amps, volts, celsius }: { readonly amps: number; readonly volts: number; readonly celsius: number },
): number {
  const usualVolts = volts * (1 + OHMIC_PART * (usualAmps / amps - 1));
  return correctedOhms(usualVolts / usualAmps, celsius);
}

/** Takes a block, in place. `platingMs`: since plating began. */
export function takeResistance(
  course: ResistanceCourse,
  ohms: number,
  platingMs: number,
  atMs: number,
): ResistanceShift {
  const { recent } = course;
  const value = Math.log(ohms);
  remember(recent, atMs, value, LINE_BLOCKS + GUARD_BLOCKS);
  const expected = course.before ?? continued(recent);
  let turned: ResistanceShift['turned'];
  if (expected !== undefined) {
    course.chart ??= shiftChart(Math.max(SIGMA_FIRST, FIRST_WIDER * spreadOf(recent)));
    const residual = value - expected;
    turned = takeResidual(course.chart, residual < 0 ? residual * FALL_WEIGHT : residual, WIDTHS, atMs, BLOCK_MS);
    if (turned === 'raised') {
      course.before = expected;
      course.foundAtMs = atMs;
    } else if (turned === 'cleared') takeForUsual(course);
  }
  const sideBefore = course.slowSide;
  const slowTurned = takeSlowly(course, platingMs, atMs);
  return {
    turned,
    slowTurned,
    slowSide: course.slowSide ?? sideBefore,
    nowOhms: Math.exp(median(recent.values.slice(-NOW_BLOCKS))),
    lastingOhms: Math.exp(median(recent.values.slice(-LASTING_BLOCKS))),
    beforeOhms: Math.exp(expected ?? value),
    learntOhms: Math.exp(course.learnt ?? value),
  };
}

/**
 * What it is now is the usual from here on: the shift went by itself, or it has stood for so long that nothing more will come of it. Then this
 * rig mutters more than was thought: the band becomes wider.
 */
export function takeForUsual(course: ResistanceCourse): void {
  const { recent, chart } = course;
  course.before = null;
  recent.atMs.splice(0, recent.atMs.length - LEARNING_BLOCKS);
  recent.values.splice(0, recent.values.length - LEARNING_BLOCKS);
  if (chart === null) return;
  forgetShift(chart);
  chart.sigma = Math.min(Math.max(chart.sigma, SIGMA_MAX), chart.sigma * MUTTERS_MORE);
}

/** After a gap in what was heard: a line through what was before it says nothing of what comes after. A shift that stands is kept. */
export function forgetLine(course: ResistanceCourse): void {
  course.recent.atMs.length = course.recent.values.length = 0;
  if (course.before === null && course.chart !== null) forgetShift(course.chart);
}

function lineBlocks({ atMs }: Recent): number {
  return Math.max(LEARNING_BLOCKS, atMs.length - GUARD_BLOCKS);
}

/** What the line says of now; undefined: still learning. */
function continued(recent: Recent): number | undefined {
  const count = lineBlocks(recent);
  if (recent.atMs.length <= LEARNING_BLOCKS) return undefined;
  const fromMs = recent.atMs[0]!;
  const times = recent.atMs.slice(0, count).map((at) => (at - fromMs) / 60_000);
  const values = recent.values.slice(0, count);
  if (count < SLOPE_BLOCKS) return median(values);
  const line = resistantLine(times, values);
  return line.level + line.slope * ((recent.atMs.at(-1)! - fromMs) / 60_000);
}

function spreadOf(recent: Recent): number {
  const fromMs = recent.atMs[0]!;
  const count = lineBlocks(recent);
  return resistantLine(
    recent.atMs.slice(0, count).map((at) => (at - fromMs) / 60_000),
    recent.values.slice(0, count),
  ).sigma;
}

function takeSlowly(course: ResistanceCourse, platingMs: number, atMs: number): 'raised' | 'cleared' | undefined {
  const { values } = course.recent;
  if (values.length < LEARNT_BLOCKS) return undefined;
  const now = median(values.slice(-LEARNT_BLOCKS));
  if (course.learnt === null) {
    if (platingMs >= CLOSED_MS && course.before === null) course.learnt = now;
    return undefined;
  }
  const shift = now - course.learnt;
  if (Math.abs(shift) < SLOW_SHIFT / 2) course.halfWayAtMs = atMs;
  if (course.slowSide === null && Math.abs(shift) >= SLOW_SHIFT) {
    course.slowSide = shift > 0 ? 'above' : 'below';
    course.slowSinceMs = course.halfWayAtMs;
    return 'raised';
  }
  if (course.slowSide !== null && Math.abs(shift) < SLOW_SHIFT_OVER) {
    course.slowSide = null;
    return 'cleared';
  }
  return undefined;
}
