/*
 * A thin layer by brush or pen: charge from the pen's own factor, since a pen wastes most of its current. Called by the planner for a second layer.
 * Never use a tank's efficiency here: implied are 28 to 95 % by metal.
 */

import { chargeAmpereHoursForThickness } from './faraday.js';
import { copper, type Metal, nickel, palladium } from './metals.js';

/**
 * Ampere-hours for a square inch and 0.0001 in (2.54 µm): ASM Handbook vol. 5, selective plating, table 1 (a re-hosted copy).
 * Silver and cadmium are printed below what Faraday allows, and are left out.
 */
export const penFactors = {
  copper: 0.013,
  'nickel-acid': 0.047,
  'nickel-alkaline': 0.017,
  palladium: 0.019,
} as const;

export type PenFactorName = keyof typeof penFactors;

const squareInchDm2 = 0.064516;
const tenThousandthMicrometres = 2.54;

const penMetals: Readonly<Record<PenFactorName, Metal>> = {
  copper,
  'nickel-acid': nickel,
  'nickel-alkaline': nickel,
  palladium,
};

/** By Faraday's law, with nothing lost; tables of density differ by half a percent. Example: copper 0.01232. */
export function leastPenFactor(pen: PenFactorName): number {
  return 0.995 * chargeAmpereHoursForThickness(tenThousandthMicrometres, squareInchDm2, penMetals[pen]);
}

/** The same factor in Ah for a dm² and a µm. Example: copper 0.0793. */
export function penAmpereHoursPerDm2Micrometre(ampereHoursPerIn2TenThousandth: number): number {
  return ampereHoursPerIn2TenThousandth / squareInchDm2 / tenThousandthMicrometres;
}

/**
 * Ampere-hours of a layer.
 *
 * Example: a factor of 0.015, 37.7 in² (24.32 dm²) and 0.002 in (50.8 µm): 11.31 Ah (Metal Finishing Guidebook 2011-12, p. 348).
 */
export function penAmpereHours(ampereHoursPerIn2TenThousandth: number, areaDm2: number, micrometres: number): number {
  return penAmpereHoursPerDm2Micrometre(ampereHoursPerIn2TenThousandth) * areaDm2 * micrometres;
}

/**
 * Turns a minute of a round part under a still pen for a surface speed: speed / circumference.
 *
 * Example: 50 ft/min on 6 in: 31.8 a minute (the same page: 50 × 3.82 / 6).
 */
export function turnsPerMinute(metresPerMinute: number, diameterMm: number): number {
  return (metresPerMinute * 1000) / (Math.PI * diameterMm);
}

/** How often the pen goes over every spot: time × speed × width of its face over the area. */
export function penPasses(hours: number, millimetresPerSecond: number, penWidthMm: number, areaDm2: number): number {
  return (hours * 3600 * millimetresPerSecond * penWidthMm) / (areaDm2 * 10_000);
}
