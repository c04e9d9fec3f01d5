/*
 * Average run lengths, by Monte Carlo and by the integral equation (Page 1954; Brook and Evans 1972; Crowder 1987), for the tests of the
 * charts. Used by tests alone: the watch itself never needs them.
 */
import { SeededNoise } from '@bathkeeper/firmware/bench';
import { cusum, ewma, ewmaHalfWidth, takeIntoCusum, takeIntoEwma } from '@bathkeeper/shared-core/watch';

/** Normal density. */
function density(z: number): number {
  return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
}

/** Distribution function by a continued series of its own: exact to 1e-12 within eight sigmas. */
export function distribution(z: number): number {
  if (z < -8) return 0;
  if (z > 8) return 1;
  let term = z;
  let sum = z;
  for (let index = 3; Math.abs(term) > 1e-17; index += 2) {
    term *= (z * z) / index;
    sum += term;
  }
  return 0.5 + sum * density(z);
}

/** Nodes and weights of Gauss and Legendre on -1 to 1. */
function legendre(count: number): { nodes: number[]; weights: number[] } {
  const nodes: number[] = [];
  const weights: number[] = [];
  for (let index = 1; index <= count; index++) {
    let x = Math.cos((Math.PI * (index - 0.25)) / (count + 0.5));
    let slope = 0;
    for (let round = 0; round < 100; round++) {
      let before = 1;
      let now = x;
      for (let degree = 2; degree <= count; degree++)
        [before, now] = [now, ((2 * degree - 1) * x * now - (degree - 1) * before) / degree];
      slope = (count * (x * now - before)) / (x * x - 1);
      const step = now / slope;
      x -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    nodes.push(x);
    weights.push(2 / ((1 - x * x) * slope * slope));
  }
  return { nodes, weights };
}

/** Solves by elimination with the largest pivot. Changes both. */
function solved(matrix: number[][], right: number[]): number[] {
  const size = right.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++)
      if (Math.abs(matrix[row]![column]!) > Math.abs(matrix[pivot]![column]!)) pivot = row;
    [matrix[column], matrix[pivot]] = [matrix[pivot]!, matrix[column]!];
    [right[column], right[pivot]] = [right[pivot]!, right[column]!];
    for (let row = column + 1; row < size; row++) {
      const factor = matrix[row]![column]! / matrix[column]![column]!;
      for (let place = column; place < size; place++) matrix[row]![place]! -= factor * matrix[column]![place]!;
      right[row]! -= factor * right[column]!;
    }
  }
  for (let row = size - 1; row >= 0; row--) {
    for (let place = row + 1; place < size; place++) right[row]! -= matrix[row]![place]! * right[place]!;
    right[row]! /= matrix[row]![row]!;
  }
  return right;
}

/** One-sided CUSUM from zero: L(u) = 1 + L(0) P(k - u) + integral over 0..h of L(y) f(y + k - u). */
export function oneSidedCusumRunLength(allowance: number, decision: number, shift: number): number {
  const { nodes, weights } = legendre(60);
  const places = nodes.map((node) => ((node + 1) * decision) / 2);
  const scaled = weights.map((weight) => (weight * decision) / 2);
  // Unknowns: L at the nodes, and L(0) as the last.
  const all = [...places, 0];
  const matrix = all.map((from, row) => [
    ...places.map((to, column) => (row === column ? 1 : 0) - scaled[column]! * density(to + allowance - from - shift)),
    (row === places.length ? 1 : 0) - distribution(allowance - from - shift),
  ]);
  return solved(
    matrix,
    all.map(() => 1),
  )[places.length]!;
}

/** 1 / ARL = 1 / ARL+ + 1 / ARL- (Kemp 1961; exact from empty sums). */
export function twoSidedCusumRunLength(allowance: number, decision: number, shift: number): number {
  return (
    1 /
    (1 / oneSidedCusumRunLength(allowance, decision, shift) + 1 / oneSidedCusumRunLength(allowance, decision, -shift))
  );
}

/** EWMA with its final limits from the target: L(u) = 1 + 1/w integral over -h..h of L(y) f((y - (1 - w) u) / w). */
export function ewmaRunLength(weight: number, widthSigmas: number, shift: number): number {
  const half = widthSigmas * Math.sqrt(weight / (2 - weight));
  const { nodes, weights } = legendre(120);
  const places = [...nodes.map((node) => node * half), 0];
  const matrix = places.map((from, row) =>
    places.map((to, column) => {
      const own = row === column ? 1 : 0;
      if (column === nodes.length) return own;
      return own - (weights[column]! * half * density((to - (1 - weight) * from) / weight - shift)) / weight;
    }),
  );
  return solved(
    matrix,
    places.map(() => 1),
  )[nodes.length]!;
}

/** Mean run length of the project's own CUSUM on seeded noise. */
export function playedCusumRunLength(allowance: number, decision: number, shift: number, runs: number): number {
  const noise = new SeededNoise(runs, `cusum ${String(decision)} ${String(shift)}`);
  const chart = { target: 0, allowance, decision };
  let samples = 0;
  for (let run = 0; run < runs; run++) {
    const sums = cusum();
    do samples++;
    while (takeIntoCusum(sums, chart, shift + noise.gaussian()) === undefined);
  }
  return samples / runs;
}

/** Mean run length of the project's own EWMA on seeded noise, with its final limits from the first sample on, as the tables have it. */
export function playedEwmaRunLength(weight: number, widthSigmas: number, shift: number, runs: number): number {
  const noise = new SeededNoise(runs, `ewma ${String(weight)} ${String(shift)}`);
  const chart = { target: 0, sigma: 1, weight, widthSigmas };
  const half = ewmaHalfWidth(chart, Infinity);
  let samples = 0;
  for (let run = 0; run < runs; run++) {
    const average = ewma(0);
    do {
      samples++;
      takeIntoEwma(average, chart, shift + noise.gaussian());
    } while (Math.abs(average.value) <= half);
  }
  return samples / runs;
}
