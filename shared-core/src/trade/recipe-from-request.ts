/*
 * From what a person typed to a recipe that this rig can run, with every refusal and caution in whole sentences.
 * Called by the dashboard for the preview and again when the recipe is sent; the controller checks once more by itself. Sends nothing.
 */
import { RecipeFault } from '../control/codes.js';
import { recipeFault } from '../control/recipe-check.js';
import type { Recipe, RigLimits } from '../control/recipe.js';
import type { RecipePreview, RecipeRequest, RecipeView } from '../messages/api.js';
import { type BathPractice, practiceOfRequest } from './bath-practice.js';
import { bathProfile, bathProfiles } from './baths/bath-list.js';
import { chargeAmpereHoursForThickness, depositMassGrams, depositThicknessMicrometres } from './faraday.js';
import { plannedNight, plannedPoints, secondsToFinish } from './planned-night.js';
import { longestRunSeconds, recipeDefaults } from './recipe-defaults.js';
import { recipeCautions } from './recipe-cautions.js';
import { shown, significant } from './shown.js';

export interface RequestedRecipe {
  /** undefined when there is any refusal. */
  readonly recipe: Recipe | undefined;
  readonly preview: RecipePreview;
}

function thousandths(value: number): number {
  return Math.round(value * 1000) / 1000;
}

/** What is wrong with the numbers as typed, before anything is computed from them. */
function requestFaults(request: RecipeRequest): string[] {
  const faults: string[] = [];
  const check = (value: number | undefined, name: string, min: number, max: number, unit: string): void => {
    if (value === undefined) return;
    if (!(typeof value === 'number' && value >= min && value <= max)) {
      faults.push(
        `The ${name} has to be ${significant(min, 6)} to ${significant(max, 6)} ${unit}, got ${String(value)}. Enter it again.`,
      );
    }
  };
  check(request.areaDm2 ?? NaN, 'area', 0.01, 10_000, 'dm²');
  check(request.currentDensityAmpsPerDm2 ?? NaN, 'current density', 0.01, 100, 'A/dm²');
  check(request.averageThicknessMicrometres, 'average thickness', 0.1, 20_000, 'µm');
  check(request.chargeAmpereHours, 'charge', 0.001, 200_000, 'Ah');
  check(request.strikeDensityAmpsPerDm2, 'strike density', 0, 100, 'A/dm²');
  check(request.strikeMinutes, 'strike', 0, 1_440, 'min');
  check(request.rampMinutes, 'ramp', 0, 1_440, 'min');
  check(request.rotationPulsesPerMinute, 'rotation', 0, 600, 'pulses a minute');
  check(request.cathodeEfficiency, 'cathode efficiency', 0.01, 1, '(a share: 1 is 100 %)');
  if (request.bath !== undefined && bathProfile(request.bath) === undefined) {
    faults.push(
      `There is no bath called "${request.bath}": expected one of ${bathProfiles.map((each) => each.key).join(', ')}. Choose one of them.`,
    );
  }
  if ((request.averageThicknessMicrometres === undefined) === (request.chargeAmpereHours === undefined)) {
    faults.push(
      'A run ends at an average thickness or at a charge, and exactly one of the two has to be given. ' +
        `Got ${request.chargeAmpereHours === undefined ? 'neither' : 'both'}. Enter one and leave the other empty.`,
    );
  }
  return faults;
}

/** What the recipe's thickness and mass stand on. */
function bathOf(
  request: RecipeRequest,
  practice: BathPractice,
): Pick<RecipeView, 'bath' | 'metal' | 'cathodeEfficiency'> {
  return { bath: request.bath ?? null, metal: practice.metal.name, cathodeEfficiency: practice.cathodeEfficiency };
}

/** The view of a request that cannot be computed: what was typed, and zeros. */
function emptyView(request: RecipeRequest, recipeId: number, practice: BathPractice): RecipeView {
  return {
    recipeId,
    partName: request.partName,
    areaDm2: request.areaDm2,
    currentDensityAmpsPerDm2: request.currentDensityAmpsPerDm2,
    plateAmps: 0,
    strikeAmps: 0,
    strikeSeconds: 0,
    rampSeconds: 0,
    finishAmps: 0,
    finishSeconds: 0,
    holdAmps: 0,
    chargeAmpereHours: 0,
    averageThicknessMicrometres: 0,
    depositMassGrams: 0,
    ...bathOf(request, practice),
    bathWarnCelsius: practice.warnCelsius,
    bathHoldCelsius: practice.holdCelsius,
    rotationPulsesPerMinute: 0,
    plannedSeconds: 0,
  };
}

