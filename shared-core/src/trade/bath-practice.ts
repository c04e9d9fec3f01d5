/*
 * What a recipe has to know of its bath: metal, efficiency, usual densities, temperatures. Made from a bath profile by whoever knows the bath; without one
 * a recipe is for acid copper of any kind. Read by recipe-from-request.ts and its cautions.
 */
import { brightCopper } from './baths/acid-copper.js';
import { bathProfile } from './baths/bath-list.js';
import type { BathProfile, Troubles } from './baths/bath-profile.js';
import type { RecipeRequest } from '../messages/api.js';
import { copper, type Metal } from './metals.js';
import {
  recipeDefaults,
  usualDensityAmpsPerDm2,
  usualStrikeDensityAmpsPerDm2Max,
  usualStrikeDensityAmpsPerDm2Min,
} from './recipe-defaults.js';

export interface BathPractice {
  readonly metal: Metal;
  /** Share of the charge that deposits metal. */
  readonly cathodeEfficiency: number;
  readonly densityAmpsPerDm2: { readonly min: number; readonly max: number };
  readonly strikeDensityAmpsPerDm2: { readonly min: number; readonly usual: number; readonly max: number };
  readonly startCelsiusMin: number;
  readonly warnCelsius: number;
  readonly holdCelsius: number;
  readonly troubles: Pick<Troubles, 'densityHigh' | 'densityLow'>;
  readonly isAcidCopper: boolean;
}

/** Acid copper, whichever: the widest usual densities (recipe-defaults.ts), so that a person who names no bath is warned of what burns in all of them. */
export const anyAcidCopper: BathPractice = {
  metal: copper,
  cathodeEfficiency: 1,
  densityAmpsPerDm2: usualDensityAmpsPerDm2,
  strikeDensityAmpsPerDm2: {
    min: usualStrikeDensityAmpsPerDm2Min,
    usual: recipeDefaults.strikeDensityAmpsPerDm2,
    max: usualStrikeDensityAmpsPerDm2Max,
  },
  startCelsiusMin: recipeDefaults.startCelsiusMin,
  warnCelsius: recipeDefaults.bathWarnCelsius,
  holdCelsius: recipeDefaults.bathHoldCelsius,
  troubles: brightCopper.troubles,
  isAcidCopper: true,
};

/** Example: `practiceOf(brightCopper).densityAmpsPerDm2` is 2 to 7.5. */
export function practiceOf(profile: BathProfile): BathPractice {
  return {
    metal: profile.metal,
    cathodeEfficiency: profile.cathodeEfficiency.usual,
    densityAmpsPerDm2: profile.cathodeDensityAmpsPerDm2,
    strikeDensityAmpsPerDm2: profile.strikeDensityAmpsPerDm2,
    startCelsiusMin: profile.startCelsiusMin,
    warnCelsius: profile.warnCelsius,
    holdCelsius: profile.holdCelsius,
    troubles: profile.troubles,
    isAcidCopper: profile.metal === copper,
  };
}

/** What the bath of a request is used at; a key that is no bath counts as none, and recipe-from-request.ts refuses it. */
export function practiceOfRequest(request: Pick<RecipeRequest, 'bath' | 'cathodeEfficiency'>): BathPractice {
  const profile = request.bath === undefined ? undefined : bathProfile(request.bath);
  const practice = profile === undefined ? anyAcidCopper : practiceOf(profile);
  return { ...practice, cathodeEfficiency: request.cathodeEfficiency ?? practice.cathodeEfficiency };
}
