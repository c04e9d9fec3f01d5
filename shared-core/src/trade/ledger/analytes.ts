/*
 * What is analysed and corrected in an acid copper bath, in which unit, and what is usual in a profile. Read by every other file of the ledger.
 * Other metals have profiles for plans; the ledger keeps acid copper, whose analyses it knows.
 */
import type { BathProfile, UsualRange } from '../baths/bath-profile.js';
import { bathProfiles } from '../baths/bath-list.js';
import { copper } from '../metals.js';
import type { Unit } from '../units.js';

export const analyteKeys = ['copper-sulphate', 'sulphuric-acid', 'chloride'] as const;
export type Analyte = (typeof analyteKeys)[number];

/** A number for each analyte, in its unit. */
export type Composition = Readonly<Record<Analyte, number>>;

export const analytes: Readonly<Record<Analyte, { readonly name: string; readonly unit: Unit }>> = {
  'copper-sulphate': { name: 'copper sulphate CuSO4·5H2O', unit: 'g/L' },
  'sulphuric-acid': { name: 'sulphuric acid H2SO4', unit: 'g/L' },
  chloride: { name: 'chloride', unit: 'mg/L' },
};

/** The baths that can have a ledger. */
export const ledgerProfiles: readonly BathProfile[] = bathProfiles.filter(({ metal }) => metal === copper);

/** What is usual of an analyte. Example: of bright acid copper, sulphuric acid: 60, 70, 80 g/L. */
export function usualRangeOf(profile: BathProfile, analyte: Analyte): UsualRange {
  const found = profile.composition.find(({ name }) => name === analytes[analyte].name);
  if (found === undefined)
    throw new RangeError(`${profile.name} lists no ${analytes[analyte].name}: the ledger keeps acid copper.`);
  return found;
}

/** What is usual in a profile, each analyte. */
export function usualComposition(profile: BathProfile): Composition {
  return {
    'copper-sulphate': usualRangeOf(profile, 'copper-sulphate').usual,
    'sulphuric-acid': usualRangeOf(profile, 'sulphuric-acid').usual,
    chloride: usualRangeOf(profile, 'chloride').usual,
  };
}
