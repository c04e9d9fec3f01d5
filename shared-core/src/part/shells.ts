/*
 * Pieces of surface that hang together across edges where exactly two triangles meet, and which way their triangles
 * face. Called by measure-part.ts. The walk from triangle to triangle that tells the facing is taken only where
 * some edge clashes.
 */
import { collapsed, open, overused, type Edges } from './edges.js';
import type { Mesh } from './mesh.js';
import { facingWithin, type Facing } from './shell-facing.js';
import { join } from './union.js';

/** Instead of the number of a shell: the triangle has two corners in one place and belongs to none. */
export const noShell = 0xffffffff;

export interface Shells extends Facing {
  readonly count: number;
  /** For each triangle the number of its shell, from 0; or `noShell`. */
  readonly shellOf: Uint32Array;
  /** For each shell 1 where every edge joins exactly two triangles. */
  readonly isClosed: Uint8Array;
}

export function shellsOf(mesh: Mesh, edges: Edges): Shells {
  const { twins } = edges;
  const triangles = twins.length / 3;
  const shellOf = joined(twins);
  // An earlier triangle of the same piece has its number already when a later one asks for it.
  let count = 0;
  for (let triangle = 0; triangle < triangles; triangle++) {
    const earlier = shellOf[triangle]!;
    if (twins[triangle * 3] === collapsed) shellOf[triangle] = noShell;
    else shellOf[triangle] = earlier === triangle ? count++ : shellOf[earlier]!;
  }
  const isClosed = new Uint8Array(count).fill(1);
  if (edges.openEdges + edges.overusedEdges > 0) {
    for (let side = 0; side < twins.length; side++) {
      if (twins[side] === open || twins[side] === overused) isClosed[shellOf[(side / 3) >>> 0]!] = 0;
    }
  }
  return { count, shellOf, isClosed, ...facingWithin(mesh, edges, shellOf, count) };
}

/** For each triangle an earlier one of its piece, or itself for the first of all. */
function joined(twins: Uint32Array): Uint32Array {
  const leader = new Uint32Array(twins.length / 3);
  for (let triangle = 0; triangle < leader.length; triangle++) {
    leader[triangle] = triangle;
    for (let side = triangle * 3; side < triangle * 3 + 3; side++) {
      const twin = twins[side]!;
      // A mark, or a triangle that comes later and will look back, joins nothing.
      if (twin < side) join(leader, (twin / 3) >>> 0, triangle);
    }
  }
  return leader;
}
