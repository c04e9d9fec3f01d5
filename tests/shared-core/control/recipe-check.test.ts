/* A recipe is refused for every single thing that can be wrong with it, and the refusal says which and at what limit. */
import {
  createRunState,
  offerRecipe,
  type Recipe,
  RecipeFault,
  recipeFault,
  type RigLimits,
  rigFault,
} from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { lampshade, rig } from './scripted-bath.js';

const fields = Object.keys(lampshade) as (keyof Recipe)[];

describe('a recipe', () => {
  test('that is well formed and within the rig is taken', () => {
    expect(recipeFault(lampshade, rig)).toBe(RecipeFault.none);
  });

  test.each(
    fields.flatMap((field) => [NaN, Infinity, -1, undefined, null, '5', {}, 1.1e12].map((value) => [field, value])),
  )('whose %s is %s is malformed', (field, value) => {
    expect(recipeFault({ ...lampshade, [field as string]: value }, rig)).toBe(RecipeFault.malformed);
  });

  test.each(fields)('without %s is malformed', (field) => {
    const { [field]: _left, ...rest } = lampshade;
    expect(recipeFault(rest as Recipe, rig)).toBe(RecipeFault.malformed);
  });

  test.each<[string, Partial<Recipe>]>([
    ['no number', { recipeId: 0 }],
    ['a number that is not whole', { recipeId: 1.5 }],
    ['a number beyond 31 bits', { recipeId: 2147483648 }],
    ['no area', { areaDm2: 0 }],
    ['no plating current', { plateAmps: 0, strikeAmps: 0, finishAmps: 0, holdAmps: 0 }],
    ['a strike above the plating current', { strikeAmps: 20.01 }],
    ['a finish above the plating current', { finishAmps: 20.01 }],
    ['a hold above the plating current', { holdAmps: 20.01 }],
    ['no longest time', { longestSeconds: 0 }],
    ['a finish of more than two hours', { finishSeconds: 7201 }],
    ['no charge', { chargeMilliCoulombs: 0 }],
    ['a charge that is not whole', { chargeMilliCoulombs: 1000.5 }],
    ['a start warmer than its warning', { startCelsiusMin: 28.5 }],
    ['a warning above its hold', { bathWarnCelsius: 32.5 }],
  ])('with %s is malformed', (_what, change) => {
    expect(recipeFault({ ...lampshade, ...change }, rig)).toBe(RecipeFault.malformed);
  });

  test.each<[string, Partial<Recipe>]>([
    ['its largest number', { recipeId: 2147483647 }],
    ['equal currents', { strikeAmps: 20, finishAmps: 20, holdAmps: 20 }],
    ['a finish of two hours', { finishSeconds: 7200 }],
    ['no times before plating and none after', { strikeSeconds: 0, rampSeconds: 0, finishSeconds: 0 }],
    ['no currents but the plating one', { strikeAmps: 0, finishAmps: 0, holdAmps: 0 }],
    ['a part that does not turn', { rotationPulsesPerMinute: 0 }],
    ['equal temperatures', { startCelsiusMin: 28, bathWarnCelsius: 28, bathHoldCelsius: 28 }],
    ["all of the rig's limits", { plateAmps: 35, longestSeconds: 50_400, bathHoldCelsius: 40 }],
  ])('with %s is taken', (_what, change) => {
    expect(recipeFault({ ...lampshade, ...change }, rig)).toBe(RecipeFault.none);
  });

  test.each<[string, Partial<Recipe>, RecipeFault, number]>([
    ['aboveRigCurrent', { plateAmps: 35.01 }, RecipeFault.aboveRigCurrent, 35_000],
    ['aboveRigRunTime', { longestSeconds: 50_401 }, RecipeFault.aboveRigRunTime, 50_400_000],
    ['aboveRigTemperature', { bathHoldCelsius: 40.01 }, RecipeFault.aboveRigTemperature, 40_000],
  ])('above the rig is refused as %s with the limit named', (_name, change, fault, limit) => {
    const state = createRunState();
    expect(offerRecipe(state, { ...lampshade, ...change }, rig)).toBe(fault);
    expect(state.events).toEqual([{ kind: 7, code: fault, a: 41, b: limit }]);
    expect(state.recipe).toBeUndefined();
  });

  test('that is malformed is refused with what can be said of it, in whole numbers', () => {
    const state = createRunState();
    offerRecipe(state, { ...lampshade, recipeId: undefined as unknown as number }, rig);
    expect(state.events).toEqual([{ kind: 7, code: RecipeFault.malformed, a: 0, b: 0 }]);
  });

  test.each(['currentAmpsMax', 'runSecondsMax', 'bathCelsiusMax'] as const)(
    'is never within a rig whose %s cannot be read',
    (limit) => {
      for (const value of [NaN, undefined as unknown as number]) {
        const unreadable: RigLimits = { ...rig, [limit]: value };
        expect(rigFault(lampshade, unreadable)).not.toBe(RecipeFault.none);
      }
    },
  );
});

test.each([
  ['recipeId', 1],
  ['longestSeconds', 1],
  ['chargeMilliCoulombs', 1],
  ['chargeMilliCoulombs', 1e12],
] as const)('a recipe whose %s is %d is still one', (field, value) => {
  expect(recipeFault({ ...lampshade, [field]: value }, rig)).toBe(0);
});

test('a recipe of no strike, no ramp and a part that stands is still one', () => {
  expect(recipeFault({ ...lampshade, strikeSeconds: 0, rampSeconds: 0, rotationPulsesPerMinute: 0 }, rig)).toBe(0);
});
