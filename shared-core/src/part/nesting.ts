/*
 * Which closed shells lie within which: a cavity within a solid, an island within a cavity. Called by measure-part.ts
 * for models of more than one shell. Boxes first, then one ray from a corner of the inner shell, counting how often it
 * passes through the outer. Not looked for: whether two shells, or a shell and itself, run through each other; only boxes that overlap
 * are told. Bounded: beyond 1,000 shells the largest are looked at, and rays stop at a fixed number of triangle tests.
 */
import type { Mesh } from './mesh.js';
import { noShell, type Shells } from './shells.js';
import type { ShellSums } from './shell-sums.js';

const shellsLookedAt = 1000;
const triangleTests = 100_000_000;

export interface Nesting {
  /** For each shell the number of the closed shell right around it; -1 where none is. */
  readonly around: Int32Array;
  /** For each shell how many are around it. */
  readonly depth: Uint32Array;
  readonly overlappingPairs: number;
  /** False where there were too many shells to look at all pairs. */
  readonly isComplete: boolean;
}

export function nestingOf(mesh: Mesh, shells: Shells, sums: ShellSums): Nesting {
  const { count } = shells;
  const around = new Int32Array(count).fill(-1);
  const depth = new Uint32Array(count);
  if (count < 2) return { around, depth, overlappingPairs: 0, isComplete: true };

  const bySize = largestShells(sums.areaMm2);
  const boxes = shellBoxes(mesh, shells, bySize);
  let testsLeft = triangleTests;
  let isComplete = count <= shellsLookedAt;
  let overlappingPairs = 0;
  for (let i = 0; i < bySize.length; i++) {
    const outer = bySize[i]!;
    for (let j = 0; j < bySize.length; j++) {
      const inner = bySize[j]!;
      if (i === j || !boxesOverlap(boxes, i, j)) continue;
      const isWithinBox = boxHolds(boxes, i, j);
      if (!isWithinBox) {
        if (j > i && !boxHolds(boxes, j, i)) overlappingPairs++;
        continue;
      }
      if (shells.isClosed[outer] === 0) continue;
      testsLeft -= shells.shellOf.length;
      if (testsLeft < 0) {
        isComplete = false;
        continue;
      }
      if (isPointWithin(mesh, shells, outer, boxes.probe[j]! * 3)) {
        depth[inner]!++;
        const known = around[inner]!;
        if (known < 0 || Math.abs(sums.volumeMm3[outer]!) < Math.abs(sums.volumeMm3[known]!)) around[inner] = outer;
      } else overlappingPairs++;
    }
  }
  return { around, depth, overlappingPairs, isComplete };
}

/** The numbers of the largest shells, the largest first. */
function largestShells(areaMm2: Float64Array): Uint32Array {
  // All areas in order first, so that only a few shells and not a million are put in order by their area.
  const least = areaMm2.slice().sort()[Math.max(0, areaMm2.length - shellsLookedAt)]!;
  const found: number[] = [];
  areaMm2.forEach((area, shell) => {
    if (area >= least && found.length < shellsLookedAt) found.push(shell);
  });
  return Uint32Array.from(found.sort((one, other) => areaMm2[other]! - areaMm2[one]!));
}

/** By the place in the list of shells looked at. */
interface ShellBoxes {
  /** Least x, y, z, greatest x, y, z of each shell. */
  readonly bounds: Float32Array;
  /** One corner of each shell. */
  readonly probe: Uint32Array;
}

function shellBoxes(mesh: Mesh, shells: Shells, lookedAt: Uint32Array): ShellBoxes {
  const bounds = new Float32Array(lookedAt.length * 6);
  const probe = new Uint32Array(lookedAt.length);
  for (let i = 0; i < bounds.length; i++) bounds[i] = i % 6 < 3 ? Infinity : -Infinity;
  const placeOf = new Int32Array(shells.count).fill(-1);
  lookedAt.forEach((shell, place) => {
    placeOf[shell] = place;
  });
  for (let side = 0; side < mesh.corners.length; side++) {
    const shell = shells.shellOf[(side / 3) >>> 0]!;
    const place = shell === noShell ? -1 : placeOf[shell]!;
    if (place < 0) continue;
    const corner = mesh.corners[side]!;
    probe[place] = corner;
    for (let axis = 0; axis < 3; axis++) {
      const value = mesh.positionsMm[corner * 3 + axis]!;
      const low = place * 6 + axis;
      if (value < bounds[low]!) bounds[low] = value;
      if (value > bounds[low + 3]!) bounds[low + 3] = value;
    }
  }
  return { bounds, probe };
}

