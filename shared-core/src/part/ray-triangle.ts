/* Where a ray meets a triangle, and which triangle of a mesh it meets first. Called by the ray grid, and where somebody points at a picture. */
import type { Mesh } from './mesh.js';

export type Triple = readonly [number, number, number];

/** Where the ray meets the triangle, in lengths of the direction (Möller and Trumbore 1997, from memory); Infinity where it does not. */
export function rayToTriangle({ positionsMm: at, corners }: Mesh, triangle: number, from: Triple, d: Triple): number {
  const a = corners[triangle * 3]! * 3;
  const b = corners[triangle * 3 + 1]! * 3;
  const c = corners[triangle * 3 + 2]! * 3;
  const ux = at[b]! - at[a]!;
  const uy = at[b + 1]! - at[a + 1]!;
  const uz = at[b + 2]! - at[a + 2]!;
  const vx = at[c]! - at[a]!;
  const vy = at[c + 1]! - at[a + 1]!;
  const vz = at[c + 2]! - at[a + 2]!;
  const px = d[1] * vz - d[2] * vy;
  const py = d[2] * vx - d[0] * vz;
  const pz = d[0] * vy - d[1] * vx;
  const determinant = ux * px + uy * py + uz * pz;
  if (determinant === 0) return Infinity;
  const sx = from[0] - at[a]!;
  const sy = from[1] - at[a + 1]!;
  const sz = from[2] - at[a + 2]!;
  const s = (sx * px + sy * py + sz * pz) / determinant;
  if (s < 0 || s > 1) return Infinity;
  const qx = sy * uz - sz * uy;
  const qy = sz * ux - sx * uz;
  const qz = sx * uy - sy * ux;
  const t = (d[0] * qx + d[1] * qy + d[2] * qz) / determinant;
  if (t < 0 || s + t > 1) return Infinity;
  const distance = (vx * qx + vy * qy + vz * qz) / determinant;
  return distance > 0 ? distance : Infinity;
}

/**
 * The triangle that a ray meets first, from either side; undefined where it meets none. Looks at every triangle: right for a single
 * ray, where a grid would cost more than it saves. Five million take some tenths of a second.
 */
export function firstTriangleOnRay(mesh: Mesh, from: Triple, direction: Triple): number | undefined {
  let nearest = Infinity;
  let found: number | undefined;
  for (let triangle = 0; triangle < mesh.corners.length / 3; triangle++) {
    const distance = rayToTriangle(mesh, triangle, from, direction);
    if (distance >= nearest) continue;
    nearest = distance;
    found = triangle;
  }
  return found;
}
