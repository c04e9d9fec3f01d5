/* A simple shape as a part of a plan, for a part without a model. Called by the command and the page. */
import { measureShape, shapeDimensions, type SimpleShape } from '../../part/simple-shapes.js';
import type { PartInBath } from '../plan/plan-request.js';
import { opennessOf } from './shape-openness.js';

/** Either the part, or why there is none, as whole sentences. */
export type PartReading = { readonly part: PartInBath } | { readonly refusals: readonly string[] };

/**
 * @example
 * partFromShape({ kind: 'cylinder', diameterMm: 50, lengthMm: 120 }, { pieces: 1 }); // { part: { name: 'cylinder', areaDm2: 2.278, … } }
 */
export function partFromShape(
  shape: SimpleShape,
  about: { readonly pieces: number; readonly maskedDm2?: number },
): PartReading {
  const reading = measureShape(shape);
  if ('refusals' in reading) return reading;
  const { areaDm2, volumeCm3 } = reading.measure;
  const lengths = shapeDimensions[shape.kind].map(
    ({ name }) => (shape as unknown as Record<string, number>)[name] ?? 0,
  );
  return {
    part: {
      name: shape.kind,
      pieces: about.pieces,
      areaDm2: areaDm2 - (about.maskedDm2 ?? 0),
      areaFrom: `of a ${shape.kind}`,
      volumeCm3,
      isClosed: true,
      longestMm: Math.max(...lengths),
      ...opennessOf(shape),
    },
  };
}
