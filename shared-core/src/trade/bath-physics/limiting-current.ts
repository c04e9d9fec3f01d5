/*
 * The limiting current: how fast diffusion brings metal to the part. Above about half of it the deposit turns rough, at it powdery.
 * Called by the planner's cautions. Correlations of this kind are good to 20 or 30 %.
 */
import { FARADAY_COULOMBS_PER_MOLE } from '../faraday.js';
import type { Agitation, MetalIon } from '../baths/bath-profile.js';

const GAS_CONSTANT = 8.314462618;

/**
 * Diffusion layer in µm: 200 still, 100 part or solution moving, 50 air or pump strong. Of the size that textbooks give for a still plate
 * (6.3 A/dm² on 10 cm, Wilke, Eisenberg and Tobias 1953, from memory: some 135 µm) and for strong agitation; common practice, no source for the classes.
 */
export const diffusionLayerMicrometres: Readonly<Record<Agitation, number>> = { still: 200, moving: 100, vigorous: 50 };

/** Diffusivity at a temperature in m²/s (Arrhenius). Example: 19.2 kJ/mol make it 1.286 times as large at 35 as at 25 °C. */
export function diffusivityM2PerSecond(ion: MetalIon, celsius: number): number {
  const perKelvin = 1 / (25 + 273.15) - 1 / (celsius + 273.15);
  return (
    ion.diffusivityM2PerSecondAt25 * Math.exp(((ion.activationKilojoulesPerMole * 1000) / GAS_CONSTANT) * perKelvin)
  );
}

/**
 * n F D c / δ in A/dm².
 *
 * Example: D 5.5e-10 m²/s, 801 mol/m³, 100 µm and two electrons: 8.50 A/dm².
 */
export function limitingDensityAmpsPerDm2(
  diffusivityM2PerSecond: number,
  molesPerCubicMetre: number,
  layerMicrometres: number,
  electronsPerIon: number,
): number {
  return (
    (electronsPerIon * FARADAY_COULOMBS_PER_MOLE * diffusivityM2PerSecond * molesPerCubicMetre) /
    (layerMicrometres * 1e-6) /
    100
  );
}
