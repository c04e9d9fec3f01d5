/*
 * Water that went between two levels against what evaporates from the open surface. Called by the bath's page. The published formulas disagree by up to 1.7, so what
 * is expected is good to a factor of two; what hung on parts, leaks and drawing off that nobody wrote down come on top.
 */
import { evaporationKgPerHourM2 } from '../bath-physics/evaporation.js';
import { waterDensityKgPerM3 } from '../bath-physics/solution-density.js';
import { type Loss, inOrder } from './bath-account.js';
import type { LedgerEntry } from './ledger-entry.js';

/** How the tank stands open, from then on. */
export interface OpenTankAsked {
  readonly kind: 'tank';
  readonly openSurfaceDm2: number;
  /** As it usually stands, nights and days. */
  readonly bathCelsius: number;
  readonly isAirAgitated: boolean;
}

/** Either way: EPA 625/8-82-008 against Kirman, see evaporation.ts. */
export const EVAPORATION_FACTOR = 2;

/** From how long on a loss is held against evaporation: within less, reading a mark is off by as much as evaporates. Common practice, no source. */
export const COMPARED_HOURS = 24;

export interface WaterLoss extends Loss {
  /** It went in COMPARED_HOURS at least; else it is neither more nor less. */
  readonly isCompared: boolean;
  /** null: nobody wrote down how the tank stands open. */
  readonly expectedLitres: number | null;
  /** Against what is expected, beyond its factor. */
  readonly isMore: boolean;
  readonly isLess: boolean;
}

/** Litres that evaporate in so many hours. Example: 20 dm² still at 26.7 °C in 24 h: 1.95. */
export function evaporatedLitres({ openSurfaceDm2, bathCelsius, isAirAgitated }: OpenTankAsked, hours: number): number {
  const kilograms = evaporationKgPerHourM2(bathCelsius, isAirAgitated) * (openSurfaceDm2 / 100) * hours;
  return (kilograms / waterDensityKgPerM3(20)) * 1000;
}

/** A loss with what was to be expected of the tank as it was written down last before its end. */
export function waterLoss(loss: Loss, entries: readonly LedgerEntry[]): WaterLoss {
  const hours = (loss.toMs - loss.fromMs) / 3_600_000;
  const isCompared = hours >= COMPARED_HOURS;
  const tanks = inOrder(entries).filter(({ body }) => body.kind === 'tank');
  const tank = (tanks.findLast(({ atMs }) => atMs <= loss.toMs) ?? tanks[0])?.body;
  if (tank?.kind !== 'tank') return { ...loss, isCompared, expectedLitres: null, isMore: false, isLess: false };
  const expectedLitres = evaporatedLitres(tank, hours);
  return {
    ...loss,
    isCompared,
    expectedLitres,
    isMore: isCompared && loss.litres > expectedLitres * EVAPORATION_FACTOR,
    isLess: isCompared && loss.litres < expectedLitres / EVAPORATION_FACTOR,
  };
}
