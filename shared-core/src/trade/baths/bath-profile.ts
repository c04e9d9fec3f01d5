/*
 * What is usual in a bath: composition, temperature, current densities, efficiency, conductivity, and what goes wrong outside. The contract between
 * the profiles beside this file and the planner. Each number carries its source; nothing here forbids anything.
 */
import type { Metal } from '../metals.js';

/** A usual range of practice. */
export interface Range {
  readonly min: number;
  readonly max: number;
  /** Published with its place, "from memory", or "common practice, no source". */
  readonly source: string;
}

/** A range, and the value in it that is taken when nobody says otherwise. */
export interface UsualRange extends Range {
  readonly usual: number;
}

export interface Constituent extends UsualRange {
  readonly name: string;
  readonly unit: 'g/L' | 'mg/L' | 'mL/L';
}

/** What goes wrong, in the trade's words, as ends of a sentence: "expect burning, a dark powdery deposit …". */
export interface Troubles {
  readonly densityHigh: string;
  readonly densityLow: string;
  readonly anodeDensityHigh: string;
  readonly anodeDensityLow: string;
  readonly warm: string;
  readonly cold: string;
  readonly source: string;
}

/** How well the bath moves at the part. */
export type Agitation = 'still' | 'moving' | 'vigorous';

/** What is needed for a limiting current: the metal's ion in the bath. */
export interface MetalIon {
  readonly molesPerCubicMetre: number;
  readonly diffusivityM2PerSecondAt25: number;
  /** Of the diffusion. */
  readonly activationKilojoulesPerMole: number;
  readonly source: string;
}

export interface BathProfile {
  /** As it is typed and stored: "bright-copper". */
  readonly key: string;
  readonly name: string;
  readonly metal: Metal;
  readonly purpose: string;
  readonly composition: readonly Constituent[];
  readonly cathodeDensityAmpsPerDm2: UsualRange;
  readonly anodeDensityAmpsPerDm2: Range;
  /** Anode area over cathode area. */
  readonly anodeAreaRatio: UsualRange;
  readonly bathCelsius: UsualRange;
  /** Share of the charge that deposits metal, above 0 up to 1. */
  readonly cathodeEfficiency: UsualRange;
  /** At 25 °C. Highest and lowest are what an unmeasured bath may have. */
  readonly conductivitySiemensPerMetre: UsualRange;
  readonly conductivityPerKelvin: number;
  /** At 20 °C. */
  readonly densityKgPerM3: UsualRange;
  /** Cathode and anode together, at usual densities: what the voltage has beside resistance. */
  readonly electrodeVolts: UsualRange;
  /** Undefined where no source gives what a limiting current needs. */
  readonly ion?: MetalIon;
  /** Gentle first current on conductive paint, in A/dm². */
  readonly strikeDensityAmpsPerDm2: UsualRange;
  /** A start needs at least this; above, a warning, and above that the keep-alive current. */
  readonly startCelsiusMin: number;
  readonly warnCelsius: number;
  readonly holdCelsius: number;
  readonly anodes: string;
  /** What is used up with the charge, litres for 1000 Ah. Undefined where the bath has none. */
  readonly brightenerLitresPerKiloampereHour?: UsualRange;
  readonly troubles: Troubles;
  /** What a person must know before choosing it; empty for the acid copper baths that this project is made for. */
  readonly cautions: readonly string[];
}

/** A range in one line. */
export function usual(min: number, usualValue: number, max: number, source: string): UsualRange {
  return { min, usual: usualValue, max, source };
}
