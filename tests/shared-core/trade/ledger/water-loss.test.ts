/* Water lost between two levels against what evaporates. */
import { evaporatedLitres, type OpenTankAsked, waterLoss } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { DAY_MS, entriesOf } from './written-entries.js';

const SQUARE_FOOT_DM2 = 9.290304;
const US_GALLON_LITRES = 3.785411784;
const still: OpenTankAsked = { kind: 'tank', openSurfaceDm2: SQUARE_FOOT_DM2, bathCelsius: (80 - 32) / 1.8, isAirAgitated: false }; // prettier-ignore

describe('what evaporates', () => {
  test('from a square foot at 80 °F is 0.0099 US gal/h still and 0.0217 with air (Kirman, quoted at finishing.com/174/85)', () => {
    expectWithin(evaporatedLitres(still, 1) / US_GALLON_LITRES, 0.0099, 0.01);
    expectWithin(evaporatedLitres({ ...still, isAirAgitated: true }, 1) / US_GALLON_LITRES, 0.0217, 0.01);
  });

  test('is within a factor of two of 0.017 US gal/(h·ft²) at 80 °F (EPA 625/8-82-008)', () => {
    expect(0.017 / (evaporatedLitres(still, 1) / US_GALLON_LITRES)).toBeLessThan(2);
  });

  test('grows with surface and time alike, and with warmth', () => {
    const some = fc.double({ min: 0.1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(some, some, fc.double({ min: 5, max: 50, noNaN: true }), (openSurfaceDm2, hours, bathCelsius) => {
        const tank: OpenTankAsked = { ...still, openSurfaceDm2, bathCelsius };
        expectWithin(evaporatedLitres({ ...tank, openSurfaceDm2: 2 * openSurfaceDm2 }, hours), evaporatedLitres(tank, 2 * hours), 1e-9); // prettier-ignore
        expect(evaporatedLitres({ ...tank, bathCelsius: bathCelsius + 1 }, hours)).toBeGreaterThan(evaporatedLitres(tank, hours)); // prettier-ignore
      }),
    );
  });
});

describe('a loss', () => {
  const day = (litres: number) => ({ fromMs: 0, toMs: DAY_MS, litres, from: 'level' as const });
  const expected = evaporatedLitres(still, 24);

  test('is more or less than expected only beyond the factor of two', () => {
    const entries = entriesOf([still]);
    expect(waterLoss(day(expected * 1.9), entries)).toMatchObject({ isMore: false, isLess: false });
    expect(waterLoss(day(expected * 2.1), entries)).toMatchObject({ isMore: true, isLess: false });
    expect(waterLoss(day(expected / 2.1), entries)).toMatchObject({ isMore: false, isLess: true });
  });

  test('is neither more nor less in less than a day: 1.5 L in 23 minutes after making up is a mark that was not filled to', () => {
    const entries = entriesOf([still]);
    const short = { fromMs: 0, toMs: 23 * 60_000, litres: 1.5, from: 'make-up' as const };
    expect(waterLoss(short, entries)).toMatchObject({ isCompared: false, isMore: false, isLess: false });
    const nearlyDay = { ...day(expected * 10), toMs: DAY_MS - 1 };
    expect(waterLoss(nearlyDay, entries)).toMatchObject({ isCompared: false, isMore: false });
    expect(waterLoss({ ...nearlyDay, toMs: DAY_MS }, entries)).toMatchObject({ isCompared: true, isMore: true });
  });

  test('has nothing to be held against where nobody wrote down how the tank stands open', () => {
    expect(waterLoss(day(3), [])).toEqual({
      ...day(3),
      isCompared: true,
      expectedLitres: null,
      isMore: false,
      isLess: false,
    });
  });

  test('is held against the tank as it was written down last before its end', () => {
    const entries = entriesOf([still, { ...still, openSurfaceDm2: 10 * SQUARE_FOOT_DM2 }]);
    const before = waterLoss({ fromMs: 0, toMs: DAY_MS / 2, litres: 1, from: 'level' }, entries);
    const after = waterLoss({ fromMs: DAY_MS, toMs: DAY_MS * 1.5, litres: 1, from: 'level' }, entries);
    expectWithin(after.expectedLitres!, before.expectedLitres! * 10, 1e-9);
  });
});
