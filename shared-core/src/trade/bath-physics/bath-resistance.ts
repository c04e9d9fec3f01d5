/*
 * Resistance of the liquid between anodes and part. Called by the planner's voltage. A geometry in one number: real tanks differ by a quarter or so.
 */

/**
 * gap / (κ √(A_part · A_anode)) in ohms: exact for concentric spheres and for parallel plates of one size, between them for all else.
 *
 * Example: spheres of 1 and 10 cm radius (gap 9 cm) and 25 S/m: 0.28648 Ω.
 */
export function bathOhms(gapMetres: number, siemensPerMetre: number, partM2: number, anodeM2: number): number {
  return gapMetres / (siemensPerMetre * Math.sqrt(partM2 * anodeM2));
}
