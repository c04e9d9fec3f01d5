/*
 * From a survey of a part to marks that can be drawn: the ends of its sharp edges, the places of its samples, of all that is plated; what is
 * masked crowds nothing. Called by the model desk; pure.
 */
import {
  type Crowding,
  type CutOff,
  cutOffPlane,
  type Edges,
  type Mask,
  type Mesh,
} from '@bathkeeper/shared-core/part';
import type { CrowdingMarks } from './asked.js';

/** More lines than that are a grey cloud and no picture. */
const MOST_EDGES = 40_000;

export function crowdingMarks(
  mesh: Mesh,
  { twins }: Edges,
  crowding: Crowding,
  mask: Mask,
  cutOff: CutOff | undefined,
  mostEdges = MOST_EDGES,
): CrowdingMarks {
  const isBeyond = beyond(cutOff);
  const { sides, bendDegrees } = crowding.edges;
  const endsOf = (side: number): [Float32Array, Float32Array] => {
    const from = mesh.corners[side]! * 3;
    const to = mesh.corners[side % 3 === 2 ? side - 2 : side + 1]! * 3;
    return [mesh.positionsMm.subarray(from, from + 3), mesh.positionsMm.subarray(to, to + 3)];
  };
  const kept = new Uint32Array(sides.length);
  let edgeCount = 0;
  let edgeLengthMm = 0;
  for (let edge = 0; edge < sides.length; edge++) {
    const side = sides[edge]!;
    if (mask[Math.floor(side / 3)] === 1 && mask[Math.floor(twins[side]! / 3)] === 1) continue;
    const [a, b] = endsOf(side);
    if (isBeyond(a) && isBeyond(b)) continue;
    kept[edgeCount++] = edge;
    edgeLengthMm += Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);
  }
  const drawn = sharpest(kept.subarray(0, edgeCount), bendDegrees, mostEdges);
  const edges = new Float32Array(drawn.length * 6);
  drawn.forEach((edge, k) => {
    const [a, b] = endsOf(sides[edge]!);
    edges.set(a, k * 6);
    edges.set(b, k * 6 + 3);
  });
  const plated = Array.from(crowding.samples, (_, k) => k).filter(
    (k) => mask[crowding.samples[k]!] !== 1 && !isBeyond(crowding.placesMm.subarray(3 * k, 3 * k + 3)),
  );
  return {
    edges,
    edgeLengthMm,
    edgeCount,
    places: Float32Array.from(plated.flatMap((k) => [...crowding.placesMm.subarray(3 * k, 3 * k + 3)])),
    rodDiameterMm: Float32Array.from(plated, (k) => crowding.rodDiameterMm[k]!),
    openShare: Float32Array.from(plated, (k) => crowding.openShare[k]!),
  };
}

function beyond(cutOff: CutOff | undefined): (place: Float32Array) => boolean {
  if (cutOff === undefined) return () => false;
  const { normal, offset } = cutOffPlane(cutOff);
  return (place) => normal[0] * place[0]! + normal[1] * place[1]! + normal[2] * place[2]! > offset;
}

function sharpest(kept: Uint32Array, bendDegrees: Float32Array, most: number): Uint32Array {
  if (kept.length <= most) return kept;
  const bends = Float32Array.from(kept, (edge) => bendDegrees[edge]!);
  const least = bends.slice().sort()[bends.length - most]!;
  return kept.filter((_, k) => bends[k]! >= least).subarray(0, most);
}
