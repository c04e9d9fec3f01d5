/*
 * The output gate: the last word on every current before it reaches the supply, whoever asked for it.
 * Called at the end of each step and again by whatever writes the set-point. It can only lower; it powers up at zero.
 */
import { isLive } from './phase.js';
import type { RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';

/**
 * The highest current in amperes that this run may ever see, and the alert limit of the shunt monitor: the lower of the rig's limit and
 * 1.2 times the recipe's highest current (plateAmps: no recipe is taken whose other currents are above it). 0 when the limits cannot be read.
 *
 * Example: rig 35 A, recipe 20 A: 24 A.
 */
export function runLimitAmps(state: RunState, limits: RigLimits): number {
  const limitAmps = state.recipe
    ? Math.min(limits.currentAmpsMax, 1.2 * state.recipe.plateAmps)
    : limits.currentAmpsMax;
  return limitAmps > 0 ? limitAmps : 0;
}

/**
 * Permitted current in amperes: what was requested, never above the run's limit, and 0 unless the phase is live and the contactor enabled.
 * Zero always passes; a negative or unreadable request becomes 0.
 */
export function gatedAmps(requestedAmps: number, state: RunState, limits: RigLimits): number {
  return requestedAmps > 0 && isLive(state.phase) && state.outputs.contactorEnabled
    ? Math.min(requestedAmps, runLimitAmps(state, limits))
    : 0;
}
