/* From what a person typed to a recipe: defaults, refusals and cautions, each in whole sentences. */
import { RecipeFault, recipeFault } from '@bathkeeper/shared-core/control';
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import {
  bathProfile,
  chargeAmpereHoursForThickness,
  longestRunSeconds,
  recipeDefaults,
  recipeFromRequest,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rig } from '../control/scripted-bath.js';

const lampshadeRequest: RecipeRequest = {
  partName: 'Fluted bell lampshade',
  areaDm2: 12,
  currentDensityAmpsPerDm2: 1.6,
  averageThicknessMicrometres: 250,
};
const longRig = { ...rig, runSecondsMax: 100_000 };

describe('a usual request', () => {
  const { recipe, preview } = recipeFromRequest(lampshadeRequest, longRig, 9, 5_000);

  test('becomes a recipe with the usual strike, ramp, finish and temperatures', () => {
    expect(recipe).toEqual({
      recipeId: 9,
      areaDm2: 12,
      strikeAmps: 3.6,
      strikeSeconds: 600,
      rampSeconds: 1800,
      plateAmps: 19.2,
      chargeMilliCoulombs: Math.round((250 / 300) * 272.0890616666 * 3.6e6),
      finishAmps: 1.8,
      finishSeconds: 3600,
      holdAmps: 3.6,
      longestSeconds: expect.any(Number) as number,
      rotationPulsesPerMinute: 6,
      startCelsiusMin: 18,
      bathWarnCelsius: 28,
      bathHoldCelsius: 32,
    });
    expect(recipeFault(recipe!, longRig)).toBe(RecipeFault.none);
    expect(preview.refusals).toEqual([]);
    expect(preview.cautions).toEqual([]);
  });

  test('is previewed with its charge, thickness, mass and length', () => {
    expect(preview.recipe).toMatchObject({ recipeId: 9, partName: 'Fluted bell lampshade', plateAmps: 19.2 });
    expect(preview.recipe.chargeAmpereHours).toBeCloseTo(226.74, 2);
    expect(preview.recipe.averageThicknessMicrometres).toBeCloseTo(250, 5);
    expect(preview.recipe.depositMassGrams).toBeCloseTo(12 * 100 * 0.025 * 8.96, 4);
    // 600 s x 3.6 A + 1800 s x 11.4 A = 22 680 C of 816 267 C, the rest at 19.2 A, an hour of finish
    const finishAfterSeconds = 2400 + (816_267 - 22_680) / 19.2;
    expect(preview.recipe.plannedSeconds).toBeCloseTo(finishAfterSeconds + 3600, -1);
    expect(Math.abs(recipe!.longestSeconds - 1.25 * finishAfterSeconds)).toBeLessThanOrEqual(1);
    expect(preview.planned[0]).toEqual({ atMs: 5_000, currentAmps: 3.6, averageThicknessMicrometres: 0 });
    const last = preview.planned.at(-1)!;
    expect(last.currentAmps).toBe(0);
    expect(Math.abs(last.atMs - 5_000 - preview.recipe.plannedSeconds * 1000)).toBeLessThanOrEqual(500);
  });

  test('by charge instead of thickness is the same recipe', () => {
    const byCharge = recipeFromRequest(
      {
        partName: 'Fluted bell lampshade',
        areaDm2: 12,
        currentDensityAmpsPerDm2: 1.6,
        chargeAmpereHours: preview.recipe.chargeAmpereHours,
      },
      longRig,
      9,
      5_000,
    );
    expect(byCharge.recipe).toEqual(recipe);
  });

  test('the two rules of thumb come out at what Faraday allows, 105.8 and 264.6 um (common practice, no source)', () => {
    const average = (areaDm2: number, currentDensityAmpsPerDm2: number, chargeAmpereHours: number): number =>
      recipeFromRequest({ partName: '', areaDm2, currentDensityAmpsPerDm2, chargeAmpereHours }, longRig, 1, 0).preview
        .recipe.averageThicknessMicrometres;
    expect(average(1, 2, 8)).toBeCloseTo(105.8, 1);
    expect(average(15.5, 2, 310)).toBeCloseTo(264.6, 1);
  });
});

