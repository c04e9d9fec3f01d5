/*
 * Centre, spread and slope that a few wild readings do not move: median, median absolute deviation, and the line through the medians of
 * three groups. Called by the courses once a block, on a few dozen numbers. Pure.
 */

/** Middle value; of an even count the mean of the two. NaN of none. `median([3, 1, 2])` is 2. */
export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort();
  const middle = sorted.length >> 1;
  if (sorted.length % 2 === 1) return sorted[middle]!;
  return sorted.length === 0 ? NaN : (sorted[middle - 1]! + sorted[middle]!) / 2;
}

/** A normal distribution's standard deviation is 1.4826 times its median absolute deviation (textbook, derivable). */
const SIGMAS_A_DEVIATION = 1.4826;

/** Standard deviation by the median absolute deviation about `centre`. `robustSigma([1, 2, 3, 4, 100], 3)` is 1.4826. */
export function robustSigma(values: ArrayLike<number>, centre: number): number {
  return SIGMAS_A_DEVIATION * median(Array.from(values, (value) => Math.abs(value - centre)));
}

export interface Line {
  /** At time 0. */
  readonly level: number;
  readonly slope: number;
  /** Robust standard deviation about the line. */
  readonly sigma: number;
}

/**
 * Tukey's resistant line: its slope joins the medians of the first and the last third, its level is the median of what is left. Less than
 * nine points have no slope to speak of: 0.
 *
 * Example: y = 2 + 3 t at t = 0 to 8, one of them wrong by 100: level 2, slope 3.
 */
export function resistantLine(times: ArrayLike<number>, values: ArrayLike<number>): Line {
  const count = times.length;
  const third = Math.floor(count / 3);
  const part = (all: ArrayLike<number>, from: number, to: number): number[] =>
    Array.prototype.slice.call(all, from, to);
  const slope =
    third < 3
      ? 0
      : (median(part(values, count - third, count)) - median(part(values, 0, third))) /
        (median(part(times, count - third, count)) - median(part(times, 0, third)));
  const left = Array.from(values, (value, index) => value - slope * times[index]!);
  const level = median(left);
  return { level, slope, sigma: robustSigma(left, level) };
}

/** Least-squares slope with its standard error, for what has no wild readings left. Less than three points: an infinite error. */
export function leastSquaresSlope(
  times: ArrayLike<number>,
  values: ArrayLike<number>,
): { slope: number; error: number } {
  const count = times.length;
  if (count < 3) return { slope: 0, error: Infinity };
  let meanTime = 0;
  let mean = 0;
  for (let index = 0; index < count; index++) {
    meanTime += times[index]! / count;
    mean += values[index]! / count;
  }
  let squares = 0;
  let products = 0;
  for (let index = 0; index < count; index++) {
    squares += (times[index]! - meanTime) ** 2;
    products += (times[index]! - meanTime) * (values[index]! - mean);
  }
  const slope = products / squares;
  let rest = 0;
  for (let index = 0; index < count; index++) rest += (values[index]! - mean - slope * (times[index]! - meanTime)) ** 2;
  return { slope, error: Math.sqrt(rest / (count - 2) / squares) };
}
