/*
 * Triangles that a model holds twice. Called by measure-part.ts, which counts their area once. A triangle and its own
 * back (the same corners in the other sense) are the two sides of a sheet and no duplicates.
 */
import { firstMark, overused, type Edges } from './edges.js';
import type { Mesh } from './mesh.js';

/** The numbers of all triangles that repeat an earlier one in the same sense, ascending. */
export function duplicatesOf(mesh: Mesh, edges: Edges): Uint32Array {
  // A repeated triangle has no edge left that exactly two triangles use in opposite senses, so a good model has no suspects.
  if (edges.overusedEdges + edges.clashingEdges === 0) return new Uint32Array(0);
  const { corners } = mesh;
  let suspects = 0;
  for (let first = 0; first < corners.length; first += 3) if (isSuspect(corners, edges.twins, first)) suspects++;
  const room = suspects * 2 + 1;
  const known = new Uint32Array(room); // first corner of a triangle plus 1; 0 is empty
  const found = new Uint32Array(suspects);
  let count = 0;
  for (let first = 0; first < corners.length; first += 3) {
    if (!isSuspect(corners, edges.twins, first)) continue;
    let place = triangleHash(corners, first) % room;
    while (known[place] !== 0 && !isSame(corners, known[place]! - 1, first)) place = (place + 1) % room;
    if (known[place] === 0) known[place] = first + 1;
    else found[count++] = first / 3;
  }
  return found.slice(0, count);
}

function isSuspect(corners: Uint32Array, twins: Uint32Array, first: number): boolean {
  for (let side = first; side < first + 3; side++) {
    const twin = twins[side]!;
    if (twin === overused) continue;
    if (twin >= firstMark || corners[twin] !== corners[side]) return false;
  }
  return true;
}

/** The place of the lowest corner: from there the three are read, so that only their sense matters. */
function lowest(corners: Uint32Array, first: number): number {
  const a = corners[first]!;
  const b = corners[first + 1]!;
  const c = corners[first + 2]!;
  return a < b && a < c ? 0 : b < c ? 1 : 2;
}

function isSame(corners: Uint32Array, one: number, other: number): boolean {
  const i = lowest(corners, one);
  const j = lowest(corners, other);
  for (let k = 0; k < 3; k++) if (corners[one + ((i + k) % 3)] !== corners[other + ((j + k) % 3)]) return false;
  return true;
}

function triangleHash(corners: Uint32Array, first: number): number {
  const i = lowest(corners, first);
  let hash = 0;
  for (let k = 0; k < 3; k++) hash = Math.imul(hash ^ corners[first + ((i + k) % 3)]!, 0x9e3779b1) ^ (hash >>> 15);
  return (hash ^ (hash >>> 16)) >>> 0;
}
