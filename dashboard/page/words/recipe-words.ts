/*
 * A recipe in a few plain lines: what will be asked of the bath, and what comes out of it.
 * Used by the recipe form, the waiting recipe and the run's own heading.
 */
import type { LiveView, RecipeView, RunView } from '@bathkeeper/shared-core/messages';
import { bathProfile, shownWith, type UnitSystem } from '@bathkeeper/shared-core/trade';
import {
  ampereHoursWords,
  ampsWords,
  celsiusWords,
  densityWords,
  gramsWords,
  micrometresWords,
  tenthsOfPercentWords,
} from './numbers.js';
import { runChargeAmpereHours } from './deposit.js';
import type { Reader } from './reader.js';
import { nearTimeWords, spanWords } from './times.js';

/** Example: "19.2 A for about 14 h 20 min, 300 µm on average, 321 g of copper." */
export function recipeSummary(recipe: RecipeView, units: UnitSystem = 'metric'): string {
  return (
    `${ampsWords(recipe.plateAmps)} for about ${spanWords(recipe.plannedSeconds)}, ` +
    `${micrometresWords(recipe.averageThicknessMicrometres, units)} on average, ${gramsWords(recipe.depositMassGrams, units)} of ${recipe.metal}.`
  );
}

export interface RecipeLine {
  readonly term: string;
  readonly words: string;
}

/** Example: "Watts nickel, 95 % cathode efficiency". */
export function bathOfRecipe({ bath, metal, cathodeEfficiency }: RecipeView): string {
  const name = (bath !== null && bathProfile(bath)?.name) || `any acid ${metal}`;
  return `${name}, ${tenthsOfPercentWords(cathodeEfficiency)} cathode efficiency`;
}

export function recipeLines(recipe: RecipeView, units: UnitSystem = 'metric'): RecipeLine[] {
  const turns =
    recipe.rotationPulsesPerMinute > 0
      ? `${recipe.rotationPulsesPerMinute} pulses a minute expected`
      : 'does not turn; rotation is not watched';
  return [
    {
      term: 'Strike',
      words:
        recipe.strikeSeconds > 0 ? `${ampsWords(recipe.strikeAmps)} for ${spanWords(recipe.strikeSeconds)}` : 'none',
    },
    { term: 'Ramp', words: recipe.rampSeconds > 0 ? `${spanWords(recipe.rampSeconds)} to full current` : 'none' },
    {
      term: 'Plate',
      words: `${ampsWords(recipe.plateAmps)} (${densityWords(recipe.currentDensityAmpsPerDm2, units)}) until ${ampereHoursWords(recipe.chargeAmpereHours)}`,
    },
    {
      term: 'Finish',
      words: `${ampsWords(recipe.finishAmps)} for at most ${spanWords(recipe.finishSeconds)}, then the contactor opens`,
    },
    {
      term: 'Bath',
      words: `${bathOfRecipe(recipe)}; warns above ${celsiusWords(recipe.bathWarnCelsius, units)}, holds above ${celsiusWords(recipe.bathHoldCelsius, units)}`,
    },
    { term: 'Rotation', words: turns },
  ];
}

/** Part, times, charge and metal so far. The mass is the average by charge, at the cathode efficiency that the recipe has. */
export function runLines(
  run: RunView,
  live: LiveView | null,
  nowMs: number,
  { timeZone, units = 'metric' }: Reader = {},
): RecipeLine[] {
  const { recipe } = run;
  const charge = runChargeAmpereHours(run, live);
  const grams =
    recipe.chargeAmpereHours > 0 ? (recipe.depositMassGrams * charge) / recipe.chargeAmpereHours : run.depositMassGrams;
  const lines = [
    { term: 'Part', words: `${recipe.partName}, ${shownWith(recipe.areaDm2, 'dm²', units, 3)}` },
    { term: 'Started', words: nearTimeWords(run.startedAtMs, nowMs, timeZone) },
    { term: 'Charge', words: `${ampereHoursWords(charge)} of ${ampereHoursWords(recipe.chargeAmpereHours)}` },
    {
      term: recipe.metal.charAt(0).toUpperCase() + recipe.metal.slice(1),
      words: `${gramsWords(grams, units)} of ${gramsWords(recipe.depositMassGrams, units)}`,
    },
  ];
  if (run.endedAtMs === null) return lines;
  const because = run.endedBecause === null ? '' : `: ${run.endedBecause}`;
  return [...lines, { term: 'Ended', words: `${nearTimeWords(run.endedAtMs, nowMs, timeZone)}${because}` }];
}
