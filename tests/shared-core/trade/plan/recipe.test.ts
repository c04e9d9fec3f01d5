/* From plan to recipe and back: the recipe runs the night that the plan showed, and a plan of its charge is the same plan. */
import { RecipeFault, recipeFault } from '@bathkeeper/shared-core/control';
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import {
  bathProfiles,
  type PlanRequest,
  recipeFromPlan,
  recipeFromRequest,
  recipeRequestOf,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { lampshade, planned, typedArea } from './requests.js';

const largeRig = { currentAmpsMax: 1e5, terminalVoltsMax: 100, bathCelsiusMax: 90, runSecondsMax: 1e8 };

describe('the recipe of a plan', () => {
  const plan = planned(lampshade);
  const { recipe, preview } = recipeFromPlan(plan, largeRig, 7, 0);

  test('has its set-point, charge, strike and ramp, its name and its bath', () => {
    expect(recipe).toMatchObject({
      recipeId: 7,
      areaDm2: 12,
      plateAmps: 24,
      strikeAmps: 3.6,
      strikeSeconds: 600,
      rampSeconds: 1800,
    });
    expect(recipe!.chargeMilliCoulombs).toBe(Math.round(plan.figures.deposit.chargeAmpereHours.value * 3.6e6));
    expect(recipeRequestOf(plan)).toMatchObject({ partName: 'Fluted bell lampshade', bath: 'bright-copper' });
    expect(preview.refusals).toEqual([]);
  });

  test('runs the night that the plan shows', () => {
    const finish = preview.planned.findIndex((point) => point.averageThicknessMicrometres >= 300 - 1e-6);
    expectWithin(preview.planned[finish]!.atMs / 3.6e6, plan.figures.deposit.runHours.value, 1e-6);
    expectWithin(preview.recipe.averageThicknessMicrometres, 300, 1e-6);
    expectWithin(preview.recipe.depositMassGrams, plan.figures.deposit.depositMassGrams.value, 1e-6);
  });

  test('names several parts, with their pieces, in at most 80 characters', () => {
    const parts = [...typedArea(1, 3), { ...lampshade.parts[0]!, name: 'x'.repeat(100) }];
    const { partName } = recipeRequestOf(planned({ ...lampshade, parts }));
    expect(partName).toMatch(/^3 × part, x+$/);
    expect(partName).toHaveLength(80);
  });

  test('is refused by a rig that is too small, in words', () => {
    const { recipe: none, preview: told } = recipeFromPlan(plan, { ...largeRig, currentAmpsMax: 20 }, 1, 0);
    expect(none).toBeUndefined();
    expect(told.refusals).toEqual([expect.stringMatching(/at most 20 A on this rig, got 24 A/)]);
  });

  test('of a part below 0.01 dm² is refused in words and breaks nothing', () => {
    for (const areaDm2 of [0.0024, 1e-5]) {
      const { recipe: none, preview: told } = recipeFromPlan(
        planned({ ...lampshade, parts: typedArea(areaDm2) }),
        largeRig,
        1,
        0,
      );
      expect(none).toBeUndefined();
      expect(told.refusals).toContainEqual(expect.stringMatching(/area has to be 0\.01 to 10000 dm²/));
    }
  });
});

describe('plan and recipe, there and back', () => {
  const request = fc.record(
    {
      areaDm2: fc.double({ min: 0.2, max: 100, noNaN: true }),
      pieces: fc.integer({ min: 1, max: 10 }),
      bath: fc.constantFrom(...bathProfiles.map((each) => each.key)),
      currentDensityAmpsPerDm2: fc.double({ min: 0.5, max: 10, noNaN: true }),
      averageThicknessMicrometres: fc.double({ min: 5, max: 500, noNaN: true }),
      supplyAmpsMax: fc.double({ min: 20, max: 500, noNaN: true }),
      cathodeEfficiency: fc.double({ min: 0.5, max: 1, noNaN: true }),
      strikeDensityAmpsPerDm2: fc.double({ min: 0.05, max: 0.5, noNaN: true }),
      strikeMinutes: fc.integer({ min: 0, max: 60 }),
      rampMinutes: fc.integer({ min: 0, max: 120 }),
      rotationPulsesPerMinute: fc.integer({ min: 0, max: 60 }),
    },
    {
      requiredKeys: ['areaDm2', 'pieces', 'bath', 'currentDensityAmpsPerDm2', 'averageThicknessMicrometres'],
    },
  );

  test('the recipe has the plan’s current, charge, thickness, mass and time, to the rounding of the link', () => {
    fc.assert(
      fc.property(request, ({ areaDm2, pieces, ...rest }) => {
        const plan = planned({ ...rest, parts: typedArea(areaDm2, pieces) });
        const { deposit } = plan.figures;
        const { recipe, preview } = recipeFromPlan(plan, largeRig, 1, 0);
        expect(preview.refusals).toEqual([]);
        expect(recipeFault(recipe!, largeRig)).toBe(RecipeFault.none);
        expect(Math.abs(recipe!.plateAmps - deposit.setPointAmps.value)).toBeLessThanOrEqual(0.0005 + 1e-9);
        expect(Math.abs(recipe!.chargeMilliCoulombs / 3.6e6 - deposit.chargeAmpereHours.value)).toBeLessThan(1e-6);
        expectWithin(preview.recipe.averageThicknessMicrometres, deposit.averageThicknessMicrometres.value, 1e-4);
        expectWithin(preview.recipe.depositMassGrams, deposit.depositMassGrams.value, 1e-4);
        const openAfterHours = plan.night.at(-1)!.afterHours;
        expectWithin(preview.recipe.plannedSeconds / 3600, openAfterHours, 0.02);
      }),
    );
  });

  test('a plan of the recipe’s charge and current is the plan again', () => {
    fc.assert(
      fc.property(request, ({ areaDm2, pieces, ...rest }) => {
        const plan = planned({ ...rest, parts: typedArea(areaDm2, pieces) });
        const { preview } = recipeFromPlan(plan, largeRig, 1, 0);
        const again: PlanRequest = {
          parts: typedArea(preview.recipe.areaDm2),
          bath: rest.bath,
          cathodeEfficiency: rest.cathodeEfficiency,
          chargeAmpereHours: preview.recipe.chargeAmpereHours,
          currentDensityAmpsPerDm2: preview.recipe.currentDensityAmpsPerDm2,
        };
        const { deposit } = planned(again).figures;
        for (const name of [
          'setPointAmps',
          'chargeAmpereHours',
          'plateHours',
          'averageThicknessMicrometres',
          'depositMassGrams',
        ] as const) {
          expectWithin(deposit[name].value, plan.figures.deposit[name].value, 1e-4);
        }
      }),
    );
  });

  test('the request is the same after it was sent as JSON', () => {
    fc.assert(
      fc.property(request, ({ areaDm2, pieces, ...rest }) => {
        const asked = recipeRequestOf(planned({ ...rest, parts: typedArea(areaDm2, pieces) }));
        const sent = JSON.parse(JSON.stringify(asked)) as RecipeRequest;
        expect(recipeFromRequest(sent, largeRig, 1, 0)).toEqual(recipeFromRequest(asked, largeRig, 1, 0));
      }),
      { numRuns: 30 },
    );
  });
});
