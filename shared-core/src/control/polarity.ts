/*
 * The first current of a start: low, so that a reversed or open lead does no harm to the paint before it is noticed.
 * Called by the supervisor in each step of the phase polarity. Changes no phase; what is wrong becomes a condition.
 */
import { CEILING_FRACTION, type Recipe, type RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';
import { type Inputs, SupplyKind } from './signals.js';

/** Our own practice, no source. A person who sets the supply by hand needs longer. */
const PROVEN_MS = 1000;
const NO_CURRENT_MS = 30000;
const NO_CURRENT_BY_HAND_MS = 300000;
/** The current that surely flows the wrong way: beyond the shunt's offset. */
const WRONG_WAY_AMPS = -0.1;
/** A supply at its ceiling can give no more: on paint of up to 80 ohm at 8 V this current shows the way as well as half of what was asked. */
const RIGHT_WAY_AMPS = 0.1;

/**
 * The low first set-point in amperes: a fifth of strike, at least 0.2 A, never above strike. Of a recipe without a strike current: at most plateAmps.
 *
 * Example: strike 4 A: 0.8 A; strike 0.1 A: 0.1 A.
 */
export function polarityAmps(recipe: Recipe): number {
  return Math.min(recipe.strikeAmps || recipe.plateAmps, Math.max(0.2, recipe.strikeAmps / 5));
}

/** Forgets what an earlier start has shown. Called when the phase is entered. */
export function beginPolarity(state: RunState): void {
  state.currentProvenSinceMs = NaN;
}

/** Looks at the first current: half of what is permitted, or what paint lets through at the supply's ceiling. A reading that is no number proves nothing. */
export function watchPolarity(state: RunState, inputs: Inputs, limits: RigLimits): void {
  const permittedAmps = state.outputs.permittedAmps;
  const isAtCeiling = inputs.terminalVolts >= CEILING_FRACTION * limits.terminalVoltsMax;
  const isFlowing =
    !inputs.monitorFault &&
    permittedAmps > 0 &&
    inputs.terminalVolts > 0 &&
    (inputs.currentAmps >= permittedAmps / 2 || (isAtCeiling && inputs.currentAmps >= RIGHT_WAY_AMPS));
  if (!isFlowing) state.currentProvenSinceMs = NaN;
  else if (isNaN(state.currentProvenSinceMs)) state.currentProvenSinceMs = state.clockMs;
  state.polarityIsWrong = inputs.currentAmps <= WRONG_WAY_AMPS;
  const waitMs = state.supplyKind === SupplyKind.byHand ? NO_CURRENT_BY_HAND_MS : NO_CURRENT_MS;
  state.startHasNoCurrent = !isFlowing && state.clockMs - state.phaseSinceMs >= waitMs;
}

/** In polarity: enough current has flowed the right way for long enough. */
export function polarityIsProven(state: RunState): boolean {
  return state.clockMs - state.currentProvenSinceMs >= PROVEN_MS;
}
