/*
 * Area, volume and box of each shell. Called by measure-part.ts.
 * A = ½ Σ |u × v|, V = ⅙ Σ p · (q × r) (divergence theorem), with p, q, r seen from the middle of the box: far from the
 * origin the tetrahedra would be large and cancel. Sums in 64 bits; of their sixteen digits a million terms cost six at worst.
 */
import type { Mesh } from './mesh.js';
import type { BoxMm } from './part-measure.js';
import { noShell, type Shells } from './shells.js';

export interface ShellSums {
  readonly areaMm2: Float64Array;
  /** Signed: positive where the shell faces outwards. Means something only where the shell is closed and orientable. */
  readonly volumeMm3: Float64Array;
  /** Triangles without an area, those of no shell among them. */
  readonly degenerateTriangles: number;
}

/** `leftOut`: triangles whose area is not counted, ascending. Inverted triangles count as if they were turned. */
export function shellSums(mesh: Mesh, shells: Shells, box: BoxMm, leftOut: Uint32Array): ShellSums {
  const { positionsMm: at, corners } = mesh;
  const { shellOf, isInverted, count } = shells;
  const areaMm2 = new Float64Array(count);
  const volumeMm3 = new Float64Array(count);
  const middleX = (box.min[0] + box.max[0]) / 2;
  const middleY = (box.min[1] + box.max[1]) / 2;
  const middleZ = (box.min[2] + box.max[2]) / 2;
  let nextLeftOut = 0;
  let degenerateTriangles = 0;
  for (let triangle = 0, first = 0; first < corners.length; triangle++, first += 3) {
    const shell = shellOf[triangle]!;
    if (shell === noShell) {
      degenerateTriangles++;
      continue;
    }
    const a = corners[first]! * 3;
    const b = corners[first + 1]! * 3;
    const c = corners[first + 2]! * 3;
    const px = at[a]! - middleX;
    const py = at[a + 1]! - middleY;
    const pz = at[a + 2]! - middleZ;
    const ux = at[b]! - at[a]!;
    const uy = at[b + 1]! - at[a + 1]!;
    const uz = at[b + 2]! - at[a + 2]!;
    const vx = at[c]! - at[a]!;
    const vy = at[c + 1]! - at[a + 1]!;
    const vz = at[c + 2]! - at[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const tetrahedron = px * nx + py * ny + pz * nz; // p · (q × r) = p · (u × v)
    volumeMm3[shell]! += isInverted[triangle] === 1 ? -tetrahedron : tetrahedron;
    const doubleAreaMm2 = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (doubleAreaMm2 === 0) degenerateTriangles++;
    if (triangle === leftOut[nextLeftOut]) nextLeftOut++;
    else areaMm2[shell]! += doubleAreaMm2;
  }
  for (let shell = 0; shell < count; shell++) {
    areaMm2[shell]! /= 2;
    volumeMm3[shell]! /= 6;
  }
  return { areaMm2, volumeMm3, degenerateTriangles };
}
