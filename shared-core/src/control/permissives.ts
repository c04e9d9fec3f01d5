/*
 * What must be true before a press at the bath can start a run. Asked each step in every phase that is not live, so the
 * person sees at once what is still missing. Never closes anything: it only lets the contactor's chain be closed by the press.
 */
import { Permissive } from './codes.js';
import { Phase } from './phase.js';
import { probeIsBad } from './looks.js';
import { rigFault } from './recipe-check.js';
import type { RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';
import type { Inputs } from './signals.js';
import { CLIP_HOT_CELSIUS } from './slow-looks.js';

function missing(isFulfilled: boolean | undefined, permissive: Permissive): number {
  return isFulfilled ? 0 : 1 << (permissive - 1);
}

/**
 * The missing permissives as a mask, bit (code - 1); 0: a press may start the run. While the start is closing the contactor (`isClosing`) its being open and the terminals' being dead are no longer asked.
 */
export function permissivesMissing(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  monitorIsGood: boolean,
  isClosing: boolean,
): number {
  const recipe = state.recipe;
  return (
    missing(settingsAreValid, Permissive.settingsValid) |
    missing(recipe && state.phase !== Phase.done && !rigFault(recipe, limits), Permissive.recipeLoaded) |
    missing(monitorIsGood, Permissive.monitorGood) |
    missing(!probeIsBad(inputs), Permissive.probeGood) |
    missing(
      recipe &&
        !probeIsBad(inputs) &&
        inputs.bathCelsius >= recipe.startCelsiusMin &&
        inputs.bathCelsius <= recipe.bathWarnCelsius,
      Permissive.bathWithinStartBand,
    ) |
    missing(
      !recipe ||
        !recipe.rotationPulsesPerMinute ||
        state.clockMs - state.lastPulseAtMs <= Math.max(20000, 150000 / recipe.rotationPulsesPerMinute),
      Permissive.rotationSeen,
    ) |
    missing(!inputs.emergencyStopPressed, Permissive.emergencyStopReleased) |
    missing(!inputs.alertLatchOpen, Permissive.alertLatchClosed) |
    missing(isClosing || !inputs.contactorClosed, Permissive.contactorOpen) |
    missing(isClosing || Math.abs(inputs.terminalVolts) < 0.5, Permissive.terminalsBelowHalfVolt) |
    missing(state.latchIsProven, Permissive.alertLatchProven) |
    missing(!inputs.supplyFault && inputs.supplyAtZero, Permissive.supplyAtZero) |
    // (A further probe that is fitted and cannot be read is no number, and not below its limit.)
    missing(
      !inputs.leakSeen && !inputs.smokeSeen && !inputs.liquidLow && inputs.clipCelsius < CLIP_HOT_CELSIUS,
      Permissive.watchersGood,
    ) |
    missing(!inputs.memoryFault, Permissive.memoryGood)
  );
}
