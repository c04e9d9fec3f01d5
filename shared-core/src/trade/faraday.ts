/*
 * Faraday's law of electrolysis: what a charge deposits, and what charge a deposit takes. Pure arithmetic on averages:
 * the true thickness is less in recesses and more at edges, and no average can be above what is computed here.
 * Used by the planner, the run's records and the reports. A nonsensical argument is a programmer's error and throws; people's input is checked before.
 */
import { copper, type Metal } from './metals.js';

/** The Faraday constant: the exact product of the SI's elementary charge and Avogadro constant (SI 2019, CODATA). */
export const FARADAY_COULOMBS_PER_MOLE = 96485.33212;
const COULOMBS_PER_AMPERE_HOUR = 3600;
/** The controller counts charge in whole millicoulombs. */
export const MILLICOULOMBS_PER_AMPERE_HOUR = 1000 * COULOMBS_PER_AMPERE_HOUR;

function refuseUnless(isSensible: boolean, what: string, got: number, expected: string): void {
  if (!isSensible)
    throw new RangeError(`${what} is ${got}; expected ${expected}. Check the request before it is computed.`);
}

/**
 * Grams that one ampere-hour deposits at 100 % cathode efficiency: M / (z F) x 3600.
 *
 * Example: copper 1.1855 g/Ah.
 */
export function depositGramsPerAmpereHour(metal: Metal = copper): number {
  return (metal.molarMassGramsPerMole * COULOMBS_PER_AMPERE_HOUR) / (metal.electronsPerIon * FARADAY_COULOMBS_PER_MOLE);
}

/**
 * Grams deposited by a charge in ampere-hours. `cathodeEfficiency` is the share of the charge that deposits metal, above 0 up to 1;
 * about 1 in acid copper (Metal Finishing Guidebook 2011-12, p. 206, table VIII).
 *
 * Example: `depositMassGrams(310)` is 367.5.
 */
export function depositMassGrams(
  chargeAmpereHours: number,
  metal: Metal = copper,
  cathodeEfficiency: number = 1,
): number {
  refuseUnless(chargeAmpereHours >= 0, 'The charge in ampere-hours', chargeAmpereHours, '0 or more');
  refuseUnless(cathodeEfficiency > 0 && cathodeEfficiency <= 1, 'The efficiency', cathodeEfficiency, 'above 0 up to 1');
  return depositGramsPerAmpereHour(metal) * chargeAmpereHours * cathodeEfficiency;
}

/**
 * Average thickness in micrometres of a charge in ampere-hours on an area in square decimetres: 100 (g/Ah) / density x Ah/dm2.
 *
 * Example: 2 A/dm2 for 4 h, `depositThicknessMicrometres(8, 1)`, is 105.8.
 */
export function depositThicknessMicrometres(
  chargeAmpereHours: number,
  areaDm2: number,
  metal: Metal = copper,
  cathodeEfficiency: number = 1,
): number {
  refuseUnless(areaDm2 > 0, 'The area in dm2', areaDm2, 'more than 0');
  const massGrams = depositMassGrams(chargeAmpereHours, metal, cathodeEfficiency);
  return (100 * massGrams) / (metal.densityGramsPerCm3 * areaDm2);
}

/**
 * Charge in ampere-hours that gives an average thickness in micrometres on an area in square decimetres.
 *
 * Example: 300 um on 12 dm2, `chargeAmpereHoursForThickness(300, 12)`, is 272.1.
 */
export function chargeAmpereHoursForThickness(
  averageThicknessMicrometres: number,
  areaDm2: number,
  metal: Metal = copper,
  cathodeEfficiency: number = 1,
): number {
  refuseUnless(averageThicknessMicrometres >= 0, 'The thickness in um', averageThicknessMicrometres, '0 or more');
  return averageThicknessMicrometres / depositThicknessMicrometres(1, areaDm2, metal, cathodeEfficiency);
}
