/*
 * Edges at which current crowds: convex ones, the sharper the worse. (Primary current at an edge goes with r^(π/θ − 1), θ the
 * angle in the electrolyte: a 90° edge of the part has θ = 270°, current rising with r^(−1/3). Exact for a wedge.) Pure.
 */
import { firstMark, type Edges } from './edges.js';
import type { Mesh } from './mesh.js';
import { normalOf } from './selection.js';

export interface SharpEdges {
  /** One side of each sharp edge: side 3t + k runs from corner k of triangle t to the next. */
  readonly sides: Uint32Array;
  /** How far the surface bends there, for each: 90 at a cube's edge, near 180 at a blade. */
  readonly bendDegrees: Float32Array;
  readonly lengthMm: number;
}

/** Below this, bends are what roundings are made of. A choice of ours, no source. */
export const sharpFromDegrees = 40;

/** Convex edges that bend at least so far. Faces must face outwards; an inverted shell would show its recesses instead. */
export function sharpEdges(mesh: Mesh, edges: Edges, fromDegrees = sharpFromDegrees): SharpEdges {
  const { positionsMm: at, corners } = mesh;
  const sides: number[] = [];
  const bends: number[] = [];
  let lengthMm = 0;
  for (let side = 0; side < corners.length; side++) {
    const twin = edges.twins[side]!;
    if (twin >= firstMark || twin < side) continue;
    const triangle = (side / 3) >>> 0;
    const one = normalOf(mesh, triangle);
    const other = normalOf(mesh, (twin / 3) >>> 0);
    const cosine = one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
    if (one.every((each) => each === 0) || other.every((each) => each === 0)) continue;
    const bend = (Math.acos(Math.min(1, Math.max(-1, cosine))) * 180) / Math.PI;
    if (bend < fromDegrees) continue;
    const from = corners[side]! * 3;
    const to = corners[side % 3 === 2 ? side - 2 : side + 1]! * 3;
    const opposite = corners[twin % 3 === 0 ? twin + 2 : twin - 1]! * 3;
    // Convex where the neighbour falls away behind this triangle's plane.
    const height =
      one[0] * (at[opposite]! - at[from]!) +
      one[1] * (at[opposite + 1]! - at[from + 1]!) +
      one[2] * (at[opposite + 2]! - at[from + 2]!);
    if (height >= 0) continue;
    sides.push(side);
    bends.push(bend);
    lengthMm += Math.hypot(at[to]! - at[from]!, at[to + 1]! - at[from + 1]!, at[to + 2]! - at[from + 2]!);
  }
  return { sides: Uint32Array.from(sides), bendDegrees: Float32Array.from(bends), lengthMm };
}
