/*
 * Tabular cumulative sum, two-sided (Page 1954; NIST Engineering Statistics Handbook 6.3.2.3; Montgomery, Introduction to Statistical Quality
 * Control): sums what goes beyond an allowance, so that small shifts add up; says when the shift began and how large it is. Called by
 * the drift charts once a block. Streaming, four numbers of memory; it judges, it raises nothing.
 */
import type { Side } from './ewma.js';

export interface Cusum {
  /** Sums above and below the target, never negative. */
  high: number;
  low: number;
  /** Samples since each was last zero: so long ago the shift began, if there is one (N+ and N-). */
  highCount: number;
  lowCount: number;
}

export interface CusumChart {
  readonly target: number;
  /** K: half the shift that is to be found soon, in the quantity's own unit. */
  readonly allowance: number;
  /** H: a sum above it signals. */
  readonly decision: number;
}

/** Empty, or with a head start of each sum (fast initial response, Lucas and Crosier 1982: half of H). */
export function cusum(headStart = 0): Cusum {
  return { high: headStart, low: headStart, highCount: 0, lowCount: 0 };
}

/** Takes a sample, in place. Answers the side that signals now, the larger sum if both do; undefined: none. */
export function takeIntoCusum(sums: Cusum, chart: CusumChart, sample: number): Side | undefined {
  const { target, allowance, decision } = chart;
  sums.high = Math.max(0, sums.high + sample - target - allowance);
  sums.low = Math.max(0, sums.low + target - allowance - sample);
  sums.highCount = sums.high > 0 ? sums.highCount + 1 : 0;
  sums.lowCount = sums.low > 0 ? sums.lowCount + 1 : 0;
  if (sums.high <= decision && sums.low <= decision) return undefined;
  return sums.high >= sums.low ? 'above' : 'below';
}

/**
 * How far the mean has moved from the target, as the sum of a side tells: K + C / N, with its sign. 0 when the sum is empty.
 *
 * Example: Montgomery's data, K 0.5: C+ 5.28 after 7 samples is 1.25 above the target.
 */
export function cusumShift(sums: Cusum, chart: CusumChart, side: Side): number {
  const count = side === 'above' ? sums.highCount : sums.lowCount;
  if (count === 0) return 0;
  return side === 'above' ? chart.allowance + sums.high / count : -(chart.allowance + sums.low / count);
}
