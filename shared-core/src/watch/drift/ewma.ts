/*
 * Exponentially weighted moving average of a quantity in standard deviations from its target, and its control limits (Roberts 1959; NIST
 * Engineering Statistics Handbook 6.3.2.4). Called by the drift charts once a block. Streaming, two numbers of memory; it judges, it raises nothing.
 */

export interface Ewma {
  value: number;
  /** Samples taken; the limits widen with them to their final width. */
  count: number;
}

export interface EwmaChart {
  readonly target: number;
  readonly sigma: number;
  /** Weight of the newest sample, above 0 and at most 1. */
  readonly weight: number;
  /** Half the width of the band in standard deviations of the average. */
  readonly widthSigmas: number;
}

export type Side = 'above' | 'below';

/** Begins at its target. */
export function ewma(target: number): Ewma {
  return { value: target, count: 0 };
}

/**
 * Half the width of the band after `count` samples, in the quantity's own unit; Infinity samples: where it ends.
 *
 * Example: sigma 1, weight 0.1, width 2.7 (Montgomery): 0.27 after one sample, 0.3632 after two, 0.6194 in the end.
 */
export function ewmaHalfWidth(chart: EwmaChart, count: number): number {
  const { weight, sigma, widthSigmas } = chart;
  return widthSigmas * sigma * Math.sqrt((weight / (2 - weight)) * (1 - (1 - weight) ** (2 * count)));
}

/** Takes a sample, in place. Answers on which side of its band the average is now; undefined: within. */
export function takeIntoEwma(average: Ewma, chart: EwmaChart, sample: number): Side | undefined {
  average.value += chart.weight * (sample - average.value);
  average.count++;
  const distance = average.value - chart.target;
  if (Math.abs(distance) <= ewmaHalfWidth(chart, average.count)) return undefined;
  return distance > 0 ? 'above' : 'below';
}
