/* Chloride by titration with silver nitrate, one to one. Called where an analysis is written into the ledger. A test strip or a laboratory does as well. */
import { chlorideGramsPerMole } from './molar-masses.js';
import { type Titration, titratedMolesPerLitre } from './titration.js';

/**
 * Milligrams of chloride in a litre of bath. The same factor as published for a titrant of normality N and 50 mL of bath: mL × 709.1 × N (Products Finishing,
 * "Chloride Concentrations").
 *
 * Example: 10 mL of 0.01 mol/L for 50 mL of bath is 70.9.
 */
export function titratedChlorideMilligramsPerLitre(titration: Titration): number {
  return titratedMolesPerLitre(titration) * chlorideGramsPerMole * 1000;
}
