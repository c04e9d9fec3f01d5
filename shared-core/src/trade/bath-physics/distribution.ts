/*
 * How unevenly a deposit grows: from the Wagner number and from two simple measures of the part (the sharpest edge, the least open place).
 * Called by the planner for its three thicknesses. Estimates for a plan; a solution of the field will say more (part/deposit-distribution.ts).
 */
import { FARADAY_COULOMBS_PER_MOLE } from '../faraday.js';

const GAS_CONSTANT = 8.314462618;

/**
 * RT / (α F i) in Ω·m²: how steeply the cathode's voltage rises with its current, by Tafel's law.
 *
 * Example: 200 A/m², α 0.5, 25 °C: 2.57e-4.
 */
export function tafelSlopeOhmM2(densityAmpsPerM2: number, celsius: number, transferCoefficient = 0.5): number {
  return (GAS_CONSTANT * (celsius + 273.15)) / (transferCoefficient * FARADAY_COULOMBS_PER_MOLE * densityAmpsPerM2);
}

/**
 * The same at any current, small ones too: the derivative of RT / (αF) × asinh(i / 2i₀), Butler and Volmer with symmetric branches.
 *
 * Example: 30 A/m² with i₀ 30 A/m² at 25 °C: 7.66e-4.
 */
export function kineticSlopeOhmM2(densityAmpsPerM2: number, exchangeAmpsPerM2: number, celsius: number): number {
  const atOneAmp = tafelSlopeOhmM2(1, celsius);
  return atOneAmp / Math.hypot(densityAmpsPerM2, 2 * exchangeAmpsPerM2);
}

/** Of copper in an acid bath with additives, A/m². Common practice, no source. */
export const copperExchangeAmpsPerM2 = 30;

/**
 * κ b / L: large, and the deposit is even; small, and geometry rules.
 *
 * Example: κ 20 S/m, b 2.57e-4 Ω·m², L 0.05 m: 0.1028.
 */
export function wagnerNumber(siemensPerMetre: number, slopeOhmM2: number, lengthMetres: number): number {
  return (siemensPerMetre * slopeOhmM2) / lengthMetres;
}

/**
 * Edge over average. On a flat disk (180° of bend from face to face) √(1 + 0.41 / Wa) fits the solution for linear kinetics (Newman 1966) within 2 %.
 * At a wedge the current rises with r^(π/θ − 1), θ the angle in the electrolyte (exact): a cube root at a square edge, nothing on a smooth part.
 * The constant for other bends than the disk's is borrowed from it: our own estimate.
 *
 * Example: Wa 0.1: 2.26 for a blade, 1.72 for a square edge, 1 where nothing is sharp.
 */
export function edgeToAverage(wagner: number, bendDegrees: number): number {
  const exponent = 1 - 180 / (180 + Math.min(180, Math.max(0, bendDegrees)));
  return (1 + 0.41 / wagner) ** exponent;
}

/**
 * Middle of a face over average: 1 − 0.5 / (1 + 3.25 Wa) fits the disk with linear kinetics (Newman 1966) within 1 %. With milder edges the middle lacks
 * less, none on a smooth part; between them straight, our own estimate.
 *
 * Example: Wa 0.1: 0.623 on a disk, 0.811 between square edges.
 */
export function middleToAverage(wagner: number, bendDegrees: number = 180): number {
  const sharpness = Math.min(180, Math.max(0, bendDegrees)) / 180;
  return 1 - (0.5 * sharpness) / (1 + 3.25 * wagner);
}

/**
 * Average over least thickness by how open a place is. Nickel, ASTM B508 (from a re-hosted copy): inside angles of 60°, 90°, 120°: 3.3, 2.7, 1.9; a sharp
 * recess 9.2. An inside angle θ between two walls leaves (1 − cos θ) / 2 of the directions open, a flat face all of them, so that the table becomes a curve.
 */
const recessTable = [
  [0, 9.2],
  [0.25, 3.3],
  [0.5, 2.7],
  [0.75, 1.9],
  [1, 1],
] as const;

/** Average over least thickness of a place that sees such a share of directions. Example: `averageToRecess(0.5)` is 2.7. */
export function averageToRecess(openShare: number): number {
  const at = Math.min(1, Math.max(0, openShare));
  for (let row = 1; row < recessTable.length; row++) {
    const [fromShare, from] = recessTable[row - 1]!;
    const [toShare, to] = recessTable[row]!;
    if (at <= toShare) return from + ((to - from) * (at - fromShare)) / (toShare - fromShare);
  }
  return 1;
}

/** The share of directions that an inside angle between two long walls leaves open. Example: `openShareOfAngle(90)` is 0.5. */
export function openShareOfAngle(insideDegrees: number): number {
  return (1 - Math.cos((insideDegrees * Math.PI) / 180)) / 2;
}
