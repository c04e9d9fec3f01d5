/* Whether analyses drift, and how fast: the straight line of least squares. Called by the bath's page. Fewer than three points have no trend. */

export interface TrendPoint {
  readonly atMs: number;
  readonly value: number;
}

const DAY_MS = 86_400_000;

/** Units a day; undefined: fewer than three points, or all at one time. Example: 200, 199, 198 on three following days: −1. */
export function trendPerDay(points: readonly TrendPoint[]): number | undefined {
  if (points.length < 3) return undefined;
  const meanMs = mean(points.map(({ atMs }) => atMs));
  const meanValue = mean(points.map(({ value }) => value));
  let products = 0;
  let squares = 0;
  for (const { atMs, value } of points) {
    const days = (atMs - meanMs) / DAY_MS;
    products += days * (value - meanValue);
    squares += days * days;
  }
  return squares > 0 ? products / squares : undefined;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
