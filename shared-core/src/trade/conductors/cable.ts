/*
 * Copper cable: resistance by IEC 60228, voltage drop, heat. Called by the planner. What current a cable may carry where it lies is the local
 * code's business (NEC, IEC 60364, IEC 60287), and nothing here says it.
 */

/** IEC 60228, class 5, plain copper: most Ω/km at 20 °C for each mm² (two cable makers' tables, identical). */
export const cableOhmsPerKilometre = {
  2.5: 7.98,
  4: 4.95,
  6: 3.3,
  10: 1.91,
  16: 1.21,
  25: 0.78,
} as const;

export type CableMm2 = keyof typeof cableOhmsPerKilometre;
/** Smallest first. */
export const cableSizesMm2: readonly CableMm2[] = [2.5, 4, 6, 10, 16, 25];

/** Per kelvin at 20 °C (IEC 60028, from memory): 1.118 at 50 °C. */
const copperPerKelvin = 0.00393;

/**
 * Ohms of one cable.
 *
 * Example: 2 m of 10 mm² at 20 °C: 0.00382 Ω; 31 A lose 0.118 V and 3.7 W there.
 */
export function cableOhms(sizeMm2: CableMm2, lengthMetres: number, conductorCelsius = 20): number {
  return (cableOhmsPerKilometre[sizeMm2] / 1000) * lengthMetres * (1 + copperPerKelvin * (conductorCelsius - 20));
}

/** Heat of a metre that is warm to the hand and no more: 10 mm² at 31 A. Our own practice, no source. */
export const coolCableWattsPerMetre = 2;
/** From here on a cable is hot under a cover: 6 mm² at 31 A has 3.2. Our own practice, no source. */
export const hotCableWattsPerMetre = 3;
/** The drop that leaves the supply's ceiling to the bath. Our own practice, no source. */
export const smallDropVolts = 0.2;

/** The smallest cable that stays cool and loses little, on one such length and as so many in parallel. */
export interface CableChoice {
  readonly sizeMm2: CableMm2;
  readonly inParallel: number;
}

/** Example: 31 A over 2 m: one cable of 10 mm². */
export function cableFor(amps: number, lengthMetres: number): CableChoice {
  for (let inParallel = 1; ; inParallel++) {
    const each = amps / inParallel;
    const sizeMm2 = cableSizesMm2.find(
      (size) =>
        each * each * cableOhms(size, 1) <= coolCableWattsPerMetre &&
        each * cableOhms(size, lengthMetres) <= smallDropVolts,
    );
    if (sizeMm2 !== undefined) return { sizeMm2, inParallel };
  }
}
