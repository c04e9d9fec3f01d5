/* Average run lengths of the charts against published tables: by the integral equation, and by playing the project's own charts on seeded noise. */
import { describe, expect, it } from 'vitest';
import {
  ewmaRunLength,
  oneSidedCusumRunLength,
  playedCusumRunLength,
  playedEwmaRunLength,
  twoSidedCusumRunLength,
} from './run-lengths.js';

const shifts = [0, 0.25, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5];
// Lucas and Crosier 1982, two-sided, k 0.5, as quoted in the documentation of R's spc package; h 5 from memory, computed anew.
const cusumTable: readonly (readonly [number, readonly number[]])[] = [
  [4, [168, 74.2, 26.6, 13.3, 8.38, 4.75, 3.34, 2.62, 2.19, 1.71, 1.31]],
  [5, [465, 139, 38.0, 17.0, 10.4, 5.75, 4.01, 3.11, 2.57, 2.01, 1.69]],
];
// Lucas and Saccucci 1990; weight 0.1 from memory, computed anew.
const ewmaShifts = [0, 0.25, 0.5, 1, 2, 3];
const ewmaTable: readonly (readonly [number, number, readonly number[]])[] = [
  [0.5, 3.071, [500, 255, 88.8, 17.5, 3.63, 1.93]],
  [0.03, 2.437, [500, 76.7, 29.3, 12.6, 5.99, 4.03]],
  [0.1, 2.814, [500, 106, 31.3, 10.3, 4.36, 2.87]],
];
const cusumRows = cusumTable.flatMap(([h, lengths]) =>
  shifts.map((shift, index) => [h, shift, lengths[index]!] as const),
);
const ewmaRows = ewmaTable.flatMap(([weight, width, lengths]) =>
  ewmaShifts.map((shift, index) => [weight, width, shift, lengths[index]!] as const),
);
/** Half a per cent, and half of the last digit that the table prints. */
function within(found: number, printed: number, fraction: number): void {
  const lastDigit = printed >= 100 ? 0.5 : printed >= 10 ? 0.05 : 0.005;
  expect(Math.abs(found - printed)).toBeLessThanOrEqual(fraction * printed + lastDigit);
}

describe('the run length by the integral equation', () => {
  it.each(cusumRows)('of a CUSUM with h %d at a shift of %d sigmas is %d', (h, shift, length) => {
    within(twoSidedCusumRunLength(0.5, h, shift), length, 0.005);
  });
  it('of one-sided CUSUMs is 117.6 with k 0.5 and h 3, and 124.66 with k 0 and h 10', () => {
    within(oneSidedCusumRunLength(0.5, 3, 0), 117.6, 0.005);
    within(oneSidedCusumRunLength(0, 10, 0), 124.66, 0.005);
  });
  it.each(ewmaRows)(
    'of an EWMA of weight %d and width %d at a shift of %d sigmas is %d',
    (weight, width, shift, length) => {
      within(ewmaRunLength(weight, width, shift), length, 0.005);
    },
  );
  it('of an EWMA of weight 1, which is a Shewhart chart, is 370.4, and 43.9 at one sigma', () => {
    within(ewmaRunLength(0.999, 3, 0), 370.4, 0.005);
    within(ewmaRunLength(0.999, 3, 1), 43.9, 0.005);
  });
});

describe("the run length of the project's own charts on seeded noise", () => {
  // So many runs that the standard error of the mean is under 1 %: within 3 % of the table.
  it.each(cusumRows)('CUSUM, h %d, shift %d sigmas: %d', (h, shift, length) => {
    within(playedCusumRunLength(0.5, h, shift, 12_000), length, 0.03);
  });
  it.each(ewmaRows)('EWMA, weight %d, width %d, shift %d sigmas: %d', (weight, width, shift, length) => {
    within(playedEwmaRunLength(weight, width, shift, 12_000), length, 0.03);
  });
});
