/*
 * Throwing power from two cathodes at unequal distances of one anode. Three formulas are in use and give three numbers for one test, so the formula is kept with the
 * result. Called where such a test is written into the ledger.
 */

/** Haring-Blum: galvanotechnik-for-you.de. Heatley and Field: from memory. K: distance far over near. M: metal near over far. */
export const throwingFormulas = {
  'haring-blum': { name: 'Haring-Blum', percent: (k: number, m: number) => (100 * (k - m)) / k },
  heatley: { name: 'Heatley', percent: (k: number, m: number) => (100 * (k - m)) / (k - 1) },
  field: { name: 'Field', percent: (k: number, m: number) => (100 * (k - m)) / (k + m - 2) },
} as const;
export type ThrowingFormula = keyof typeof throwingFormulas;
export const throwingFormulaKeys = Object.keys(throwingFormulas) as [ThrowingFormula, ...ThrowingFormula[]];

/** Far over near in the usual cell: galvanotechnik-for-you.de. */
export const USUAL_DISTANCE_RATIO = 5;

/**
 * Per cent; below zero where the metal is spread worse than the current would be without polarisation.
 *
 * Example: at 5 : 1, 2 g near and 1 g far: 60 after Haring-Blum and Field, 75 after Heatley.
 *
 * @throws RangeError for a far cathode without metal, a ratio of distances of 1 or less, or more metal far than near.
 */
export function throwingPowerPercent(
  formula: ThrowingFormula,
  distanceRatio: number,
  nearGrams: number,
  farGrams: number,
): number {
  if (!(distanceRatio > 1 && farGrams > 0 && nearGrams >= farGrams))
    throw new RangeError(
      `Near ${String(nearGrams)} g, far ${String(farGrams)} g, distances ${String(distanceRatio)} to 1; expected more near than far, metal on both, and a ratio above 1. Look whether the two were taken for each other.`,
    );
  return throwingFormulas[formula].percent(distanceRatio, nearGrams / farGrams);
}
