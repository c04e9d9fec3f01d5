/* A plan taken as the recipe: what the person finds in the form is the plan, in the plan's own metal, and nothing has been sent. */
import fc from 'fast-check';
import { describe, expect, test, vi } from 'vitest';
import { bathProfiles, planOf, recipeFromRequest } from '@bathkeeper/shared-core/trade';
import { recipeFormOf, recipeRequest } from '../../../dashboard/page/recipe/request.js';
import { recipeSummary } from '../../../dashboard/page/words/recipe-words.js';
import { expectWithin } from '../../shared-core/trade/within.js';
import { lampshade, planned } from '../../shared-core/trade/plan/requests.js';

// The page's address is read when its room is loaded.
const address = { hash: '#part', search: '', pathname: '/' };
vi.stubGlobal('location', address);
vi.stubGlobal('addEventListener', () => undefined);
const asked = vi.fn();
vi.stubGlobal('fetch', asked);
const { readableRequest, takeAsRecipe } = await import('../../../dashboard/page/recipe/from-plan.js');
const { plannedRequest } = await import('../../../dashboard/page/recipe/planned-request.js');

const largeRig = { currentAmpsMax: 1e5, terminalVoltsMax: 100, bathCelsiusMax: 90, runSecondsMax: 1e8 };

describe('a plan taken as the recipe', () => {
  test('is kept for the recipe room, which is opened, and nothing is sent', () => {
    expect(plannedRequest.value).toBeNull();
    takeAsRecipe(planned(lampshade));
    expect(plannedRequest.value).toMatchObject({ partName: 'Fluted bell lampshade', areaDm2: 12, chargeAmpereHours: 272.089 }); // prettier-ignore
    expect(address.hash).toBe('#recipe');
    expect(asked).not.toHaveBeenCalled();
  });

  test('stands in the form in numbers that a person can read', () => {
    const form = recipeFormOf(
      readableRequest(planned({ ...lampshade, bath: 'watts-nickel', cathodeEfficiency: 0.957 })),
    );
    expect(form).toMatchObject({
      bath: 'watts-nickel',
      efficiency: '95.7',
      until: 'charge',
      area: { text: '12' },
      density: { text: '2' },
    });
    for (const text of [form.area.text, form.density.text, form.charge]) expect(text.length).toBeLessThanOrEqual(9);
  });

  test("gives, through the form, the plan's own mass and thickness of the bath's metal, in every bath", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...bathProfiles),
        fc.double({ min: 0.5, max: 400, noNaN: true }),
        fc.double({ min: 5, max: 1000, noNaN: true }),
        fc.option(fc.integer({ min: 500, max: 1000 }), { nil: undefined }),
        (profile, areaDm2, averageThicknessMicrometres, perMille) => {
          const reading = planOf({
            parts: [{ name: 'part', pieces: 1, areaDm2, areaFrom: 'typed in' }],
            bath: profile.key,
            averageThicknessMicrometres,
            ...(perMille === undefined ? {} : { cathodeEfficiency: perMille / 1000 }),
          });
          if (!('plan' in reading)) throw new Error(reading.faults.join(' '));
          const typed = recipeRequest(recipeFormOf(readableRequest(reading.plan)));
          if (!('request' in typed)) throw new Error(JSON.stringify(typed.problems));
          const { recipe } = recipeFromRequest(typed.request, largeRig, 1, 0).preview;
          const { deposit } = reading.plan.figures;
          expectWithin(recipe.depositMassGrams, deposit.depositMassGrams.value, 2e-5);
          expectWithin(recipe.averageThicknessMicrometres, deposit.averageThicknessMicrometres.value, 3e-5);
          expect(recipe.cathodeEfficiency).toBe(
            perMille === undefined ? profile.cathodeEfficiency.usual : perMille / 1000,
          );
          expect(recipe.metal).toBe(profile.metal.name);
          expect(recipeSummary(recipe)).toMatch(new RegExp(`of ${profile.metal.name}\\.$`));
        },
      ),
    );
  });
});
