/*
 * Molar masses of what is weighed and titrated, in g/mol, and copper as its salt. Read by make-up, titrations and corrections.
 * Copper 63.546: IUPAC (metals.ts). CuSO4·5H2O 249.69 and H2SO4 98.08 as printed in USP 28; chlorine 35.45, sodium 22.99, hydrogen 1.008: CIAAW, from memory.
 */
import { copper } from '../metals.js';

export const sulphateGramsPerMole = 249.685;
export const sulphuricAcidGramsPerMole = 98.08;
export const chlorideGramsPerMole = 35.45;
export const sodiumChlorideGramsPerMole = 58.44;
export const hydrogenChlorideGramsPerMole = 36.46;

/** Copper metal in a mass of CuSO4·5H2O. Example: `copperOfSulphate(200)` is 50.90. */
export function copperOfSulphate(sulphateGrams: number): number {
  return (sulphateGrams * copper.molarMassGramsPerMole) / sulphateGramsPerMole;
}

/** The CuSO4·5H2O that holds a mass of copper. Example: `sulphateOfCopper(50.9)` is 200. */
export function sulphateOfCopper(copperGrams: number): number {
  return (copperGrams * sulphateGramsPerMole) / copper.molarMassGramsPerMole;
}
