/*
 * The arithmetic of calibration: a line through two points, and whether the two are good enough. Pure: used by the commands, shared with
 * nobody, reads nothing.
 */

/** What was shown, and what was true. */
export interface CalibrationPoint {
  readonly shown: number;
  readonly truth: number;
}

/** truth = gain x shown + offset; or a sentence that says why there is no such line. */
export type CalibrationLine =
  | { readonly problem: string; readonly gain?: undefined; readonly offset?: undefined }
  | { readonly problem?: undefined; readonly gain: number; readonly offset: number };

/** The high point is at least so many times the low one: nearer together, an error of the meter becomes one of the slope. Ours, no source. */
const APART = 2.5;

/** Rounded to so many parts of one. Example: `roundedTo(0.98765432, 1e5)` is 0.98765. */
export function roundedTo(value: number, parts: number): number {
  return Math.round(value * parts) / parts;
}

/** Example: shown 2 and 10, true 2.1 and 10.1: gain 1, offset 0.1. */
export function calibrationLine(one: CalibrationPoint, other: CalibrationPoint): CalibrationLine {
  const low = one.truth < other.truth ? one : other;
  const high = low === one ? other : one;
  if (!(high.truth >= APART * low.truth)) {
    return {
      problem:
        'The two points are too near: ' +
        roundedTo(low.truth, 1000) +
        ' and ' +
        roundedTo(high.truth, 1000) +
        '. The high one must be at least ' +
        APART +
        ' times the low one.',
    };
  }
  if (!(high.shown > low.shown)) {
    return {
      problem:
        'More at the meter showed no more here (' +
        roundedTo(low.shown, 1000) +
        ' and ' +
        roundedTo(high.shown, 1000) +
        '): look at the sense leads, and at their polarity.',
    };
  }
  const gain = (high.truth - low.truth) / (high.shown - low.shown);
  return { gain: gain, offset: low.truth - gain * low.shown };
}
