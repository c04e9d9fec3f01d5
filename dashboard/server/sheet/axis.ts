/* An axis of values with marks at round figures. Asked by the picture of the night; pure. */
export interface Axis {
  readonly from: number;
  readonly to: number;
  /** From the least to the most. */
  readonly marks: readonly number[];
}

/** Example: `valueAxis(0, 21.2, 5)` has marks at 0, 5, 10, 15, 20, 25. */
export function valueAxis(least: number, most: number, steps: number): Axis {
  const rough = Math.max(most - least, 1e-3) / steps;
  const tens = 10 ** Math.floor(Math.log10(rough));
  const step = tens * ([1, 2, 5].find((one) => one * tens >= rough * 0.999) ?? 10);
  const [first, last] = [Math.floor(least / step), Math.max(Math.ceil(most / step), Math.floor(least / step) + 1)];
  // Whole steps first: 0.1 three times is no 0.3 otherwise.
  const at = (count: number): number => Number((count * step).toPrecision(12));
  return {
    from: at(first),
    to: at(last),
    marks: Array.from({ length: last - first + 1 }, (_, index) => at(first + index)),
  };
}
