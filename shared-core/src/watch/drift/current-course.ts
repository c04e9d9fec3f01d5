/*
 * Cathode current against its permitted value, as a share, at a set-point that stands still: learns in five minutes what this supply makes of
 * this set-point, then tells a lasting departure long before the band of 5 % is left. Called by the drift watch with each block.
 */
import { BLOCK_MS } from './block.js';
import { median, robustSigma } from './robust.js';
import { type ShiftChart, shiftChart, shiftNow, type ShiftWidths, takeResidual } from './shift-chart.js';

export interface CurrentCourse {
  /** Shares of the blocks that are learnt from, and of the newest ten minutes, which are not yet: a change may be in them. */
  learning: number[];
  guarded: number[];
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

/** Enough to begin with, and the most: half an hour, since a supply wanders with a memory of minutes. Then it stands for the whole stretch. */
const LEARNING_BLOCKS = 10;
const LEARNT_BLOCKS = 60;
const GUARD_BLOCKS = 20;
/** 0.8 % matters: a supply in constant current holds a tenth of a per cent (common practice, no source). */
const SHIFT = 0.008;
/** What the current's hundredths can make of it. */
const SHIFT_AMPS = 0.02;
/** The least that learning may think of the spread: ripple and wandering of the virtual bath's supply, half-minute blocks. */
const SIGMA_MIN = 0.0008;
/** Two sigmas: the supply wanders with a memory of ten minutes, so that blocks are not independent. */
const ALLOWANCE_SIGMAS = 2;
/** For tonight: so far off, also in sigmas, and still moving away by so much in two minutes (a sudden step moves for its first minutes); or very far off. */
const TONIGHT_SHIFT = 0.009;
const TONIGHT_SIGMAS = 4.5;
const MOVING_SHIFT = 0.0016;
const MOVING_BLOCKS = 4;
const FAR_SHIFT = 0.03;

export function currentCourse(): CurrentCourse {
  return { learning: [], guarded: [], usualShare: null, chart: null, recentShifts: [] };
}

/** Takes the mean current of a block, in place. */
export function takeCurrent(course: CurrentCourse, amps: number, permittedAmps: number, atMs: number): CurrentShift {
  const share = amps / permittedAmps;
  learn(course, share);
  const { chart, usualShare } = course;
  if (usualShare === null || chart === null) return { turned: undefined, shift: 0, isForTonight: false };
  const widths: ShiftWidths = {
    shift: Math.max(SHIFT, SHIFT_AMPS / permittedAmps),
    allowanceSigmas: ALLOWANCE_SIGMAS,
    calmSamples: 10,
  };
  const turned = takeResidual(chart, share - usualShare, widths, atMs, BLOCK_MS);
  course.recentShifts.push(chart.average.value);
  if (course.recentShifts.length > MOVING_BLOCKS + 1) course.recentShifts.shift();
  const off = Math.abs(chart.average.value);
  const moved = (chart.average.value - course.recentShifts[0]!) * Math.sign(chart.average.value);
  const isOff = off >= Math.max(TONIGHT_SHIFT, TONIGHT_SIGMAS * chart.sigma);
  const isForTonight = chart.side !== null && (off >= FAR_SHIFT || (isOff && moved >= MOVING_SHIFT));
  return { turned, shift: shiftNow(chart, widths), isForTonight };
}

function learn(course: CurrentCourse, share: number): void {
  const { learning, guarded, chart } = course;
  if (chart === null) {
    learning.push(share);
    if (learning.length < LEARNING_BLOCKS) return;
    course.usualShare = median(learning);
    course.chart = shiftChart(Math.max(SIGMA_MIN, robustSigma(learning, course.usualShare)));
    return;
  }
  if (learning.length >= LEARNT_BLOCKS) return;
  // A shift that stands, and what led to it, is nothing to learn from.
  if (chart.side !== null) {
    guarded.length = 0;
    return;
  }
  guarded.push(share);
  if (guarded.length <= GUARD_BLOCKS) return;
  learning.push(guarded.shift()!);
  course.usualShare = median(learning);
}
