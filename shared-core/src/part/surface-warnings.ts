/* What is wrong with a surface and what can still be trusted, in whole sentences. Called by measure-part.ts. */
import type { SurfaceFaults } from './part-measure.js';

/** Why the surface bounds no volume; undefined when it does. */
export function volumeRefusal(isClosed: boolean, faults: SurfaceFaults, triangles: number): string | undefined {
  const because = (words: string) => `There is no volume: ${words}`;
  if (triangles === faults.degenerateTriangles) return because('no triangle has an area.');
  if (faults.openEdges > 0)
    return because(`the surface has ${counted(faults.openEdges, 'open edge')}, so it has no inside.`);
  if (!isClosed)
    return because(
      `at ${counted(faults.overusedEdges, 'edge')} more than two triangles meet, so inside and outside are not clear.`,
    );
  if (faults.unorientableShells > 0) return because('the surface is twisted into itself, so it has no inside.');
  if (faults.unclearInnerShells > 0)
    return because(
      `${counted(faults.unclearInnerShells, 'shell')} within another ${faults.unclearInnerShells === 1 ? 'faces' : 'face'} the same way as the one around, so hollow or solid cannot be told.`,
    );
  return undefined;
}

export function surfaceWarnings(
  faults: SurfaceFaults,
  refusal: string | undefined,
  allShellsLookedAt: boolean,
): string[] {
  const warnings: string[] = [];
  if (refusal !== undefined)
    warnings.push(`${refusal} The area can be trusted. Repair the model if you need to know whether it floats.`);
  if (faults.openEdges > 0 && faults.overusedEdges > 0)
    warnings.push(`At ${counted(faults.overusedEdges, 'edge')} more than two triangles meet. The area can be trusted.`);
  if (faults.invertedTriangles > 0)
    warnings.push(
      `${counted(faults.invertedTriangles, 'triangle')} face${faults.invertedTriangles === 1 ? 's' : ''} the other way than the surface around. Area and volume are counted as if turned.`,
    );
  if (faults.insideOutShells > 0)
    warnings.push(
      `${counted(faults.insideOutShells, 'shell')} face${faults.insideOutShells === 1 ? 's' : ''} inwards though nothing is around. Area and volume are counted as if turned.`,
    );
  if (faults.duplicateTriangles > 0)
    warnings.push(
      `${counted(faults.duplicateTriangles, 'triangle')} ${faults.duplicateTriangles === 1 ? 'is' : 'are'} there twice. The area counts each once.`,
    );
  if (faults.degenerateTriangles > 0)
    warnings.push(
      `${counted(faults.degenerateTriangles, 'triangle')} ${faults.degenerateTriangles === 1 ? 'has' : 'have'} no area. The sums are right without.`,
    );
  if (faults.possiblyOverlappingShellPairs > 0)
    warnings.push(
      `${counted(faults.possiblyOverlappingShellPairs, 'pair')} of shells may run through each other: their boxes overlap. Where they do, area and volume are counted too high. Unite the shells in the program that made the model.`,
    );
  if (!allShellsLookedAt)
    warnings.push(
      'There are too many shells to look at all of them: which lie within another was told for the largest only.',
    );
  return warnings;
}

function counted(count: number, what: string): string {
  return `${count.toLocaleString('en')} ${what}${count === 1 ? '' : 's'}`;
}
