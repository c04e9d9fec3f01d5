/* From what a person typed to a request: every fault at once, decimal commas taken. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bathProfiles } from '@bathkeeper/shared-core/trade';
import { emptyRecipeForm, recipeFormOf, recipeRequest } from '../../../dashboard/page/recipe/request.js';
import { typedIn } from '../../../dashboard/page/forms/typed-figure.js';

const filled = {
  ...emptyRecipeForm,
  partName: ' Fluted bell lampshade ',
  area: typedIn('metric', '12'),
  density: typedIn('metric', '1,6'),
  thickness: typedIn('metric', '300'),
};

describe('the recipe form', () => {
  test('becomes a request', () => {
    expect(recipeRequest(filled)).toEqual({
      request: {
        partName: 'Fluted bell lampshade',
        areaDm2: 12,
        currentDensityAmpsPerDm2: 1.6,
        averageThicknessMicrometres: 300,
      },
    });
  });
  // 14.4 in × 12 in are 1.2 ft² = 11.1483648 dm², 15 A/ft² are 1.6146 A/dm², 12 mil are 304.8 µm: 1 ft = 304.8 mm, 1 mil = 25.4 µm, exact (NIST SP 811, from memory).
  test('typed in imperial becomes a request in metric', () => {
    const imperial = (text: string) => typedIn('imperial', text);
    const form = {
      ...filled,
      area: imperial('1.2'),
      density: imperial('15'),
      thickness: imperial('12'),
      strikeDensity: imperial('0'),
    };
    const reading = recipeRequest(form);
    if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
    expect(reading.request.areaDm2).toBeCloseTo(11.1483648, 9);
    expect(reading.request.currentDensityAmpsPerDm2).toBeCloseTo(15 / 9.290304, 12);
    expect(reading.request.averageThicknessMicrometres).toBeCloseTo(304.8, 9);
    expect(reading.request.strikeDensityAmpsPerDm2).toBe(0);
  });
  test('asks for a charge or a thickness, never both', () => {
    const reading = recipeRequest({ ...filled, until: 'charge', charge: '270' });
    expect(reading).toMatchObject({ request: { chargeAmpereHours: 270 } });
    expect(reading).not.toHaveProperty('request.averageThicknessMicrometres');
  });
  test('leaves out what was left empty, and keeps a zero that was typed', () => {
    expect(recipeRequest({ ...filled, rotation: '0', strikeMinutes: ' ' })).toMatchObject({
      request: { rotationPulsesPerMinute: 0 },
    });
    expect(recipeRequest(filled)).not.toHaveProperty('request.strikeMinutes');
  });
  test('lists every fault at once', () => {
    const reading = recipeRequest({
      ...filled,
      partName: '',
      area: typedIn('metric', 'twelve'),
      density: typedIn('metric', '0'),
      rampMinutes: 'x',
    });
    expect(Object.keys((reading as { problems: object }).problems).sort()).toEqual([
      'area',
      'density',
      'partName',
      'rampMinutes',
    ]);
  });
  test('says what it got', () => {
    expect(recipeRequest({ ...filled, area: typedIn('imperial', 'twelve') })).toMatchObject({
      problems: { area: expect.stringContaining('twelve') as string },
    });
  });
  test.each(['0.5', '101', 'x'])('refuses an efficiency of %s', (efficiency) => {
    expect(recipeRequest({ ...filled, efficiency })).toMatchObject({
      problems: { efficiency: expect.stringContaining(efficiency) as string },
    });
  });
  test('and the request become each other, whatever the bath', () => {
    const number = (least: number, most: number): fc.Arbitrary<number> =>
      fc.integer({ min: least * 1000, max: most * 1000 }).map((thousandths) => thousandths / 1000);
    const requests = fc.record(
      {
        partName: fc.constantFrom('bell', 'leaf, 3 × vine'),
        areaDm2: number(1, 900),
        currentDensityAmpsPerDm2: number(1, 90),
        averageThicknessMicrometres: number(1, 9000),
        strikeDensityAmpsPerDm2: number(0, 9),
        strikeMinutes: number(0, 600),
        rampMinutes: number(0, 900),
        rotationPulsesPerMinute: fc.integer({ min: 0, max: 600 }),
        bath: fc.constantFrom(...bathProfiles.map(({ key }) => key)),
        cathodeEfficiency: fc.integer({ min: 10, max: 1000 }).map((thousandths) => thousandths / 1000),
      },
      { requiredKeys: ['partName', 'areaDm2', 'currentDensityAmpsPerDm2', 'averageThicknessMicrometres'] },
    );
    fc.assert(
      fc.property(requests, fc.boolean(), (request, isCharge) => {
        const { averageThicknessMicrometres, ...rest } = request;
        const asked = isCharge ? { ...rest, chargeAmpereHours: averageThicknessMicrometres } : request;
        expect(recipeRequest(recipeFormOf(asked))).toEqual({ request: asked });
      }),
    );
  });
});
