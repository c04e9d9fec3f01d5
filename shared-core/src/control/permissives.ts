/*
 * What must be true before a press at the bath can start a run. Asked each step in every phase that is not live, so the
 * person sees at once what is still missing. Never closes anything: it only lets the contactor's chain be closed by the press.
 */
import { Permissive, RecipeFault } from './codes.js';
import { Phase } from './phase.js';
import { monitorFaultOf, probeIsGood, pulseAgeSeconds } from './readings.js';
import { recipeFault } from './recipe-check.js';
import type { RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';
import type { Inputs } from './signals.js';

function missing(isFulfilled: boolean, permissive: Permissive): number {
  return isFulfilled ? 0 : 1 << (permissive - 1);
}

/**
 * The missing permissives as a mask, bit (code - 1); 0: a press may start the run. While the start is closing the contactor
 * (`isClosing`) its being open and the terminals' being dead are no longer asked.
 */
export function permissivesMissing(
  state: RunState,
  inputs: Inputs,
  limits: RigLimits,
  settingsAreValid: boolean,
  isClosing: boolean,
): number {
  const recipe = state.recipe;
  const monitorIsGood = !monitorFaultOf(inputs);
  const pulsesPerMinute = recipe ? recipe.rotationPulsesPerMinute : 0;
  return (
    missing(settingsAreValid, Permissive.settingsValid) |
    missing(
      recipe !== undefined && state.phase !== Phase.done && recipeFault(recipe, limits) === RecipeFault.none,
      Permissive.recipeLoaded,
    ) |
    missing(monitorIsGood, Permissive.monitorGood) |
    missing(probeIsGood(inputs), Permissive.probeGood) |
    missing(
      recipe !== undefined &&
        probeIsGood(inputs) &&
        inputs.bathCelsius >= recipe.startCelsiusMin &&
        inputs.bathCelsius <= recipe.bathWarnCelsius,
      Permissive.bathWithinStartBand,
    ) |
    missing(
      !pulsesPerMinute || pulseAgeSeconds(state) <= Math.max(20, 150 / pulsesPerMinute),
      Permissive.rotationSeen,
    ) |
    missing(!inputs.emergencyStopPressed, Permissive.emergencyStopReleased) |
    missing(!inputs.alertLatchOpen, Permissive.alertLatchClosed) |
    missing(isClosing || !inputs.contactorClosed, Permissive.contactorOpen) |
    missing(isClosing || (monitorIsGood && Math.abs(inputs.terminalVolts) < 0.5), Permissive.terminalsBelowHalfVolt)
  );
}
