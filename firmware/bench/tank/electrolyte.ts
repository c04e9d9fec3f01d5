/*
 * Formulas of the tank that have a source of their own: resistance, kinetics, the resistive paint, Faraday, heat.
 * Pure functions, called by the cell and by the tests. All are textbook; the sources stand with each.
 */

/** Faraday constant, C/mol: the exact product e x N_A (SI 2019). */
export const FARADAY_COULOMBS_PER_MOL = 96485.33212;
/** Standard atomic weight of copper, g/mol (IUPAC). */
export const COPPER_GRAMS_PER_MOL = 63.546;
/** g/cm3, handbook value (from memory). */
export const COPPER_GRAMS_PER_CM3 = 8.96;
/** Conductivity of copper, S/m: 58 MS/m (IEC 60028, from memory). */
export const COPPER_SIEMENS_PER_METRE = 58e6;
const GAS_CONSTANT = 8.314462618;

/** Resistance of liquid between parallel plates, d / (kappa A). `plateOhms(0.1, 25, 0.01)` is 0.4 ohm. */
export function plateOhms(gapMetres: number, siemensPerMetre: number, areaM2: number): number {
  return gapMetres / (siemensPerMetre * areaM2);
}

/** Conductivity at a temperature, from that at 25 Celsius; never below a tenth of it. */
export function conductivitySiemensPerMetre(at25: number, fractionPerKelvin: number, celsius: number): number {
  return at25 * Math.max(0.1, 1 + fractionPerKelvin * (celsius - 25));
}

/** RT / (alpha F) in volts: the slope of the kinetics per e-fold. `kineticVolts(0.5, 25)` is 0.0514 V. */
export function kineticVolts(transferCoefficient: number, celsius: number): number {
  return (GAS_CONSTANT * (celsius + 273.15)) / (transferCoefficient * FARADAY_COULOMBS_PER_MOL);
}

/** Overpotential by Butler and Volmer, symmetric branches: linear at first, Tafel's logarithm when i is many i0. */
export function overpotentialVolts(slopeVolts: number, ampsPerDm2: number, exchangeAmpsPerDm2: number): number {
  return slopeVolts * Math.asinh(ampsPerDm2 / (2 * exchangeAmpsPerDm2));
}

/**
 * How many times the resistance of an ideal electrode a resistive one has that is fed at its edge: v coth v with
 * v = L sqrt(Rs / r), r the area resistance in ohm m2 (Tobias and Wijsman 1953, from memory; derivable).
 * `resistivePartFactor(3)` is 3.0149.
 */
export function resistivePartFactor(v: number): number {
  return v < 1e-3 ? 1 + (v * v) / 3 : v / Math.tanh(v);
}

/** Mass of copper(II) that a charge deposits. `copperGrams(3600)` is 1.18549 g at 100 % efficiency. */
export function copperGrams(coulombs: number, cathodeEfficiency = 1): number {
  return (coulombs * cathodeEfficiency * COPPER_GRAMS_PER_MOL) / (2 * FARADAY_COULOMBS_PER_MOL);
}

/** Average thickness of that copper on an area. 1 Ah on 1 dm2 is 13.231 micrometres. */
export function copperMicrometres(grams: number, areaDm2: number): number {
  return (grams / COPPER_GRAMS_PER_CM3 / (areaDm2 * 100)) * 1e4;
}

/** Kelvin an hour when no heat leaves. `adiabaticKelvinPerHour(93, 60, 1160, 3450)` is 1.394. */
export function adiabaticKelvinPerHour(
  watts: number,
  litres: number,
  kgPerM3: number,
  joulesPerKgKelvin: number,
): number {
  return (watts * 3600) / ((litres / 1000) * kgPerM3 * joulesPerKgKelvin);
}
