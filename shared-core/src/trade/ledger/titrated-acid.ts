/*
 * Free sulphuric acid by titration with sodium hydroxide, methyl orange. Called where an analysis is written into the ledger. Copper must stay dissolved until the
 * end point: past it, it takes hydroxide as well.
 */
import { sulphuricAcidGramsPerMole } from './molar-masses.js';
import { type Titration, titratedMolesPerLitre } from './titration.js';

/**
 * Grams of H2SO4 in a litre of bath. Two moles of hydroxide for one of acid; USP 28, Sulfuric Acid: each mL of 1 N sodium hydroxide is 49.04 mg of H2SO4.
 *
 * Example: 12.24 mL of 0.5 mol/L for 5 mL of bath is 60.0.
 */
export function titratedAcidGramsPerLitre(titration: Titration): number {
  return (titratedMolesPerLitre(titration) * sulphuricAcidGramsPerMole) / 2;
}
