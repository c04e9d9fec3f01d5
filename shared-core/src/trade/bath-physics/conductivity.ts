/*
 * Conductivity of a bath: what the profile says at its temperature, and the bound that no acid copper bath can be above. Called by the planner's
 * voltage. Nobody's formula for a room-temperature plating bath was found, so a measured value always comes first.
 */

/** Conductivity in S/m at a temperature, from that at 25 °C. Its sign is published (Hotlos and Jaskula 1988); its size is common practice, no source. */
export function conductivityAt(siemensPerMetreAt25: number, perKelvin: number, celsius: number): number {
  return siemensPerMetreAt25 * Math.max(0.1, 1 + perKelvin * (celsius - 25));
}

/** Sulphuric acid, g/mol. */
const acidGramsPerMole = 98.079;

/**
 * Sulphuric acid alone at 25 °C in S/m: an upper bound for a copper bath with as much acid, since copper sulphate lowers it.
 * Gu and others, after Tiedemann and Newman, as printed in the open library PyBaMM: 10⁻⁴ c exp(6.23 − 1.34e-4 c − 1.61e-8 c²), c in mol/m³.
 *
 * Example: `acidConductivitySiemensPerMetre(60)` is 28.45.
 */
export function acidConductivitySiemensPerMetre(acidGramsPerLitre: number): number {
  const c = (acidGramsPerLitre / acidGramsPerMole) * 1000;
  return 1e-4 * c * Math.exp(6.23 - 1.34e-4 * c - 1.61e-8 * c * c);
}
