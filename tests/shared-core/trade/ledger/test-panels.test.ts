/* Hull cell and throwing power against what was published of them. Each row names its source. */
import { hullAmpsPerDm2, hullFound, hullPanelMm, hullRangeMm, throwingFormulaKeys, throwingPowerPercent } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';

const SQUARE_FOOT_DM2 = 9.290304;

describe('the current density along a Hull cell panel', () => {
  test('of 267 mL at 1 A is 27.7 - 48.7 log L A/ft² (Metal Finishing Guidebook 2013, p. 482)', () => {
    for (const inches of [0.25, 1, 2, 3.25])
      expectWithin(
        hullAmpsPerDm2('267 mL', 1, inches * 25.4)! * SQUARE_FOOT_DM2,
        27.7 - 48.7 * Math.log10(inches),
        1e-9,
      );
  });

  test('is that of the metric form, I (5.10 - 5.24 log L[cm]), to its rounding (from memory)', () => {
    for (const [mm, ampsPerDm2] of [[10, 5.1], [20, 3.523], [40, 1.945], [80, 0.368]] as const)
      expectWithin(hullAmpsPerDm2('267 mL', 1, mm)!, ampsPerDm2, 5e-3);
  }); // prettier-ignore

  test('of 1 L at 1 A and 1 in is 18.8 A/ft² (Metal Finishing Guidebook 2013, p. 482)', () => {
    expectWithin(hullAmpsPerDm2('1 L', 1, 25.4)! * SQUARE_FOOT_DM2, 18.8, 1e-9);
  });

  test('at 0.2 A goes from about 12 to 0.4 A/ft² (Metal Finishing Guidebook 2012-13, p. 528; the line gives 11.4 and 0.5)', () => {
    const { fromMm, toMm } = hullRangeMm('267 mL');
    expectWithin(hullAmpsPerDm2('267 mL', 0.2, fromMm)! * SQUARE_FOOT_DM2, 12, 0.1);
    expect(Math.abs(hullAmpsPerDm2('267 mL', 0.2, toMm)! * SQUARE_FOOT_DM2 - 0.4)).toBeLessThan(0.2);
  });

  test('has no figure outside of the published range, and is above zero and falls within it', () => {
    for (const cell of ['267 mL', '1 L'] as const) {
      const { fromMm, toMm } = hullRangeMm(cell);
      expect(hullAmpsPerDm2(cell, 1, fromMm - 0.01)).toBeNull();
      expect(hullAmpsPerDm2(cell, 1, toMm + 0.01)).toBeNull();
      expect(toMm).toBeLessThan(hullPanelMm(cell));
      const inside = fc.double({ min: fromMm, max: toMm, noNaN: true });
      fc.assert(
        fc.property(inside, inside, fc.double({ min: 0.1, max: 10, noNaN: true }), (one, other, amps) => {
          const [near, far] = [Math.min(one, other), Math.max(one, other)];
          expect(hullAmpsPerDm2(cell, amps, far)).toBeGreaterThan(0);
          expect(hullAmpsPerDm2(cell, amps, near)).toBeGreaterThanOrEqual(hullAmpsPerDm2(cell, amps, far)!);
          expectWithin(hullAmpsPerDm2(cell, amps, near)!, amps * hullAmpsPerDm2(cell, 1, near)!, 1e-12);
        }),
      );
    }
  });

  test('is told of each stretch at both ends', () => {
    expect(hullFound('267 mL', 1, [{ look: 'burnt', fromMm: 0, toMm: 10 }])).toEqual([
      { look: 'burnt', fromMm: 0, toMm: 10, highAmpsPerDm2: null, lowAmpsPerDm2: expect.closeTo(5.1, 1) as number },
    ]);
  });
});

describe('throwing power at distances of 5 to 1', () => {
  // Haring-Blum: galvanotechnik-for-you.de. Heatley and Field from memory of the handbooks.
  test.each([
    [5, 0, 0, 0],
    [4, 20, 25, 14.29],
    [3, 40, 50, 33.33],
    [2, 60, 75, 60],
    [1, 80, 100, 100],
    [6, -20, -25, -11.11],
  ])(
    'and %d times the metal near is %d (Haring-Blum), %d (Heatley), %d (Field)',
    (ratio, haringBlum, heatley, field) => {
      expect(throwingPowerPercent('haring-blum', 5, ratio, 1)).toBeCloseTo(haringBlum, 2);
      expect(throwingPowerPercent('heatley', 5, ratio, 1)).toBeCloseTo(heatley, 2);
      expect(throwingPowerPercent('field', 5, ratio, 1)).toBeCloseTo(field, 2);
    },
  );

  test('is refused in words where far weighs more, has nothing, or lies no farther', () => {
    for (const [ratio, near, far] of [[5, 1, 2], [5, 1, 0], [1, 2, 1]] as const)
      expect(() => throwingPowerPercent('field', ratio, near, far)).toThrow(/taken for each other/);
  }); // prettier-ignore

  test('never passes 100, and falls with every formula the more of the metal is near', () => {
    const grams = fc.double({ min: 0.01, max: 100, noNaN: true });
    fc.assert(
      fc.property(
        fc.double({ min: 1.01, max: 20, noNaN: true }),
        grams,
        fc.double({ min: 1, max: 30, noNaN: true }),
        (k, far, ratio) => {
          for (const formula of throwingFormulaKeys) {
            const got = throwingPowerPercent(formula, k, far * ratio, far);
            expect(got).toBeLessThanOrEqual(100 + 1e-9);
            expect(throwingPowerPercent(formula, k, far * ratio * 1.1, far)).toBeLessThanOrEqual(got + 1e-9);
          }
        },
      ),
    );
  });
});