describe('what was typed', () => {
  test.each<[string, Partial<RecipeRequest>, RegExp]>([
    ['no area', { areaDm2: 0 }, /^The area has to be 0\.01 to 10000 dm², got 0\. Enter it again\.$/],
    ['an area that is no number', { areaDm2: NaN }, /area.*got NaN/],
    ['a negative density', { currentDensityAmpsPerDm2: -1 }, /current density.*got -1/],
    ['no thickness', { averageThicknessMicrometres: 0 }, /average thickness.*got 0/],
    ['a thickness of text', { averageThicknessMicrometres: '300' as unknown as number }, /average thickness.*got 300/],
    ['a negative strike', { strikeDensityAmpsPerDm2: -0.1 }, /strike density.*got -0\.1/],
    ['a strike of two days', { strikeMinutes: 2880 }, /strike has to be 0 to 1440 min, got 2880/],
    ['a negative ramp', { rampMinutes: -1 }, /ramp.*got -1/],
    ['an endless rotation', { rotationPulsesPerMinute: Infinity }, /rotation.*got Infinity/],
    ['both aims', { chargeAmpereHours: 100 }, /exactly one of the two.*Got both/],
    ['neither aim', { averageThicknessMicrometres: undefined }, /exactly one of the two.*Got neither/],
  ])('with %s is refused, and nothing is computed from it', (_what, change, sentence) => {
    const { recipe, preview } = recipeFromRequest({ ...lampshadeRequest, ...change }, rig, 1, 0);
    expect(recipe).toBeUndefined();
    expect(preview.refusals).toEqual([expect.stringMatching(sentence)]);
    expect(preview.planned).toEqual([]);
  });

  test('with several faults lists every one at once', () => {
    const nothing = { partName: '' } as RecipeRequest;
    expect(recipeFromRequest(nothing, rig, 1, 0).preview.refusals).toHaveLength(3);
  });
});

describe('the rig', () => {
  test.each<[string, Partial<RecipeRequest>, Partial<typeof rig>, RegExp]>([
    ['current', { currentDensityAmpsPerDm2: 3, areaDm2: 12 }, {}, /at most 35 A on this rig, got 36 A/],
    ['run time', { averageThicknessMicrometres: 300 }, {}, /at most 14 h on this rig, this one would take 14\.51 h/],
    ['temperature', {}, { bathCelsiusMax: 27 }, /at least 28 °C, this rig trips at 27 °C/],
    ['unreadable limits', {}, { currentAmpsMax: NaN }, /limits of this rig cannot be read/],
  ])('refuses beyond its %s, and names limit and value', (_what, change, limits, sentence) => {
    const { recipe, preview } = recipeFromRequest({ ...lampshadeRequest, ...change }, { ...rig, ...limits }, 1, 0);
    expect(recipe).toBeUndefined();
    expect(preview.refusals).toEqual([expect.stringMatching(sentence)]);
    expect(preview.recipe.partName).toBe('Fluted bell lampshade');
  });

  test('narrows the hold temperature', () => {
    const { recipe } = recipeFromRequest(lampshadeRequest, { ...rig, bathCelsiusMax: 30 }, 1, 0);
    expect(recipe!.bathHoldCelsius).toBe(30);
  });

  test('whose longest run leaves little to spare shortens the longest run and says so', () => {
    const { recipe, preview } = recipeFromRequest(lampshadeRequest, rig, 1, 0);
    expect(recipe!.longestSeconds).toBe(50_400);
    expect(preview.cautions).toEqual([expect.stringMatching(/longest run of 14 h leaves little to spare/)]);
  });
});

