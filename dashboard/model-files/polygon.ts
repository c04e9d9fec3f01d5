/*
 * Cuts a flat polygon of more than three corners into triangles. Called by the OBJ reader. One that bulges outwards
 * everywhere is cut as a fan from its first corner; any other would be counted too large that way, and goes to earcut.
 */
import earcut from 'earcut';

/** A polygon's corners: their numbers, and x, y, z of each. */
export interface Polygon {
  readonly count: number;
  readonly numbers: Int32Array;
  readonly places: Float64Array;
}

/** Whether the polygon is cut as a fan, which takes no work. */
export function isFan({ count, places }: Polygon): boolean {
  return count === 3 || isFanGood(places, count, newellNormal(places, count));
}

/** Calls `add` with the three corners' numbers of each triangle, in the polygon's own sense. */
export function cutPolygon(polygon: Polygon, add: (a: number, b: number, c: number) => void): void {
  const { count, numbers, places } = polygon;
  if (isFan(polygon)) {
    for (let k = 2; k < count; k++) add(numbers[0]!, numbers[k - 1]!, numbers[k]!);
    return;
  }
  const [keptAxes, isMirrored] = shadowAxes(newellNormal(places, count));
  const flat: number[] = [];
  for (let k = 0; k < count; k++) flat.push(places[3 * k + keptAxes[0]]!, places[3 * k + keptAxes[1]]!);
  const cut = earcut(flat);
  for (let i = 0; i < cut.length; i += 3) {
    const [a, b, c] = [cut[i]!, cut[i + 1]!, cut[i + 2]!];
    const isTurned = shadowArea(flat, a, b, c) > 0 === isMirrored;
    if (isTurned) add(numbers[a]!, numbers[c]!, numbers[b]!);
    else add(numbers[a]!, numbers[b]!, numbers[c]!);
  }
}

/** The polygon's normal, twice its area long (Newell's method: the sum over its sides). */
function newellNormal(at: Float64Array, count: number): [number, number, number] {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let k = 0; k < count; k++) {
    const i = 3 * k;
    const j = 3 * ((k + 1) % count);
    x += (at[i + 1]! - at[j + 1]!) * (at[i + 2]! + at[j + 2]!);
    y += (at[i + 2]! - at[j + 2]!) * (at[i]! + at[j]!);
    z += (at[i]! - at[j]!) * (at[i + 1]! + at[j + 1]!);
  }
  return [x, y, z];
}

function isFanGood(at: Float64Array, count: number, normal: readonly [number, number, number]): boolean {
  for (let k = 2; k < count; k++) {
    const ux = at[3 * k - 3]! - at[0]!;
    const uy = at[3 * k - 2]! - at[1]!;
    const uz = at[3 * k - 1]! - at[2]!;
    const vx = at[3 * k]! - at[0]!;
    const vy = at[3 * k + 1]! - at[1]!;
    const vz = at[3 * k + 2]! - at[2]!;
    const along = (uy * vz - uz * vy) * normal[0] + (uz * vx - ux * vz) * normal[1] + (ux * vy - uy * vx) * normal[2];
    if (along < 0) return false;
  }
  return true;
}

/** The two axes onto which the polygon is laid flat, and whether it is seen from behind there. */
function shadowAxes(normal: readonly [number, number, number]): [readonly [number, number], boolean] {
  const sizes = normal.map(Math.abs);
  if (sizes[2]! >= sizes[0]! && sizes[2]! >= sizes[1]!) return [[0, 1], normal[2] < 0];
  if (sizes[0]! >= sizes[1]!) return [[1, 2], normal[0] < 0];
  return [[2, 0], normal[1] < 0];
}

function shadowArea(flat: readonly number[], a: number, b: number, c: number): number {
  const ux = flat[2 * b]! - flat[2 * a]!;
  const uy = flat[2 * b + 1]! - flat[2 * a + 1]!;
  const vx = flat[2 * c]! - flat[2 * a]!;
  const vy = flat[2 * c + 1]! - flat[2 * a + 1]!;
  return ux * vy - uy * vx;
}
