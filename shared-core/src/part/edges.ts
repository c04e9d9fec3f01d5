/*
 * Which triangles meet along which edge. Each side of a triangle (side 3t + k runs from corner k of triangle t to the
 * next) looks for the other side of the same edge in a hash table: a million triangles take a fraction of a second
 * whatever their order. Called by measure-part.ts and by the selections.
 */
import type { Mesh } from './mesh.js';

/** Instead of a side: no other triangle meets this one here. */
export const open = 0xffffffff;
/** Instead of a side: more than two triangles meet here. */
export const overused = 0xfffffffe;
/** Instead of a side: the triangle has two corners in one place, and takes no part. */
export const collapsed = 0xfffffffd;
/** Every number below is a side. */
export const firstMark = collapsed;

export interface Edges {
  /** For each side the side of the one other triangle at this edge, or one of the marks above. */
  readonly twins: Uint32Array;
  /** Edges at which one triangle ends. */
  readonly openEdges: number;
  readonly overusedEdges: number;
  /** Edges along which both triangles run the same way, so that one of them is inverted. */
  readonly clashingEdges: number;
}

export function edgesOf(mesh: Mesh): Edges {
  const { corners } = mesh;
  const sides = corners.length;
  const twins = new Uint32Array(sides).fill(open);
  const starts = tableStarts(corners, mesh.positionsMm.length / 3);
  // In a table: the first side of an edge, plus 1 (0 is an empty place), and beside it the edge's higher corner.
  const known = new Uint32Array(sides);
  const highs = new Uint32Array(sides);
  let openEdges = 0;
  let overusedEdges = 0;
  let clashingEdges = 0;

  for (let first = 0; first < sides; first += 3) {
    const a = corners[first]!;
    const b = corners[first + 1]!;
    const c = corners[first + 2]!;
    if (a === b || b === c || c === a) {
      twins[first] = twins[first + 1] = twins[first + 2] = collapsed;
      continue;
    }
    for (let k = 0; k < 3; k++) {
      const side = first + k;
      const from = k === 0 ? a : k === 1 ? b : c;
      const to = k === 0 ? b : k === 1 ? c : a;
      const low = from < to ? from : to;
      const high = from < to ? to : from;
      const start = starts[low]!;
      const end = starts[low + 1]!;
      let place = start;
      // A short table is looked through from its beginning.
      if (end - start > 16) place += spread(high) % (end - start);
      let other = known[place]!;
      while (other !== 0 && highs[place] !== high) {
        place++;
        if (place === end) place = start;
        other = known[place]!;
      }
      if (other === 0) {
        known[place] = side + 1;
        highs[place] = high;
        openEdges++;
        continue;
      }
      other--;
      const partner = twins[other]!;
      if (partner === open) {
        twins[other] = side;
        twins[side] = other;
        openEdges--;
        if (corners[other] === from) clashingEdges++;
      } else {
        if (partner !== overused) {
          overusedEdges++;
          if (corners[other] === corners[partner]) clashingEdges--;
          twins[partner] = overused;
          twins[other] = overused;
        }
        twins[side] = overused;
      }
    }
  }
  return { twins, openEdges, overusedEdges, clashingEdges };
}

/**
 * Where each corner's own table of edges begins: as long as the number of sides that have it as their lower corner, so
 * that it is never full. Neighbours lie beside each other in memory, and a corner that very many triangles share has a
 * large table instead of a long list.
 */
function tableStarts(corners: Uint32Array, cornerCount: number): Uint32Array {
  const starts = new Uint32Array(cornerCount + 1);
  for (let first = 0; first < corners.length; first += 3) {
    const a = corners[first]!;
    const b = corners[first + 1]!;
    const c = corners[first + 2]!;
    starts[a < b ? a : b]!++;
    starts[b < c ? b : c]!++;
    starts[c < a ? c : a]!++;
  }
  let sum = 0;
  for (let corner = 0; corner <= cornerCount; corner++) {
    const own = starts[corner]!;
    starts[corner] = sum;
    sum += own;
  }
  return starts;
}

function spread(corner: number): number {
  const mixed = Math.imul(corner ^ (corner >>> 15), 0x2c1b3c6d);
  return (mixed ^ (mixed >>> 14)) >>> 0;
}
