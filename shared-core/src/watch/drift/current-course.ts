/*
 * Cathode current against its permitted value, as a share, at a set-point that stands still: learns in five minutes what this supply makes of
 * this set-point, then tells a lasting departure long before the band of 5 % is left. Called by the drift watch with each block.
 */
import { median, robustSigma } from './robust.js';
import { type ShiftChart, shiftChart, shiftNow, type ShiftWidths, takeResidual } from './shift-chart.js';
import { BLOCK_MS } from './block.js';

export interface CurrentCourse {
  /** Shares of the blocks that are learnt from. */
  learning: number[];
  /** What the supply makes of its set-point; null: not learnt yet. */
  usualShare: number | null;
  chart: ShiftChart | null;
  /** The average's last few values, oldest first. */
  recentShifts: number[];
}

export interface CurrentShift {
  readonly turned: 'raised' | 'cleared' | undefined;
  /** As a fraction of permitted; 0 when nothing stands. */
  readonly shift: number;
  readonly isForTonight: boolean;
}

const LEARNING_BLOCKS = 10;
/** 0.8 % matters: a supply in constant current holds a tenth of a per cent (common practice, no source). */
const SHIFT = 0.008;
/** What the current's hundredths and a small shunt voltage can make of it. */
const SHIFT_AMPS = 0.05;
/** The least that learning may think of the spread: ripple and wandering of the virtual bath's supply, half-minute blocks. */
const SIGMA_MIN = 0.0008;
/** Two sigmas: the supply wanders with a memory of ten minutes, so that blocks are not independent. */
const ALLOWANCE_SIGMAS = 2;
/** For tonight: so far off and still moving away by so much in two minutes; or so far off. */
const TONIGHT_SHIFT = 0.011;
const MOVING_SHIFT = 0.0018;
const MOVING_BLOCKS = 4;
const FAR_SHIFT = 0.03;

export function currentCourse(): CurrentCourse {
  return { learning: [], usualShare: null, chart: null, recentShifts: [] };
}

/** Takes the mean current of a block, in place. */
export function takeCurrent(course: CurrentCourse, amps: number, permittedAmps: number, atMs: number): CurrentShift {
  const share = amps / permittedAmps;
  if (course.usualShare === null || course.chart === null) {
    course.learning.push(share);
    if (course.learning.length === LEARNING_BLOCKS) {
      course.usualShare = median(course.learning);
      course.chart = shiftChart(Math.max(SIGMA_MIN, robustSigma(course.learning, course.usualShare)));
    }
    return { turned: undefined, shift: 0, isForTonight: false };
  }
  const { chart } = course;
  const widths: ShiftWidths = {
    shift: Math.max(SHIFT, SHIFT_AMPS / permittedAmps),
    allowanceSigmas: ALLOWANCE_SIGMAS,
    calmSamples: 10,
  };
  const turned = takeResidual(chart, share - course.usualShare, widths, atMs, BLOCK_MS);
  course.recentShifts.push(chart.average.value);
  if (course.recentShifts.length > MOVING_BLOCKS + 1) course.recentShifts.shift();
  const shift = shiftNow(chart, widths);
  const off = Math.abs(chart.average.value);
  const moved = (chart.average.value - course.recentShifts[0]!) * Math.sign(chart.average.value);
  const isForTonight = chart.side !== null && (off >= FAR_SHIFT || (off >= TONIGHT_SHIFT && moved >= MOVING_SHIFT));
  return { turned, shift, isForTonight };
}
