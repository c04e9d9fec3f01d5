/*
 * The limiting current: how fast diffusion brings metal to the part. Above about half of it the deposit turns rough, at it powdery.
 * Called by the planner's cautions. Correlations of this kind are good to 20 or 30 %.
 */
import { FARADAY_COULOMBS_PER_MOLE } from '../faraday.js';
import type { Agitation, MetalIon } from '../baths/bath-profile.js';

const GAS_CONSTANT = 8.314462618;

/**
 * Diffusion layer in µm where the liquid is moved: 100 with part or solution moving, 50 with strong air or pump. Of the size that textbooks give; common
 * practice, no source. A still bath has a formula of its own below.
 */
export const diffusionLayerMicrometres: Readonly<Record<Exclude<Agitation, 'still'>, number>> = {
  moving: 100,
  vigorous: 50,
};

/** Kinematic viscosity of an acid copper bath, m²/s, and how much heavier a mole in a litre makes it. Both from memory. */
const viscosityM2PerSecond = 1.35e-6;
const densityRisePerMolar = 0.14;
const gravity = 9.80665;

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

/** The ion and the way that it has to go. */
export interface StillIon {
  readonly diffusivityM2PerSecond: number;
  readonly molesPerCubicMetre: number;
  readonly electronsPerIon: number;
}

/** Sh × n F D c / L in A/dm². */
function fromSherwood(sherwood: number, ion: StillIon, lengthMetres: number): number {
  const layerMicrometres = (lengthMetres / sherwood) * 1e6;
  return limitingDensityAmpsPerDm2(
    ion.diffusivityM2PerSecond,
    ion.molesPerCubicMetre,
    layerMicrometres,
    ion.electronsPerIon,
  );
}

/**
 * Of an upright plate in a still bath, where the depleted liquid rises: Sh = 0.67 (Sc Gr)^¼ (Wilke, Eisenberg and Tobias 1953, from memory), in A/dm².
 *
 * Example: D 5.5e-10 m²/s, 801 mol/m³, two electrons, 10 cm: 6.28.
 */
export function stillPlateDensityAmpsPerDm2(ion: StillIon, heightMetres: number): number {
  const schmidt = viscosityM2PerSecond / ion.diffusivityM2PerSecond;
  const buoyancy = (densityRisePerMolar * ion.molesPerCubicMetre) / 1000;
  const grashof = (gravity * heightMetres ** 3 * buoyancy) / viscosityM2PerSecond ** 2;
  return fromSherwood(0.67 * (schmidt * grashof) ** 0.25, ion, heightMetres);
}

/**
 * Of a cylinder that turns: Sh = 0.0791 Re^0.7 Sc^0.356 (Eisenberg, Tobias and Wilke 1954, from memory; Re 1e3 to 1e5), in A/dm².
 *
 * Example: the same ion, 50 mm, 20 turns a minute (Re 1939): 4.33.
 */
export function turningDensityAmpsPerDm2(ion: StillIon, diameterMetres: number, turnsPerMinute: number): number {
  const schmidt = viscosityM2PerSecond / ion.diffusivityM2PerSecond;
  const reynolds = (Math.PI * diameterMetres ** 2 * (turnsPerMinute / 60)) / viscosityM2PerSecond;
  return fromSherwood(0.0791 * reynolds ** 0.7 * schmidt ** 0.356, ion, diameterMetres);
}
