/*
 * The integral of a closed surface's mean curvature: how its area and volume grow when every place moves outwards (Steiner). Called by whoever plans with a
 * model. Exact for the facets as they are; a surface that is open or faces inwards has no such number.
 */
import { firstMark } from './edges.js';
import type { MeasuredPart } from './measure-part.js';
import type { Mesh } from './mesh.js';
import { normalOf } from './selection.js';

/**
 * Half the sum of length × bend in radians over all edges, convex ones positive, in mm. Undefined where the surface is not closed and facing outwards.
 *
 * @example
 * meanCurvatureMm(cubeOf10mm, measureWithParts(cubeOf10mm)); // 94.25: π × (10 + 10 + 10)
 */
export function meanCurvatureMm(mesh: Mesh, part: MeasuredPart): number | undefined {
  const { isClosed, volumeMm3, faults } = part.measure;
  if (!isClosed || volumeMm3 === undefined || faults.insideOutShells > 0 || faults.invertedTriangles > 0)
    return undefined;
  const { positionsMm: at, corners } = mesh;
  let sum = 0;
  for (let side = 0; side < corners.length; side++) {
    const twin = part.edges.twins[side]!;
    if (twin >= firstMark || twin < side) continue;
    const one = normalOf(mesh, (side / 3) >>> 0);
    const other = normalOf(mesh, (twin / 3) >>> 0);
    const from = corners[side]! * 3;
    const to = corners[side % 3 === 2 ? side - 2 : side + 1]! * 3;
    const along = [0, 1, 2].map((axis) => at[to + axis]! - at[from + axis]!);
    // Across the edge the normals turn about its own direction, one way where it is convex and the other where it is not.
    const turned = [
      one[1] * other[2] - one[2] * other[1],
      one[2] * other[0] - one[0] * other[2],
      one[0] * other[1] - one[1] * other[0],
    ];
    const length = Math.hypot(...along);
    if (length === 0) continue;
    const sine = (turned[0]! * along[0]! + turned[1]! * along[1]! + turned[2]! * along[2]!) / length;
    const cosine = one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
    sum += length * Math.atan2(sine, cosine);
  }
  return sum / 2;
}