describe('a request that names its bath', () => {
  const nickelRequest: RecipeRequest = { ...lampshadeRequest, bath: 'watts-nickel', currentDensityAmpsPerDm2: 3 };
  const warmRig = { ...longRig, currentAmpsMax: 50, bathCelsiusMax: 70 };

  test('is for its metal, its efficiency and its temperatures', () => {
    const { recipe, preview } = recipeFromRequest(nickelRequest, warmRig, 1, 0);
    const profile = bathProfile('watts-nickel')!;
    expect(recipe).toMatchObject({ startCelsiusMin: 40, bathWarnCelsius: 60, bathHoldCelsius: 65 });
    const charge = chargeAmpereHoursForThickness(250, 12, profile.metal, 0.95);
    expect(preview.recipe.chargeAmpereHours).toBeCloseTo(charge, 5);
    expect(preview.recipe.averageThicknessMicrometres).toBeCloseTo(250, 4);
    expect(preview.recipe.depositMassGrams).toBeCloseTo(12 * 0.025 * 100 * profile.metal.densityGramsPerCm3, 3);
    const efficient = recipeFromRequest({ ...nickelRequest, cathodeEfficiency: 1 }, warmRig, 1, 0);
    expect(efficient.preview.recipe.chargeAmpereHours).toBeCloseTo(charge * 0.95, 5);
  });

  test('is refused on a rig that trips below its temperature', () => {
    expect(recipeFromRequest(nickelRequest, { ...longRig, currentAmpsMax: 50 }, 1, 0).preview.refusals).toEqual([
      expect.stringMatching(/bath has to be allowed at least 60 °C, this rig trips at 40 °C/),
    ]);
  });

  test('is warned by that bath’s densities: bright copper 2 to 7.5 A/dm2, any acid copper 0.5 to 10', () => {
    const of = (request: RecipeRequest) => recipeFromRequest(request, longRig, 1, 0).preview.cautions;
    expect(of({ ...lampshadeRequest, bath: 'bright-copper' })).toEqual([
      expect.stringMatching(/1\.6 A\/dm² is below the usual 2 to 7\.5 A\/dm²/),
    ]);
    expect(of({ ...lampshadeRequest, bath: 'forming-copper' })).toEqual([]);
    expect(of(lampshadeRequest)).toEqual([]);
    expect(of({ ...lampshadeRequest, areaDm2: 2, bath: 'bright-copper', currentDensityAmpsPerDm2: 8 })).toEqual([
      expect.stringMatching(/8 A\/dm² is above the usual 2 to 7\.5 A\/dm²: expect burning/),
    ]);
  });

  test('is refused when there is no such bath, or its efficiency cannot be', () => {
    const request = { ...lampshadeRequest, bath: 'gold', cathodeEfficiency: 2 };
    expect(recipeFromRequest(request, longRig, 1, 0).preview.refusals).toEqual([
      expect.stringMatching(/cathode efficiency has to be 0\.01 to 1/),
      expect.stringMatching(/no bath called "gold": expected one of bright-copper, /),
    ]);
  });
});

describe('the longest run', () => {
  test.each([
    // a run of an hour has an hour to spare, one of four hours and more a quarter of itself
    [3600, 7200],
    [14_400, 18_000],
    [36_000, 45_000],
    [0.4, 3601],
  ])('of %d s planned is %d s', (plannedSeconds, longestSeconds) => {
    expect(longestRunSeconds(plannedSeconds)).toBe(longestSeconds);
  });

  test('of a short recipe is an hour more than planned, and that needs no caution', () => {
    const { recipe, preview } = recipeFromRequest(
      { ...lampshadeRequest, averageThicknessMicrometres: 20 },
      longRig,
      1,
      0,
    );
    const plannedSeconds = preview.recipe.plannedSeconds - recipe!.finishSeconds;
    expect(Math.abs(recipe!.longestSeconds - plannedSeconds - 3600)).toBeLessThanOrEqual(2);
    expect(preview.cautions.filter((caution) => caution.includes('longest run'))).toEqual([]);
  });
});