function boxesOverlap({ bounds }: ShellBoxes, one: number, other: number): boolean {
  for (let axis = 0; axis < 3; axis++) {
    if (bounds[one * 6 + axis]! >= bounds[other * 6 + axis + 3]!) return false;
    if (bounds[other * 6 + axis]! >= bounds[one * 6 + axis + 3]!) return false;
  }
  return true;
}

function boxHolds({ bounds }: ShellBoxes, outer: number, inner: number): boolean {
  for (let axis = 0; axis < 3; axis++) {
    if (bounds[inner * 6 + axis]! < bounds[outer * 6 + axis]!) return false;
    if (bounds[inner * 6 + axis + 3]! > bounds[outer * 6 + axis + 3]!) return false;
  }
  return true;
}

/**
 * Whether the point at `probe` in the positions lies within the shell: a ray along +x passes through its surface an odd
 * number of times. Edges are taken half-open in y and z, so that a ray through an edge or a corner counts once.
 */
function isPointWithin(mesh: Mesh, shells: Shells, shell: number, probe: number): boolean {
  const { positionsMm: at, corners } = mesh;
  const x = at[probe]!;
  const y = at[probe + 1]!;
  const z = at[probe + 2]!;
  let isWithin = false;
  for (let triangle = 0; triangle < shells.shellOf.length; triangle++) {
    if (shells.shellOf[triangle] !== shell) continue;
    const a = corners[triangle * 3]! * 3;
    const b = corners[triangle * 3 + 1]! * 3;
    const c = corners[triangle * 3 + 2]! * 3;
    if (at[a]! < x && at[b]! < x && at[c]! < x) continue;
    // The line y, z meets the triangle's shadow in the y-z plane where an odd number of its sides pass it.
    let isShadowed = false;
    for (let k = 0; k < 3; k++) {
      const from = k === 0 ? a : k === 1 ? b : c;
      const to = k === 0 ? b : k === 1 ? c : a;
      if (at[from + 2]! > z !== at[to + 2]! > z && isPassed(at, from, to, y, z)) isShadowed = !isShadowed;
    }
    if (isShadowed && crossingX(at, a, b, c, y, z) > x) isWithin = !isWithin;
  }
  return isWithin;
}

/** Whether the side passes on the right of y at the height z. Computed from the lower end, so that both triangles of an edge agree. */
function isPassed(at: Float32Array, from: number, to: number, y: number, z: number): boolean {
  const low = at[from + 2]! < at[to + 2]! ? from : to;
  const high = low === from ? to : from;
  const share = (z - at[low + 2]!) / (at[high + 2]! - at[low + 2]!);
  return at[low + 1]! + share * (at[high + 1]! - at[low + 1]!) > y;
}

/** x of the triangle's plane at y, z. Only asked where the triangle's shadow has an area. */
function crossingX(at: Float32Array, a: number, b: number, c: number, y: number, z: number): number {
  const uy = at[b + 1]! - at[a + 1]!;
  const uz = at[b + 2]! - at[a + 2]!;
  const vy = at[c + 1]! - at[a + 1]!;
  const vz = at[c + 2]! - at[a + 2]!;
  const area = uy * vz - uz * vy;
  const s = ((y - at[a + 1]!) * vz - (z - at[a + 2]!) * vy) / area;
  const t = (uy * (z - at[a + 2]!) - uz * (y - at[a + 1]!)) / area;
  return at[a]! + s * (at[b]! - at[a]!) + t * (at[c]! - at[a]!);
}
