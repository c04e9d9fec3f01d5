/* A measure at another scale, without measuring again: for whoever changes the unit of a model that is already read. */
import type { PartMeasure } from './part-measure.js';

/**
 * The measure of the same part with every length multiplied by `factor` (above 0). Counts of faults stay.
 *
 * @example
 * scaledMeasure(measurePart(cube), 25.4).areaMm2; // 645.16 times as much
 */
export function scaledMeasure(measure: PartMeasure, factor: number): PartMeasure {
  const { min, max } = measure.boxMm;
  return {
    ...measure,
    areaMm2: measure.areaMm2 * factor ** 2,
    cavityAreaMm2: measure.cavityAreaMm2 * factor ** 2,
    volumeMm3: measure.volumeMm3 === undefined ? undefined : measure.volumeMm3 * factor ** 3,
    boxMm: {
      min: [min[0] * factor, min[1] * factor, min[2] * factor],
      max: [max[0] * factor, max[1] * factor, max[2] * factor],
    },
  };
}