/** What this rig does not allow of a recipe that makes sense in itself. */
function rigRefusals(recipe: Recipe, finishAfterSeconds: number, limits: RigLimits): string[] {
  const refusals: string[] = [];
  if (!isFinite(limits.currentAmpsMax + limits.runSecondsMax + limits.bathCelsiusMax)) {
    return [
      'The limits of this rig cannot be read, so no recipe can be checked against them. Check the settings of the controller at the bath.',
    ];
  }
  if (recipe.plateAmps > limits.currentAmpsMax) {
    refusals.push(
      `The plating current may be at most ${shown(limits.currentAmpsMax)} A on this rig, got ${shown(recipe.plateAmps)} A. ` +
        'Lower the current density or plate a smaller area.',
    );
  }
  if (finishAfterSeconds > limits.runSecondsMax) {
    refusals.push(
      `A run may last at most ${shown(limits.runSecondsMax / 3600)} h on this rig, this one would take ${shown(finishAfterSeconds / 3600)} h. ` +
        'Aim for less copper, or raise the current density where the part allows it.',
    );
  }
  if (recipe.bathHoldCelsius < recipe.bathWarnCelsius) {
    refusals.push(
      `The bath has to be allowed at least ${shown(recipe.bathWarnCelsius)} °C, this rig trips at ${shown(limits.bathCelsiusMax)} °C. ` +
        'Check the rig limits at the bath.',
    );
  }
  const fault = recipeFault(recipe, limits);
  if (fault && refusals.length === 0) {
    refusals.push(
      fault === RecipeFault.malformed
        ? 'The controller would not understand this recipe. Check that every number is sensible.'
        : 'The recipe is beyond the limits of this rig. Check the rig limits at the bath.',
    );
  }
  return refusals;
}

/**
 * The recipe for a request on a rig with these limits, and its preview with the night ahead from a start at `nowMs`. Strike, finish and hold are
 * never above the plating current. Amperes, seconds and millicoulombs are rounded to what the link carries (thousandths, whole, whole).
 * The bath that it names gives metal, efficiency, densities and temperatures; without one it is for acid copper of any kind.
 *
 * Example: 12 dm2 at 1.6 A/dm2 to 300 um: 19.2 A, 272.1 Ah, 322.6 g, 3.6 A strike, about 14.5 h until its charge is reached.
 */
export function recipeFromRequest(
  request: RecipeRequest,
  limits: RigLimits,
  recipeId: number,
  nowMs: number,
): RequestedRecipe {
  const faults = requestFaults(request);
  const practice = practiceOfRequest(request);
  if (faults.length > 0) {
    const preview = { recipe: emptyView(request, recipeId, practice), refusals: faults, cautions: [], planned: [] };
    return { recipe: undefined, preview };
  }
  const { areaDm2, currentDensityAmpsPerDm2 } = request;
  const { metal, cathodeEfficiency } = practice;
  const plateAmps = thousandths(areaDm2 * currentDensityAmpsPerDm2);
  const amps = (densityAmpsPerDm2: number): number => Math.min(plateAmps, thousandths(areaDm2 * densityAmpsPerDm2));
  const chargeMilliCoulombs = Math.round(
    3.6e6 *
      (request.chargeAmpereHours ??
        chargeAmpereHoursForThickness(request.averageThicknessMicrometres ?? 0, areaDm2, metal, cathodeEfficiency)),
  );
  const shape = {
    strikeAmps: amps(request.strikeDensityAmpsPerDm2 ?? practice.strikeDensityAmpsPerDm2.usual),
    strikeSeconds: Math.round(60 * (request.strikeMinutes ?? recipeDefaults.strikeMinutes)),
    rampSeconds: Math.round(60 * (request.rampMinutes ?? recipeDefaults.rampMinutes)),
    plateAmps,
    chargeMilliCoulombs,
    finishAmps: amps(recipeDefaults.finishDensityAmpsPerDm2),
    finishSeconds: 60 * recipeDefaults.finishMinutes,
  };
  const night = plannedNight(shape);
  const finishAfterSeconds = secondsToFinish(night);
  const recipe: Recipe = {
    recipeId,
    areaDm2,
    ...shape,
    holdAmps: amps(recipeDefaults.holdDensityAmpsPerDm2),
    longestSeconds: Math.max(1, Math.min(longestRunSeconds(finishAfterSeconds), Math.floor(limits.runSecondsMax))),
    rotationPulsesPerMinute: request.rotationPulsesPerMinute ?? recipeDefaults.rotationPulsesPerMinute,
    startCelsiusMin: practice.startCelsiusMin,
    bathWarnCelsius: practice.warnCelsius,
    bathHoldCelsius: Math.min(practice.holdCelsius, limits.bathCelsiusMax),
  };
  const chargeAmpereHours = chargeMilliCoulombs / 3.6e6;
  const averageThicknessMicrometres = depositThicknessMicrometres(chargeAmpereHours, areaDm2, metal, cathodeEfficiency);
  const refusals = rigRefusals(recipe, finishAfterSeconds, limits);
  const view: RecipeView = {
    recipeId,
    partName: request.partName,
    areaDm2,
    currentDensityAmpsPerDm2,
    plateAmps,
    strikeAmps: recipe.strikeAmps,
    strikeSeconds: recipe.strikeSeconds,
    rampSeconds: recipe.rampSeconds,
    finishAmps: recipe.finishAmps,
    finishSeconds: recipe.finishSeconds,
    holdAmps: recipe.holdAmps,
    chargeAmpereHours,
    averageThicknessMicrometres,
    depositMassGrams: depositMassGrams(chargeAmpereHours, metal, cathodeEfficiency),
    ...bathOf(request, practice),
    bathWarnCelsius: recipe.bathWarnCelsius,
    bathHoldCelsius: recipe.bathHoldCelsius,
    rotationPulsesPerMinute: recipe.rotationPulsesPerMinute,
    plannedSeconds: Math.round(night.at(-1)?.afterSeconds ?? 0),
  };
  return {
    recipe: refusals.length > 0 ? undefined : recipe,
    preview: {
      recipe: view,
      refusals,
      cautions: recipeCautions(request, recipe, finishAfterSeconds, practice),
      planned: plannedPoints(night, nowMs, averageThicknessMicrometres / chargeMilliCoulombs),
    },
  };
}
