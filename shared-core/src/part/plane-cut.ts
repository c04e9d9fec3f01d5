/* The area of a surface beyond a plane, triangles across it cut exactly: a cut-off height, or the liquid's level. Called by selection.ts and by plans. */
import { doubleArea, type Mesh } from './mesh.js';

/** All places p with normal · p = offset; beyond it normal · p is larger. The normal need not be of length 1, but not 0. */
export interface Plane {
  readonly normal: readonly [number, number, number];
  readonly offset: number;
}

/** Everything above a height in the model's own z. */
export function above(heightMm: number): Plane {
  return { normal: [0, 0, 1], offset: heightMm };
}

/**
 * The area beyond the plane, in mm²; triangles that are masked with 1 do not count.
 * Where one corner lies on one side alone, the plane cuts off a triangle of the share s·t of the whole, s and t
 * being the shares of the two sides that it cuts.
 */
export function areaBeyondPlaneMm2(mesh: Mesh, plane: Plane, leftOut?: Uint8Array): number {
  const { positionsMm: at, corners } = mesh;
  const [nx, ny, nz] = plane.normal;
  let doubled = 0;
  for (let first = 0, triangle = 0; first < corners.length; first += 3, triangle++) {
    if (leftOut?.[triangle] === 1) continue;
    const a = corners[first]! * 3;
    const b = corners[first + 1]! * 3;
    const c = corners[first + 2]! * 3;
    const da = nx * at[a]! + ny * at[a + 1]! + nz * at[a + 2]! - plane.offset;
    const db = nx * at[b]! + ny * at[b + 1]! + nz * at[b + 2]! - plane.offset;
    const dc = nx * at[c]! + ny * at[c + 1]! + nz * at[c + 2]! - plane.offset;
    const share = shareBeyond(da, db, dc);
    if (share === 0) continue;
    doubled += share * doubleArea(at, a, b, c);
  }
  return doubled / 2;
}

/** Of a triangle whose corners lie so far beyond the plane (before it: negative). A triangle in the plane is not beyond it. */
function shareBeyond(a: number, b: number, c: number): number {
  const beyond = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0);
  if (beyond === 0) return 0;
  if (beyond === 3) return 1;
  // The corner that is alone on its side, and the other two.
  const isAlone = (each: number) => (beyond === 1 ? each > 0 : each <= 0);
  const alone = isAlone(a) ? a : isAlone(b) ? b : c;
  const one = isAlone(a) ? b : a;
  const other = isAlone(c) ? b : c;
  const cut = (alone / (alone - one)) * (alone / (alone - other));
  return beyond === 1 ? cut : 1 - cut;
}