describe('cautions', () => {
  test.each<[string, Partial<RecipeRequest>, RegExp]>([
    [
      'burning above 10 A/dm2',
      { currentDensityAmpsPerDm2: 10.1, areaDm2: 2 },
      /above the usual 0\.5 to 10 A\/dm².*burning/,
    ],
    ['roughness above 3 A/dm2', { currentDensityAmpsPerDm2: 3.1, areaDm2: 2 }, /strong agitation.*rough/],
    [
      'dullness below 0.5 A/dm2',
      { currentDensityAmpsPerDm2: 0.49, averageThicknessMicrometres: 20 },
      /below the usual.*dull/,
    ],
    ['a strike too hard for paint', { strikeDensityAmpsPerDm2: 0.51 }, /strike of 0\.51 A\/dm².*grainy and brittle/],
    ['a ramp too short for paint', { rampMinutes: 14 }, /ramp of 14 min is shorter/],
    ['a part that does not turn', { rotationPulsesPerMinute: 0 }, /does not turn/],
    ['a stall that is noticed late', { rotationPulsesPerMinute: 4 }, /At 4 pulses a minute.*only after 33 s/],
  ])('warn of %s', (_what, change, sentence) => {
    const { recipe, preview } = recipeFromRequest({ ...lampshadeRequest, ...change }, longRig, 1, 0);
    expect(preview.cautions).toEqual([expect.stringMatching(sentence)]);
    expect(recipe).toBeDefined();
  });

  test.each<[string, Partial<RecipeRequest>]>([
    ['0.5 A/dm2', { currentDensityAmpsPerDm2: 0.5, averageThicknessMicrometres: 50 }],
    ['3 A/dm2', { currentDensityAmpsPerDm2: 3, areaDm2: 5 }],
    ['a strike of 0.5 A/dm2', { strikeDensityAmpsPerDm2: 0.5 }],
    ['a ramp of 15 min', { rampMinutes: 15 }],
    ['six pulses a minute', { rotationPulsesPerMinute: 6 }],
  ])('stay silent at %s', (_what, change) => {
    expect(recipeFromRequest({ ...lampshadeRequest, ...change }, longRig, 1, 0).preview.cautions).toEqual([]);
  });

  test('a strike, finish and hold above the plating current come down to it', () => {
    const { recipe } = recipeFromRequest(
      { partName: '', areaDm2: 10, currentDensityAmpsPerDm2: 0.1, averageThicknessMicrometres: 5 },
      longRig,
      1,
      0,
    );
    expect(recipe).toMatchObject({ plateAmps: 1, strikeAmps: 1, holdAmps: 1, finishAmps: 1 });
  });
});

test('whatever is typed, a recipe that is given out is one that the controller takes', () => {
  const number = fc.oneof(fc.double({ min: 0, max: 50 }), fc.double(), fc.constant(0));
  fc.assert(
    fc.property(
      fc.record(
        {
          partName: fc.string(),
          areaDm2: number,
          currentDensityAmpsPerDm2: number,
          averageThicknessMicrometres: number,
          chargeAmpereHours: number,
          strikeDensityAmpsPerDm2: number,
          strikeMinutes: number,
          rampMinutes: number,
          rotationPulsesPerMinute: number,
        },
        { requiredKeys: ['partName', 'areaDm2', 'currentDensityAmpsPerDm2'] },
      ),
      (request) => {
        const { recipe, preview } = recipeFromRequest(request, rig, 1, 0);
        expect(recipe === undefined).toBe(preview.refusals.length > 0);
        if (recipe) expect(recipeFault(recipe, rig)).toBe(RecipeFault.none);
      },
    ),
    { numRuns: 1000 },
  );
});

test('the defaults are the ones that the trade uses, see recipe-defaults.ts', () => {
  expect(recipeDefaults).toMatchObject({
    strikeDensityAmpsPerDm2: 0.3,
    strikeMinutes: 10,
    rampMinutes: 30,
    finishDensityAmpsPerDm2: 0.15,
    finishMinutes: 60,
    holdDensityAmpsPerDm2: 0.3,
    startCelsiusMin: 18,
    bathWarnCelsius: 28,
    bathHoldCelsius: 32,
  });
});
