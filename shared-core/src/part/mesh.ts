/*
 * A surface made of triangles, in typed arrays: 12 bytes a triangle and 12 a corner. Made by the readers of model files
 * through mesh-builder.ts, read by everything else in this room.
 */
import type { BoxMm } from './part-measure.js';

export interface Mesh {
  /** x, y, z of each corner in mm, each place once. 32 bits resolve 0.06 µm at a metre. All are finite. */
  readonly positionsMm: Float32Array;
  /** Three corners a triangle, counter-clockwise seen from outside. */
  readonly corners: Uint32Array;
}

export function triangleCount(mesh: Mesh): number {
  return mesh.corners.length / 3;
}

/** The smallest box around all corners; all zeros where there is none. */
export function boxOf(mesh: Mesh): BoxMm {
  const at = mesh.positionsMm;
  if (at.length === 0) return { min: [0, 0, 0], max: [0, 0, 0] };
  let minX = at[0]!;
  let minY = at[1]!;
  let minZ = at[2]!;
  let maxX = minX;
  let maxY = minY;
  let maxZ = minZ;
  for (let i = 3; i < at.length; i += 3) {
    const x = at[i]!;
    const y = at[i + 1]!;
    const z = at[i + 2]!;
    if (x < minX) minX = x;
    else if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    else if (y > maxY) maxY = y;
    if (z < minZ) minZ = z;
    else if (z > maxZ) maxZ = z;
  }
  return { min: [minX, minY, minZ], max: [maxX, maxY, maxZ] };
}

/** The mesh with every length multiplied by `factor`; the triangles are shared. Example: `scaled(mesh, 25.4)` for inches. */
export function scaled(mesh: Mesh, factor: number): Mesh {
  return { positionsMm: mesh.positionsMm.map((each) => each * factor), corners: mesh.corners };
}

/** Twice the area of a triangle, in mm². `a`, `b`, `c` are the places of its corners' x in `at`. */
export function doubleArea(at: Float32Array, a: number, b: number, c: number): number {
  const ux = at[b]! - at[a]!;
  const uy = at[b + 1]! - at[a + 1]!;
  const uz = at[b + 2]! - at[a + 2]!;
  const vx = at[c]! - at[a]!;
  const vy = at[c + 1]! - at[a + 1]!;
  const vz = at[c + 2]! - at[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  return Math.sqrt(nx * nx + ny * ny + nz * nz);
}

/** The area of triangle number `t`, in mm². */
export function triangleAreaMm2(mesh: Mesh, t: number): number {
  const { positionsMm, corners } = mesh;
  return doubleArea(positionsMm, corners[3 * t]! * 3, corners[3 * t + 1]! * 3, corners[3 * t + 2]! * 3) / 2;
}
