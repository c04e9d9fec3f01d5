/*
 * Entries about the care of a bath: test panels, filtration, carbon, anodes, waste. Shapes as they are asked for and as they are kept; part of ledger-entry.ts.
 */
import type { ReminderAsked } from './care-reminders.js';
import type { HullCell, HullFound, HullSeen } from './hull-cell.js';
import type { OpenTankAsked } from './water-loss.js';
import type { ThrowingFormula } from './throwing-power.js';

export interface HullCellAsked {
  readonly kind: 'hull-cell';
  readonly cell: HullCell;
  readonly cellAmps: number;
  readonly minutes: number;
  readonly isStirred: boolean;
  readonly bathCelsius?: number | undefined;
  /** From the edge of the highest current density on. */
  readonly seen: readonly HullSeen[];
}
export interface HullCellBody extends HullCellAsked {
  readonly seen: readonly HullFound[];
}

/** What two cathodes gained at unequal distances. */
export interface ThrowingPowerAsked {
  readonly kind: 'throwing-power';
  readonly nearGrams: number;
  readonly farGrams: number;
  /** Distance of the far one over that of the near one. */
  readonly distanceRatio: number;
  readonly formula: ThrowingFormula;
}
export interface ThrowingPowerBody extends ThrowingPowerAsked {
  readonly percent: number;
}

export interface FiltrationAsked {
  readonly kind: 'filtration';
  readonly how: 'continuous' | 'batch';
  readonly poreMicrometres?: number | undefined;
  readonly hours?: number | undefined;
  /** Cartridge, bag or paper was new. */
  readonly isMediumNew: boolean;
}

/** Activated carbon takes organic matter out, brightener as well. */
export interface CarbonTreatmentAsked {
  readonly kind: 'carbon-treatment';
  readonly how: 'powder' | 'cartridge';
  readonly grams?: number | undefined;
  readonly hours?: number | undefined;
  readonly bathCelsius?: number | undefined;
}

/** All anodes together, rinsed and dry, without hooks and bags. */
export interface AnodesWeighedAsked {
  readonly kind: 'anodes-weighed';
  readonly grams: number;
}

/** What was taken out of the tank and put into it, each weighed; either may be nothing. */
export interface AnodesChangedAsked {
  readonly kind: 'anodes-changed';
  readonly takenOutGrams: number;
  readonly putInGrams: number;
}

/** What is collected and handed over. Liquids by the litre, solids by the kilogram. */
export const wastes = {
  bath: { name: 'bath solution', unit: 'L' },
  rinse: { name: 'rinse water', unit: 'L' },
  'other-liquid': { name: 'another liquid', unit: 'L' },
  filters: { name: 'used filters and carbon', unit: 'kg' },
  sludge: { name: 'anode sludge', unit: 'kg' },
  'other-solid': { name: 'another solid', unit: 'kg' },
} as const;
export type Waste = keyof typeof wastes;
export const wasteKeys = Object.keys(wastes) as [Waste, ...Waste[]];

/** Bath solution that is collected leaves the tank; everything else only stands there to be handed over. */
export interface WasteCollectedAsked {
  readonly kind: 'waste-collected';
  readonly what: Waste;
  readonly amount: number;
  /** Where it stands, as its label says. */
  readonly container: string;
}

export interface WasteHandedOverAsked {
  readonly kind: 'waste-handed-over';
  readonly what: Waste;
  readonly amount: number;
  readonly toWhom: string;
}

/** What is kept as it was asked. */
export type PlainCareAsked =
  | FiltrationAsked
  | CarbonTreatmentAsked
  | AnodesWeighedAsked
  | AnodesChangedAsked
  | WasteCollectedAsked
  | WasteHandedOverAsked
  | ReminderAsked
  | OpenTankAsked;
export type CareAsked = HullCellAsked | ThrowingPowerAsked | PlainCareAsked;
export type CareBody = HullCellBody | ThrowingPowerBody | PlainCareAsked;
