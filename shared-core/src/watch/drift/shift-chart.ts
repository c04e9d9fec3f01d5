/*
 * Tells a lasting shift of a residual (a reading less what it should be) by EWMA and CUSUM together, when it began and how large it is; and
 * when it is over. Called by the courses of current, resistance and rotation with each block or pulse. Blocks of a real bath still depend on
 * each other, so published run lengths do not hold for them: the widths are multiples of the spread of the blocks themselves, set on
 * clean simulated nights, and never below the shift that matters to a person.
 */
import { type Cusum, cusum, cusumShift, takeIntoCusum } from './cusum.js';
import { type Ewma, ewma, type Side } from './ewma.js';

export interface ShiftChart {
  readonly sums: Cusum;
  readonly average: Ewma;
  /** Standard deviation of one sample, followed slowly while all is calm. */
  sigma: number;
  /** The side that stands; null: none. */
  side: Side | null;
  /** When the shift that stands began. */
  sinceMs: number;
  /** Samples in a row that were calm while a shift stands. */
  calmCount: number;
}

export interface ShiftWidths {
  /** The shift that matters, in the residual's unit: the CUSUM's allowance is half of it (K = shift / 2), its decision five times that (H = 5 K). */
  readonly shift: number;
  /** Neither is less than so many sigmas of a sample (H: five times as many). */
  readonly allowanceSigmas: number;
  /** Samples that must be calm before a shift is over. */
  readonly calmSamples: number;
}

/** Usual: 0.1 to 0.3. */
const EWMA_WEIGHT = 0.25;
/** The sigma is followed with this memory in samples. */
const SIGMA_MEMORY = 120;
/** What is farther off counts no more than this towards the spread. */
const WINSOR_SIGMAS = 2.5;

export function shiftChart(sigma: number): ShiftChart {
  return { sums: cusum(), average: ewma(0), sigma, side: null, sinceMs: 0, calmCount: 0 };
}

/** K of the CUSUM now. H is five times it, and the EWMA's band twice. */
export function allowanceNow(chart: ShiftChart, widths: ShiftWidths): number {
  return Math.max(widths.shift / 2, widths.allowanceSigmas * chart.sigma);
}

/** Takes the residual of a sample, in place. Answers when a shift is raised or over. */
export function takeResidual(
  chart: ShiftChart,
  residual: number,
  widths: ShiftWidths,
  atMs: number,
  sampleMs: number,
): 'raised' | 'cleared' | undefined {
  const allowance = allowanceNow(chart, widths);
  const cusumChart = { target: 0, allowance, decision: 5 * allowance };
  const signal = takeIntoCusum(chart.sums, cusumChart, residual);
  chart.average.value += EWMA_WEIGHT * (residual - chart.average.value);
  chart.average.count++;
  if (chart.side === null) {
    const isFar = Math.abs(chart.average.value) > 2 * allowance && chart.average.count >= 4;
    const side = signal ?? (isFar ? (chart.average.value > 0 ? 'above' : 'below') : undefined);
    if (side === undefined) {
      if (Math.abs(residual) < 2 * allowance) followSigma(chart, residual);
      return undefined;
    }
    const samples = side === 'above' ? chart.sums.highCount : chart.sums.lowCount;
    chart.side = side;
    chart.sinceMs = atMs - Math.max(1, samples) * sampleMs;
    chart.calmCount = 0;
    return 'raised';
  }
  chart.calmCount = Math.abs(chart.average.value) < allowance ? chart.calmCount + 1 : 0;
  if (chart.calmCount < widths.calmSamples) {
    // The sums would grow without end, and with them the time to see that it is over.
    chart.sums.high = Math.min(chart.sums.high, cusumChart.decision * 2);
    chart.sums.low = Math.min(chart.sums.low, cusumChart.decision * 2);
    return undefined;
  }
  forgetShift(chart);
  return 'cleared';
}

/** How far the residual has moved: what the CUSUM says at first, the average once it has caught up. */
export function shiftNow(chart: ShiftChart, widths: ShiftWidths): number {
  const { side, average, sums } = chart;
  if (side === null) return 0;
  const allowance = allowanceNow(chart, widths);
  const byCusum = cusumShift(sums, { target: 0, allowance, decision: 5 * allowance }, side);
  return Math.abs(average.value) > Math.abs(byCusum) ? average.value : byCusum;
}

/** Begins anew with the spread that was learnt. */
export function forgetShift(chart: ShiftChart): void {
  chart.side = null;
  chart.calmCount = 0;
  Object.assign(chart.sums, cusum());
  Object.assign(chart.average, ewma(0));
}

function followSigma(chart: ShiftChart, residual: number): void {
  const capped = Math.min(Math.abs(residual), WINSOR_SIGMAS * chart.sigma + 1e-12);
  // (A little more, since the cap takes a little away.)
  chart.sigma = Math.sqrt(chart.sigma ** 2 + (1.05 * capped ** 2 - chart.sigma ** 2) / SIGMA_MEMORY);
}
