/* EWMA and tabular CUSUM against published examples. The sources stand beside each; "from memory" marks what was not seen in print. */
import { describe, expect, it } from 'vitest';
import {
  cusum,
  type CusumChart,
  cusumShift,
  ewma,
  type EwmaChart,
  ewmaHalfWidth,
  takeIntoCusum,
  takeIntoEwma,
} from '@bathkeeper/shared-core/watch';

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4 (from memory).
const nistEwma = [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]; // prettier-ignore
const nistAverages = [50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99]; // prettier-ignore
// The same, 6.3.2.3 (from memory).
const nistCusum = [324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35]; // prettier-ignore
// Montgomery and Runger, Applied Statistics and Probability for Engineers, exercise 16-6.
const exercise166 = [102, 94.8, 98.3, 98.4, 102, 98.5, 99, 97.7, 100, 98.1, 101.3, 98.7, 101.1, 98.4, 97, 96.7, 100.3, 101.4, 97.2, 101]; // prettier-ignore
// Montgomery, Introduction to Statistical Quality Control, as printed in IMSL's documentation of its EWMA chart.
const montgomery = [9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.2, 10.34, 9.03, 11.47, 10.51, 9.4, 10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.9, 9.33, 12.29, 11.5, 10.6, 11.08, 10.38, 11.62, 11.31, 10.52]; // prettier-ignore

describe('an EWMA chart', () => {
  it("gives every average and the limits of NIST's example, without a signal", () => {
    const chart: EwmaChart = { target: 50, sigma: 2.0539, weight: 0.3, widthSigmas: 3 };
    const average = ewma(50);
    for (const [index, sample] of nistEwma.entries()) {
      expect(takeIntoEwma(average, chart, sample)).toBeUndefined();
      expect(Math.abs(average.value - nistAverages[index]!)).toBeLessThanOrEqual(0.0051);
    }
    expect(50 + ewmaHalfWidth(chart, Infinity)).toBeCloseTo(52.5884, 3);
    expect(50 - ewmaHalfWidth(chart, Infinity)).toBeCloseTo(47.4115, 3);
  });

  it("gives the limits and the first signal of Montgomery's example", () => {
    const chart: EwmaChart = { target: 10, sigma: 1, weight: 0.1, widthSigmas: 2.7 };
    const average = ewma(10);
    const signals: number[] = [];
    const averages: number[] = [];
    for (const [index, sample] of montgomery.entries()) {
      if (takeIntoEwma(average, chart, sample) !== undefined) signals.push(index + 1);
      averages.push(average.value);
    }
    expect(averages[0]).toBeCloseTo(9.945, 3);
    expect(averages[27]).toBeCloseTo(10.573, 2);
    expect(averages[28]).toBeCloseTo(10.647, 2);
    // The printed text says 28; the printed data give 29.
    expect(signals[0]).toBe(29);
    expect(ewmaHalfWidth(chart, 1)).toBeCloseTo(0.27, 2);
    expect(ewmaHalfWidth(chart, 2)).toBeCloseTo(0.36, 2);
    expect(ewmaHalfWidth(chart, Infinity)).toBeCloseTo(0.62, 2);
  });

  it('tells the sides apart and is within its band at the limit itself', () => {
    const chart: EwmaChart = { target: 0, sigma: 1, weight: 1, widthSigmas: 3 };
    expect(takeIntoEwma(ewma(0), chart, 3)).toBeUndefined();
    expect(takeIntoEwma(ewma(0), chart, 3.001)).toBe('above');
    expect(takeIntoEwma(ewma(0), chart, -3.001)).toBe('below');
  });
});

describe('a tabular CUSUM', () => {
  it("gives the sums of NIST's example and signals at the 14th sample", () => {
    const chart: CusumChart = { target: 325, allowance: 0.3175, decision: 4.1959 };
    const sums = cusum();
    const highs: number[] = [];
    const signals: number[] = [];
    for (const [index, sample] of nistCusum.entries()) {
      if (takeIntoCusum(sums, chart, sample) === 'above') signals.push(index + 1);
      highs.push(sums.high);
    }
    for (const [index, high] of [3.0075, 4.94, 7.4475, 10.63, 11.9875, 14.445, 16.0025, 19.035].entries())
      expect(highs[12 + index]).toBeCloseTo(high, 3);
    expect(signals[0]).toBe(14);
  });

  it('gives all forty sums of Montgomery and Runger, exercise 16-6, in control', () => {
    const chart: CusumChart = { target: 99, allowance: 1, decision: 10 };
    const sums = cusum();
    const highs = [2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1];
    const lows = [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1, 2.3, 0, 0, 0.8, 0];
    for (const [index, sample] of exercise166.entries()) {
      expect(takeIntoCusum(sums, chart, sample)).toBeUndefined();
      expect(sums.high).toBeCloseTo(highs[index]!, 9);
      expect(sums.low).toBeCloseTo(lows[index]!, 9);
    }
  });

  it("signals at the 29th sample of Montgomery's data, says that the shift came after the 22nd, and how large it is", () => {
    const chart: CusumChart = { target: 10, allowance: 0.5, decision: 5 };
    const sums = cusum();
    for (const [index, sample] of montgomery.entries()) {
      const side = takeIntoCusum(sums, chart, sample);
      if (index + 1 < 29) expect(side).toBeUndefined();
      if (index + 1 === 29) {
        expect(side).toBe('above');
        expect(sums.high).toBeCloseTo(5.28, 9);
        expect(sums.highCount).toBe(7);
        // K + C / N = 0.5 + 5.28 / 7: the mean is about 11.25.
        expect(10 + cusumShift(sums, chart, 'above')).toBeCloseTo(11.254, 3);
      }
    }
    expect(sums.high).toBeCloseTo(5.3, 9);
  });

  it('signals below as above, and with a head start at the first large sample', () => {
    const chart: CusumChart = { target: 0, allowance: 0.5, decision: 4 };
    const sums = cusum(2);
    expect(takeIntoCusum(sums, chart, -2.6)).toBe('below');
    expect(cusumShift(sums, chart, 'below')).toBeCloseTo(-(0.5 + 4.1), 9);
    expect(cusumShift(cusum(), chart, 'above')).toBe(0);
  });
});
