/* Whether a part sinks, and what it takes to sink it. Called by the planner. A printed part is mostly air, and a sealed one floats. */

/** m/s², standard gravity. */
const gravity = 9.80665;

/**
 * Weight in the bath in newtons, below 0 when it floats: (mass − displaced mass) × g.
 *
 * Example: 1 L of solid PLA (1240 g) in a bath of 1.16 g/cm³: +0.785 N; a quarter filled (310 g): −8.34 N.
 */
export function submergedWeightNewtons(massGrams: number, volumeCm3: number, bathGramsPerCm3: number): number {
  return ((massGrams - volumeCm3 * bathGramsPerCm3) / 1000) * gravity;
}

/** Grams of ballast of that density that bring the weight up to `leastNewtons`. 0 when it is heavy enough. */
export function ballastGrams(
  submergedNewtons: number,
  leastNewtons: number,
  ballastGramsPerCm3: number,
  bathGramsPerCm3: number,
): number {
  const missingNewtons = leastNewtons - submergedNewtons;
  if (missingNewtons <= 0) return 0;
  return (missingNewtons / gravity / (1 - bathGramsPerCm3 / ballastGramsPerCm3)) * 1000;
}
