/* An acid as it is bought: its strength by mass and its density, both on the bottle. Used by make-up and corrections. */

export interface BoughtAcid {
  /** Share of the mass, 0.96 of concentrated sulphuric acid. */
  readonly strengthShare: number;
  readonly densityGramsPerMl: number;
}

/** About 96 % by mass and 1.84 g/mL: British Pharmacopoeia 2010, appendix I A. What the bottle says comes first. */
export const concentratedSulphuric: BoughtAcid = { strengthShare: 0.96, densityGramsPerMl: 1.84 };
/** About 37 % by mass and 1.18 g/mL: from memory (1.18 also in UK SR 1996/513, schedule 2). What the bottle says comes first. */
export const concentratedHydrochloric: BoughtAcid = { strengthShare: 0.37, densityGramsPerMl: 1.18 };

/** Millilitres as bought that hold so many grams of the acid. Example: 49 g from 97 % of 1.84 g/mL: 27.45. */
export function boughtMillilitres(pureGrams: number, acid: BoughtAcid): number {
  return pureGrams / (acid.strengthShare * acid.densityGramsPerMl);
}

/** Grams of the acid in so many millilitres as bought. Example: 100 mL of 96 %, 1.84 g/mL: 176.6. */
export function boughtGrams(millilitres: number, acid: BoughtAcid): number {
  return millilitres * acid.densityGramsPerMl * acid.strengthShare;
}
