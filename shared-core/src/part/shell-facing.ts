/*
 * Which triangles face the other way than most of their shell. Walks over each shell from triangle to triangle: two
 * that agree run along their common edge in opposite ways. Called by shells.ts.
 */
import { firstMark, type Edges } from './edges.js';
import type { Mesh } from './mesh.js';

export interface Facing {
  /** For each triangle 1 where it faces the other way than most of its shell. */
  readonly isInverted: Uint8Array;
  readonly invertedTriangles: number;
  /** For each shell 1 where its triangles cannot agree on an inside, as on a Möbius strip. */
  readonly isTwisted: Uint8Array;
}

export function facingWithin(mesh: Mesh, edges: Edges, shellOf: Uint32Array, shells: number): Facing {
  const isInverted = new Uint8Array(shellOf.length);
  const isTwisted = new Uint8Array(shells);
  // Where no two triangles clash, all agree.
  if (edges.clashingEdges === 0) return { isInverted, invertedTriangles: 0, isTwisted };

  const { corners } = mesh;
  const isReached = new Uint8Array(shellOf.length);
  const queue = new Uint32Array(shellOf.length);
  let invertedTriangles = 0;
  for (let seed = 0; seed < shellOf.length; seed++) {
    if (isReached[seed] === 1) continue;
    let read = 0;
    let written = 0;
    let turned = 0;
    queue[written++] = seed;
    isReached[seed] = 1;
    while (read < written) {
      const triangle = queue[read++]!;
      const own = isInverted[triangle]!;
      turned += own;
      for (let side = triangle * 3; side < triangle * 3 + 3; side++) {
        const twin = edges.twins[side]!;
        if (twin >= firstMark) continue;
        const neighbour = (twin / 3) >>> 0;
        const expected = corners[side] === corners[twin] ? 1 - own : own;
        if (isReached[neighbour] === 0) {
          isReached[neighbour] = 1;
          isInverted[neighbour] = expected;
          queue[written++] = neighbour;
        } else if (isInverted[neighbour] !== expected) isTwisted[shellOf[triangle]!] = 1;
      }
    }
    // The walk compares with its first triangle; what most of them say is taken as right.
    const isFirstOneInverted = turned * 2 > written;
    for (let i = 0; isFirstOneInverted && i < written; i++) isInverted[queue[i]!] = 1 - isInverted[queue[i]!]!;
    invertedTriangles += isFirstOneInverted ? written - turned : turned;
  }
  return { isInverted, invertedTriangles, isTwisted };
}
