/*
 * Faces that are not plated, as a person chooses them: a connected piece, a flat or smooth region around a face, what
 * lies inside a closed shell, what lies beyond a plane. A mask has a byte for each triangle, 1 = chosen. Pure; used by the page and the planner.
 */
import { firstMark, type Edges } from './edges.js';
import type { MeasuredPart } from './measure-part.js';
import { triangleAreaMm2, type Mesh } from './mesh.js';
import { areaBeyondPlaneMm2, type Plane } from './plane-cut.js';

export type Mask = Uint8Array;

/** The whole piece of surface that a triangle belongs to. */
export function connectedMask({ shells }: MeasuredPart, triangle: number): Mask {
  const shell = shells.shellOf[triangle];
  return Uint8Array.from(shells.shellOf, (each) => (each === shell ? 1 : 0));
}

/** Everything that lies within a closed shell: no electrolyte reaches it. */
export function innerMask({ shells, nesting }: MeasuredPart): Mask {
  return Uint8Array.from(shells.shellOf, (shell) => ((nesting.depth[shell] ?? 0) > 0 ? 1 : 0));
}

export interface RegionLimits {
  /** The most that the surface may bend from one triangle to the next. A flat region: about 1; a smooth one: about 30. */
  readonly acrossEdgeDegrees: number;
  /** The most that a triangle may be turned against the first one; 180 for any. A flat region: about 5. */
  readonly fromFirstDegrees: number;
}

/** The region around a triangle, across edges where exactly two triangles meet. Example: a cube's face, with 1 and 5 degrees. */
export function regionMask(mesh: Mesh, edges: Edges, first: number, limits: RegionLimits): Mask {
  const mask = new Uint8Array(mesh.corners.length / 3);
  const leastAcross = Math.cos((limits.acrossEdgeDegrees * Math.PI) / 180) - rounding;
  const leastFromFirst = Math.cos((limits.fromFirstDegrees * Math.PI) / 180) - rounding;
  const firstNormal = normalOf(mesh, first);
  const waiting = [first];
  mask[first] = 1;
  for (let triangle = waiting.pop(); triangle !== undefined; triangle = waiting.pop()) {
    const normal = normalOf(mesh, triangle);
    for (let side = triangle * 3; side < triangle * 3 + 3; side++) {
      const twin = edges.twins[side]!;
      if (twin >= firstMark) continue;
      const neighbour = (twin / 3) >>> 0;
      if (mask[neighbour] === 1) continue;
      const next = normalOf(mesh, neighbour);
      // A triangle without an area bends nothing: the region goes on through it.
      const isFlat = next.every((each) => each === 0);
      if (!isFlat && dot(normal, next) < leastAcross && normal.some((each) => each !== 0)) continue;
      if (!isFlat && dot(firstNormal, next) < leastFromFirst) continue;
      mask[neighbour] = 1;
      waiting.push(neighbour);
    }
  }
  return mask;
}

/** A cosine is known to some seven digits, since corners are kept in 32 bits. */
const rounding = 1e-6;

/** The area of what is chosen, in mm². */
export function maskedAreaMm2(mesh: Mesh, mask: Mask): number {
  let area = 0;
  for (let triangle = 0; triangle < mask.length; triangle++)
    if (mask[triangle] === 1) area += triangleAreaMm2(mesh, triangle);
  return area;
}

/** What is left to plate: neither masked nor beyond the plane. Triangles across the plane count with their part before it. */
export function platedAreaMm2(mesh: Mesh, notPlated: Mask | undefined, cutOff: Plane | undefined): number {
  let whole = 0;
  for (let triangle = 0; triangle < mesh.corners.length / 3; triangle++)
    if (notPlated?.[triangle] !== 1) whole += triangleAreaMm2(mesh, triangle);
  return cutOff === undefined ? whole : whole - areaBeyondPlaneMm2(mesh, cutOff, notPlated);
}

/** Unit normal, all zeros for a triangle without an area. */
export function normalOf(mesh: Mesh, triangle: number): [number, number, number] {
  const { positionsMm: at, corners } = mesh;
  const a = corners[triangle * 3]! * 3;
  const b = corners[triangle * 3 + 1]! * 3;
  const c = corners[triangle * 3 + 2]! * 3;
  const [ux, uy, uz] = [at[b]! - at[a]!, at[b + 1]! - at[a + 1]!, at[b + 2]! - at[a + 2]!];
  const [vx, vy, vz] = [at[c]! - at[a]!, at[c + 1]! - at[a + 1]!, at[c + 2]! - at[a + 2]!];
  const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx] as const;
  const length = Math.hypot(...normal);
  return length === 0 ? [0, 0, 0] : [normal[0] / length, normal[1] / length, normal[2] / length];
}

function dot(one: readonly number[], other: readonly number[]): number {
  return one[0]! * other[0]! + one[1]! * other[1]! + one[2]! * other[2]!;
}
