/*
 * What a survey found on what is plated: its sharp edges and its samples; what is masked crowds nothing. Called by the model desk of the page for
 * its marks, and for what a plan takes of a model.
 */
import type { Crowding } from './crowding.js';
import type { Edges } from './edges.js';
import type { Mesh } from './mesh.js';
import { type CutOff, cutOffPlane } from './not-plated.js';
import type { Mask } from './selection.js';

export function platedCrowding(
  mesh: Mesh,
  { twins }: Edges,
  crowding: Crowding,
  mask: Mask,
  cutOff: CutOff | undefined,
): Crowding {
  const isBeyond = beyond(cutOff);
  const { sides, bendDegrees } = crowding.edges;
  const kept = new Uint32Array(sides.length);
  let edgeCount = 0;
  let lengthMm = 0;
  for (let edge = 0; edge < sides.length; edge++) {
    const side = sides[edge]!;
    if (mask[Math.floor(side / 3)] === 1 && mask[Math.floor(twins[side]! / 3)] === 1) continue;
    const [a, b] = endsOf(mesh, side);
    if (isBeyond(a) && isBeyond(b)) continue;
    kept[edgeCount++] = edge;
    lengthMm += Math.hypot(a[0]! - b[0]!, a[1]! - b[1]!, a[2]! - b[2]!);
  }
  const edges = kept.subarray(0, edgeCount);
  const places = Uint32Array.from(crowding.samples.keys()).filter(
    (k) => mask[crowding.samples[k]!] !== 1 && !isBeyond(crowding.placesMm.subarray(3 * k, 3 * k + 3)),
  );
  return {
    edges: {
      sides: edges.map((edge) => sides[edge]!),
      bendDegrees: Float32Array.from(edges, (edge) => bendDegrees[edge]!),
      lengthMm,
    },
    samples: places.map((k) => crowding.samples[k]!),
    placesMm: Float32Array.from([...places].flatMap((k) => [...crowding.placesMm.subarray(3 * k, 3 * k + 3)])),
    thicknessMm: Float32Array.from(places, (k) => crowding.thicknessMm[k]!),
    rodDiameterMm: Float32Array.from(places, (k) => crowding.rodDiameterMm[k]!),
    openShare: Float32Array.from(places, (k) => crowding.openShare[k]!),
  };
}

/** Both ends of a triangle's side. */
export function endsOf({ positionsMm, corners }: Mesh, side: number): [Float32Array, Float32Array] {
  const from = corners[side]! * 3;
  const to = corners[side % 3 === 2 ? side - 2 : side + 1]! * 3;
  return [positionsMm.subarray(from, from + 3), positionsMm.subarray(to, to + 3)];
}

function beyond(cutOff: CutOff | undefined): (place: Float32Array) => boolean {
  if (cutOff === undefined) return () => false;
  const { normal, offset } = cutOffPlane(cutOff);
  return (place) => normal[0] * place[0]! + normal[1] * place[1]! + normal[2] * place[2]! > offset;
}
