/* From what crowds on a part to marks that can be drawn: the ends of its sharp edges, the places of its samples. Called by the model desk; pure. */
import { type Crowding, endsOf, type Mesh } from '@bathkeeper/shared-core/part';
import type { CrowdingMarks } from './asked.js';

/** More lines than that are a grey cloud and no picture. */
const MOST_EDGES = 40_000;

/** `crowding`: of what is plated. */
export function crowdingMarks(mesh: Mesh, crowding: Crowding, mostEdges = MOST_EDGES): CrowdingMarks {
  const { sides, bendDegrees, lengthMm } = crowding.edges;
  const drawn = sharpest(sides, bendDegrees, mostEdges);
  const edges = new Float32Array(drawn.length * 6);
  drawn.forEach((side, k) => {
    const [a, b] = endsOf(mesh, side);
    edges.set(a, k * 6);
    edges.set(b, k * 6 + 3);
  });
  return {
    edges,
    edgeLengthMm: lengthMm,
    edgeCount: sides.length,
    places: crowding.placesMm,
    rodDiameterMm: crowding.rodDiameterMm,
    openShare: crowding.openShare,
  };
}

function sharpest(sides: Uint32Array, bendDegrees: Float32Array, most: number): Uint32Array {
  if (sides.length <= most) return sides;
  const least = bendDegrees.slice().sort()[sides.length - most]!;
  return sides.filter((_, k) => bendDegrees[k]! >= least).subarray(0, most);
}
