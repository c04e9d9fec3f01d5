/* The second layer by brush or pen: a worked example of others, and the pen's own factors. */
import {
  bathProfile,
  chargeAmpereHoursForThickness,
  copper,
  leastPenFactor,
  type Metal,
  nickel,
  palladium,
  penAmpereHours,
  penFactors,
  penPasses,
  planOf,
  turnsPerMinute,
} from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

const squareInchDm2 = 0.064516;

describe('the worked example of the Metal Finishing Guidebook 2011-12, p. 348', () => {
  // 6 in diameter, 2 in long: 3.14 x 6 x 2 = 37.7 in2; 0.002 in of a solution of 150 Ah for a cubic inch, so 0.015 for in2 and 0.0001 in
  const areaDm2 = 37.7 * squareInchDm2;
  const charge = penAmpereHours(0.015, areaDm2, 0.002 * 25_400);

  test('takes 11.31 Ah, and 22.6 min at 30 A', () => {
    expectWithin(charge, 11.31, 0.001);
    expectWithin((charge / 30) * 60, 22.6, 0.002);
  });

  test('turns 31.8 times a minute for 50 ft/min', () => {
    expectWithin(turnsPerMinute(50 * 0.3048, 6 * 25.4), 31.8, 0.002);
  });
});

describe('a pen', () => {
  test.each<[keyof typeof penFactors, number]>([
    // the theory beside the factors of ASM Handbook vol. 5, selective plating, table 1; computed by Faraday’s law
    ['copper', 0.01239],
    ['nickel-acid', 0.01333],
    ['nickel-alkaline', 0.01333],
    ['palladium', 0.00992],
  ])('for %s takes %d Ah for a square inch and 0.0001 in at least', (name, ampereHours) => {
    expectWithin(leastPenFactor(name) / 0.995, ampereHours, 0.001);
  });

  test('said to take less is refused with what Faraday’s law wants', () => {
    const layer = (factor: number) =>
      planOf({
        parts: [{ name: 'plate', pieces: 1, areaDm2: 1 }],
        plateHours: 4,
        secondLayer: { pen: 'copper', micrometres: 5, areaDm2: 1, amps: 5, ampereHoursPerIn2TenThousandth: factor },
      });
    expect(layer(0.005)).toEqual({
      faults: [
        expect.stringMatching(/factor of the pen has to be at least 0\.01232 .*Faraday’s law.* got 0\.005\. Check/),
      ],
    });
    expect('plan' in layer(0.0124)).toBe(true);
  });

  test.each<[keyof typeof penFactors, Metal, number]>([
    // ASM Handbook vol. 5, selective plating, table 1 (a re-hosted copy): implied efficiencies against theory
    ['copper', copper, 0.95],
    ['nickel-acid', nickel, 0.28],
    ['nickel-alkaline', nickel, 0.78],
    ['palladium', palladium, 0.52],
  ])('for %s has the efficiency that its factor implies, and not the tank’s', (name, metal, efficiency) => {
    const theory = chargeAmpereHoursForThickness(2.54, squareInchDm2, metal);
    expectWithin(theory / penFactors[name], efficiency, 0.02);
    const byPen = penAmpereHours(penFactors[name], 1, 10);
    const byTank = chargeAmpereHoursForThickness(10, 1, metal, bathProfile('bright-copper')!.cathodeEfficiency.usual);
    expect(byPen).toBeGreaterThan(byTank);
  });

  test('passes as often over a spot as its face covers the area in the time', () => {
    // 36 s at 100 mm/s with a face of 10 mm cover 36,000 mm2: 3.6 times a dm2
    expectWithin(penPasses(0.01, 100, 10, 1), 3.6, 1e-12);
  });
});
