/*
 * Measures a part from its surface: area, volume, whether it is closed, and what is wrong with it. Start here; the
 * readers of model files give the mesh, the planner takes the measure. Pure; a million triangles take a fraction of a second.
 */
import { duplicatesOf } from './duplicates.js';
import { edgesOf, type Edges } from './edges.js';
import { boxOf, triangleCount, type Mesh } from './mesh.js';
import { nestingOf, type Nesting } from './nesting.js';
import type { PartMeasure, SurfaceFaults } from './part-measure.js';
import { shellSums, type ShellSums } from './shell-sums.js';
import { shellsOf, type Shells } from './shells.js';
import { surfaceWarnings, volumeRefusal } from './surface-warnings.js';

/** A measure together with what it was made from, for selections and pictures. */
export interface MeasuredPart {
  readonly measure: PartMeasure;
  readonly edges: Edges;
  readonly shells: Shells;
  readonly sums: ShellSums;
  readonly nesting: Nesting;
  /** Triangles that repeat an earlier one, ascending: their area is not counted again. */
  readonly duplicates: Uint32Array;
}

/** The measure alone. Example: a cube of 2 mm gives `areaMm2` 24 and `volumeMm3` 8. */
export function measurePart(mesh: Mesh): PartMeasure {
  return measureWithParts(mesh).measure;
}

/** `onProgress`: called between steps with the share that is done, 0 to 1. May throw to stop. */
export function measureWithParts(mesh: Mesh, onProgress?: (share: number) => void): MeasuredPart {
  const edges = edgesOf(mesh);
  onProgress?.(0.5);
  const duplicates = duplicatesOf(mesh, edges);
  onProgress?.(0.6);
  const shells = shellsOf(mesh, edges);
  onProgress?.(0.8);
  const boxMm = boxOf(mesh);
  const sums = shellSums(mesh, shells, boxMm, duplicates);
  onProgress?.(0.9);
  const nesting = nestingOf(mesh, shells, sums);
  const facing = facingOf(shells, sums, nesting);

  const faults: SurfaceFaults = {
    openEdges: edges.openEdges,
    overusedEdges: edges.overusedEdges,
    invertedTriangles: shells.invertedTriangles,
    insideOutShells: facing.insideOut,
    unorientableShells: sum(shells.isTwisted),
    duplicateTriangles: duplicates.length,
    degenerateTriangles: sums.degenerateTriangles,
    possiblyOverlappingShellPairs: nesting.overlappingPairs,
    unclearInnerShells: facing.unclear,
  };
  const isClosed = shells.count > 0 && edges.openEdges === 0 && edges.overusedEdges === 0;
  const refusal = volumeRefusal(isClosed, faults, triangleCount(mesh));
  const measure: PartMeasure = {
    triangles: triangleCount(mesh),
    areaMm2: sum(sums.areaMm2),
    cavityAreaMm2: sums.areaMm2.reduce((area, each, shell) => (nesting.depth[shell]! > 0 ? area + each : area), 0),
    volumeMm3: refusal === undefined ? facing.volumeMm3 : undefined,
    volumeRefusal: refusal,
    isClosed,
    shells: shells.count,
    boxMm,
    faults,
    warnings: surfaceWarnings(faults, refusal, nesting.isComplete),
  };
  return { measure, edges, shells, sums, nesting, duplicates };
}

/** The volume with cavities taken off, and the shells that face the wrong way. */
function facingOf(shells: Shells, sums: ShellSums, nesting: Nesting) {
  let volumeMm3 = 0;
  let insideOut = 0;
  let unclear = 0;
  for (let shell = 0; shell < shells.count; shell++) {
    const own = sums.volumeMm3[shell]!;
    volumeMm3 += nesting.depth[shell]! % 2 === 0 ? Math.abs(own) : -Math.abs(own);
    if (shells.isClosed[shell] === 0) continue;
    const outer = nesting.around[shell]!;
    if (outer < 0) {
      if (own < 0) insideOut++;
    } else if (own > 0 === sums.volumeMm3[outer]! > 0) unclear++;
  }
  return { volumeMm3, insideOut, unclear };
}

function sum(values: Float64Array | Uint8Array): number {
  let total = 0;
  for (const each of values) total += each;
  return total;
}
