/* A simple shape as a part of a plan, for a part without a model. Called by the command and the page. */
import { lengthWarning } from '../../part/model-size.js';
import { measureShape, shapeDimensions, type SimpleShape } from '../../part/simple-shapes.js';
import type { PlannedPart } from '../plan/plan-request.js';
import { notPlatedOf } from './part-from-model.js';
import { opennessOf } from './shape-openness.js';

/** Of those with a closed form: π (l + w + h), π l + π² r, 4 π r (Santaló, "Integral Geometry and Geometric Probability", from memory). */
function curvatureOf(shape: SimpleShape): { meanCurvatureMm?: number } {
  switch (shape.kind) {
    case 'plate':
      return { meanCurvatureMm: Math.PI * (shape.lengthMm + shape.widthMm + shape.thicknessMm) };
    case 'box':
      return { meanCurvatureMm: Math.PI * (shape.lengthMm + shape.widthMm + shape.heightMm) };
    case 'cylinder':
      return { meanCurvatureMm: Math.PI * shape.lengthMm + (Math.PI ** 2 * shape.diameterMm) / 2 };
    case 'sphere':
      return { meanCurvatureMm: 2 * Math.PI * shape.diameterMm };
    default:
      return {};
  }
}

/** Either the part, or why there is none, as whole sentences. */
export type PartReading = { readonly part: PlannedPart } | { readonly refusals: readonly string[] };

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
  const longestMm = Math.max(...lengths);
  const sizeWords = lengthWarning(longestMm);
  return {
    part: {
      name: shape.kind,
      pieces: about.pieces,
      areaDm2: areaDm2 - (about.maskedDm2 ?? 0),
      areaFrom: `of a ${shape.kind}`,
      ...notPlatedOf(about.maskedDm2),
      volumeCm3,
      isClosed: true,
      longestMm,
      ...opennessOf(shape),
      ...curvatureOf(shape),
      ...(sizeWords === undefined ? {} : { warnings: [sizeWords] }),
    },
  };
}
