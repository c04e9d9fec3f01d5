/*
 * From what the person typed to a recipe, checked against the rig it is meant for, with the night ahead as pieces.
 * Called by the page's routes, the demonstration and the rehearsal. Sends nothing.
 */
import type { Recipe, RigLimits } from '@bathkeeper/shared-core/control';
import { Phase } from '@bathkeeper/shared-core/control';
import type { RecipePreview, RecipeRequest, RecipeView } from '@bathkeeper/shared-core/messages';
import { plannedRest } from '../night/planned-rest.js';

const FARADAY_COULOMBS_PER_MOL = 96_485.33212;
const COPPER_GRAMS_PER_MOL = 63.546;
const COPPER_ELECTRONS = 2;
const COPPER_GRAMS_PER_CM3 = 8.96;

export function recipeFor(
  request: RecipeRequest,
  rig: RigLimits,
  recipeId: number,
  nowMs: number,
): { recipe: Recipe | undefined; preview: RecipePreview } {
  const gramsPerAmpereHour = (COPPER_GRAMS_PER_MOL * 3600) / (COPPER_ELECTRONS * FARADAY_COULOMBS_PER_MOL);
  const micrometresPerAmpereHour = (100 * gramsPerAmpereHour) / COPPER_GRAMS_PER_CM3 / request.areaDm2;
  const chargeAmpereHours =
    request.chargeAmpereHours ?? (request.averageThicknessMicrometres ?? 0) / micrometresPerAmpereHour;
  const plateAmps = request.areaDm2 * request.currentDensityAmpsPerDm2;
  const strikeAmps = Math.min(plateAmps, request.areaDm2 * (request.strikeDensityAmpsPerDm2 ?? 0.3));
  const view: RecipeView = {
    recipeId,
    partName: request.partName,
    areaDm2: request.areaDm2,
    currentDensityAmpsPerDm2: request.currentDensityAmpsPerDm2,
    plateAmps,
    strikeAmps,
    strikeSeconds: Math.round((request.strikeMinutes ?? 10) * 60),
    rampSeconds: Math.round((request.rampMinutes ?? 30) * 60),
    finishAmps: Math.min(plateAmps, request.areaDm2 * 0.15),
    finishSeconds: 3600,
    chargeAmpereHours,
    averageThicknessMicrometres: chargeAmpereHours * micrometresPerAmpereHour,
    depositMassGrams: chargeAmpereHours * gramsPerAmpereHour,
    bathWarnCelsius: 28,
    bathHoldCelsius: 32,
    rotationPulsesPerMinute: request.rotationPulsesPerMinute ?? 6,
    plannedSeconds: 0,
  };
  const planned = plannedRest(
    view,
    { phase: Phase.strike, phaseSeconds: 0, chargeAmpereHours: 0, permittedAmps: 0, derateFraction: 1 },
    nowMs,
  );
  const plannedSeconds = Math.round(((planned.at(-1)?.atMs ?? nowMs) - nowMs) / 1000);
  const refusals: string[] = [];
  if (plateAmps > rig.currentAmpsMax)
    refusals.push(
      `The plating current is ${plateAmps.toFixed(1)} A, the rig's limit is ${String(rig.currentAmpsMax)} A. Lower the current density or plate a smaller area.`,
    );
  const longestSeconds = Math.min(Math.round(plannedSeconds * 1.25), rig.runSecondsMax);
  if (plannedSeconds > rig.runSecondsMax)
    refusals.push(
      `The run would last ${(plannedSeconds / 3600).toFixed(1)} h, the rig's limit is ${(rig.runSecondsMax / 3600).toFixed(1)} h. Plate less, or faster.`,
    );
  const cautions: string[] = [];
  return {
    recipe: {
      recipeId,
      areaDm2: view.areaDm2,
      strikeAmps,
      strikeSeconds: view.strikeSeconds,
      rampSeconds: view.rampSeconds,
      plateAmps,
      chargeMilliCoulombs: Math.round(chargeAmpereHours * 3_600_000),
      finishAmps: view.finishAmps,
      finishSeconds: view.finishSeconds,
      holdAmps: Math.min(plateAmps, view.areaDm2 * 0.3),
      longestSeconds,
      rotationPulsesPerMinute: view.rotationPulsesPerMinute,
      startCelsiusMin: 18,
      bathWarnCelsius: 28,
      bathHoldCelsius: 32,
    },
    preview: { recipe: { ...view, plannedSeconds }, refusals, cautions, planned },
  };
}
