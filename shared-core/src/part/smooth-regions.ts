/*
 * The surface cut into regions along its sharp bends: the faces of a box, the inside and the outside of a bell. Called where
 * a person chooses what is not plated, by pointing or from a list. Each triangle belongs to one region.
 */
import { firstMark, type Edges } from './edges.js';
import { triangleAreaMm2, type Mesh } from './mesh.js';
import type { MeasuredPart } from './measure-part.js';
import { join } from './union.js';

/** The most that a smooth surface bends from one triangle to the next. A choice of ours, no source. */
export const smoothBendDegrees = 30;

export interface Regions {
  readonly count: number;
  /** For each triangle the number of its region, from 0 in the order of their first triangles. */
  readonly regionOf: Uint32Array;
}

/** Triangles without an area belong to the region that they touch first. `normals`: of `unitNormals`, where they are known already. */
export function smoothRegions(
  mesh: Mesh,
  edges: Edges,
  bendDegrees = smoothBendDegrees,
  normals = unitNormals(mesh),
): Regions {
  const least = Math.cos((bendDegrees * Math.PI) / 180) - rounding;
  const leader = new Uint32Array(edges.twins.length / 3);
  for (let triangle = 0; triangle < leader.length; triangle++) {
    leader[triangle] = triangle;
    for (let side = triangle * 3; side < triangle * 3 + 3; side++) {
      const twin = edges.twins[side]!;
      if (twin >= firstMark || twin > side) continue;
      const other = (twin / 3) >>> 0;
      // Along a clashing edge one of the two faces the other way: their normals are compared as if it did not.
      const sign = mesh.corners[side] === mesh.corners[twin] ? -1 : 1;
      if (isSmoothAcross(normals, triangle * 3, other * 3, sign, least)) join(leader, other, triangle);
    }
  }
  let count = 0;
  // In the leaders' place: a leader is never higher, so it has its region's number already when others ask for it.
  for (let triangle = 0; triangle < leader.length; triangle++)
    leader[triangle] = leader[triangle] === triangle ? count++ : leader[leader[triangle]!]!;
  return { count, regionOf: leader };
}

/** A cosine is known to some seven digits, since corners are kept in 32 bits. */
const rounding = 1e-6;

function isSmoothAcross(normals: Float32Array, one: number, other: number, sign: number, least: number): boolean {
  const ax = normals[one]!;
  const ay = normals[one + 1]!;
  const az = normals[one + 2]!;
  const bx = normals[other]!;
  const by = normals[other + 1]!;
  const bz = normals[other + 2]!;
  if ((ax === 0 && ay === 0 && az === 0) || (bx === 0 && by === 0 && bz === 0)) return true;
  return sign * (ax * bx + ay * by + az * bz) >= least;
}

/** x, y, z for each triangle; zeros for one without an area. */
export function unitNormals({ positionsMm: at, corners }: Mesh): Float32Array {
  const normals = new Float32Array(corners.length);
  for (let first = 0; first < corners.length; first += 3) {
    const a = corners[first]! * 3;
    const b = corners[first + 1]! * 3;
    const c = corners[first + 2]! * 3;
    const ux = at[b]! - at[a]!;
    const uy = at[b + 1]! - at[a + 1]!;
    const uz = at[b + 2]! - at[a + 2]!;
    const vx = at[c]! - at[a]!;
    const vy = at[c + 1]! - at[a + 1]!;
    const vz = at[c + 2]! - at[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (length === 0) continue;
    normals[first] = nx / length;
    normals[first + 1] = ny / length;
    normals[first + 2] = nz / length;
  }
  return normals;
}

export interface RegionSummary {
  /** Any triangle of it stands for it. */
  readonly triangle: number;
  readonly areaMm2: number;
  /** The middle of its area. */
  readonly middleMm: readonly [number, number, number];
  /** Its normals, added up by area and divided by it: as long as 1 where the region is flat, near 0 where it faces all ways. */
  readonly facing: readonly [number, number, number];
  /** From -1 to 1: how far its faces look away from the middle of the part's box. Below 0 for the inside of a vessel. */
  readonly outwards: number;
}

/** The largest pieces of surface of a numbering (regions, shells), the largest first, at most `most`. Triangles whose number is `count` or above belong to none. */
export function largestPieces(
  mesh: Mesh,
  part: MeasuredPart,
  pieceOf: Uint32Array,
  count: number,
  most: number,
  normals = unitNormals(mesh),
): RegionSummary[] {
  const { positionsMm: at, corners } = mesh;
  const first = new Uint32Array(count).fill(0xffffffff);
  const area = new Float64Array(count);
  const sums = new Float64Array(count * 7);
  const { min, max } = part.measure.boxMm;
  const middleOfBox = min.map((least, axis) => (least + max[axis]!) / 2);
  for (let triangle = 0; triangle < pieceOf.length; triangle++) {
    const piece = pieceOf[triangle]!;
    if (piece >= count) continue;
    if (first[piece] === 0xffffffff) first[piece] = triangle;
    const own = triangleAreaMm2(mesh, triangle);
    const sign = part.shells.isInverted[triangle] === 1 ? -1 : 1;
    area[piece]! += own;
    let along = 0;
    let distance = 0;
    for (let axis = 0; axis < 3; axis++) {
      const middle =
        (at[corners[triangle * 3]! * 3 + axis]! +
          at[corners[triangle * 3 + 1]! * 3 + axis]! +
          at[corners[triangle * 3 + 2]! * 3 + axis]!) /
        3;
      const normal = sign * normals[triangle * 3 + axis]!;
      sums[piece * 7 + axis]! += own * middle;
      sums[piece * 7 + 3 + axis]! += own * normal;
      along += normal * (middle - middleOfBox[axis]!);
      distance += (middle - middleOfBox[axis]!) ** 2;
    }
    if (distance > 0) sums[piece * 7 + 6]! += (own * along) / Math.sqrt(distance);
  }
  // Of very many pieces only those above the area of the last one wanted are put in order.
  const least = area.slice().sort()[Math.max(0, count - most)] ?? 0;
  const found: number[] = [];
  for (let piece = 0; piece < count && found.length < most * 2; piece++) if (area[piece]! >= least) found.push(piece);
  return found
    .filter((piece) => area[piece]! > 0)
    .sort((one, other) => area[other]! - area[one]!)
    .slice(0, most)
    .map((piece) => {
      const mean = (k: number) => sums[piece * 7 + k]! / area[piece]!;
      return {
        triangle: first[piece]!,
        areaMm2: area[piece]!,
        middleMm: [mean(0), mean(1), mean(2)],
        facing: [mean(3), mean(4), mean(5)],
        outwards: mean(6),
      };
    });
}
