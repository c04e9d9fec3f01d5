/*
 * Copper by titration, with EDTA (buffered, murexide or PAN) or iodometrically with thiosulphate. One formula for both: one mole of titrant stands for one of
 * copper. Called where an analysis is written into the ledger. EDTA takes other metals too, thiosulphate is disturbed by iron(III).
 */
import { copper } from '../metals.js';
import { type Titration, titratedMolesPerLitre } from './titration.js';

/**
 * Grams of copper metal in a litre of bath. EDTA: Cu2+ + EDTA 1:1. Thiosulphate: 2 Cu2+ + 4 I- = 2 CuI + I2, I2 + 2 S2O3(2-) = 2 I- + S4O6(2-) (AOAC 942.01).
 *
 * Example: 1 mL of 0.03 mol/L thiosulphate for 1 mL of bath is 1.906.
 */
export function titratedCopperGramsPerLitre(titration: Titration): number {
  return titratedMolesPerLitre(titration) * copper.molarMassGramsPerMole;
}
