/* Cable, shunt, contacts and paint against standards and textbooks. Each row names its source. */
import {
  areaServedM2,
  cableFor,
  type CableMm2,
  cableOhms,
  cableOhmsPerKilometre,
  cableSizesMm2,
  contactsFor,
  copperSheetOhmsPerSquare,
  coveringMicrometres,
  contactShare,
  contactWatts,
  coolCableWattsPerMetre,
  farEndShare,
  hottestSpotCelsius,
  paintNumber,
  shuntFor,
  shuntOhms,
  smallDropVolts,
  wayForPaintNumber,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

describe('cable', () => {
  test('has the resistance of IEC 60228, class 5 (mycableengineering.com and uecables.com, identical)', () => {
    expect(cableOhmsPerKilometre).toEqual({ 2.5: 7.98, 4: 4.95, 6: 3.3, 10: 1.91, 16: 1.21, 25: 0.78 });
  });

  test('is never better than pure copper of 58 MS/m (IEC 60028, from memory)', () => {
    for (const size of cableSizesMm2) expect(cableOhms(size, 1)).toBeGreaterThan(1 / 58 / size);
  });

  test.each<[CableMm2, number, number]>([
    // 31 A over 2 m of conductor, computed from the same table
    [6, 0.205, 6.3],
    [10, 0.118, 3.7],
    [16, 0.075, 2.3],
  ])('of %d mm2 loses %d V and %d W over 2 m at 31 A', (size, volts, watts) => {
    expectWithin(31 * cableOhms(size, 2), volts, 0.005);
    expectWithin(31 * 31 * cableOhms(size, 2), watts, 0.02);
  });

  test('at 50 degC resists 1.118 times as much (0.00393/K, IEC 60028, from memory)', () => {
    expectWithin(cableOhms(10, 1, 50) / cableOhms(10, 1), 1.118, 0.001);
  });

  test('for 31 A over 2 m is one of 10 mm2, for 80 A several of the largest', () => {
    expect(cableFor(31, 2)).toEqual({ sizeMm2: 10, inParallel: 1 });
    expect(cableFor(1, 2)).toEqual({ sizeMm2: 2.5, inParallel: 1 });
    expect(cableFor(80, 2).inParallel).toBeGreaterThan(1);
  });

  test('that is chosen stays cool and loses little, for any current', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.001, max: 500, noNaN: true }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        (amps, metres) => {
          const { sizeMm2, inParallel } = cableFor(amps, metres);
          const each = amps / inParallel;
          expect(each * each * cableOhms(sizeMm2, 1)).toBeLessThanOrEqual(coolCableWattsPerMetre);
          expect(each * cableOhms(sizeMm2, metres)).toBeLessThanOrEqual(smallDropVolts);
        },
      ),
    );
  });
});

describe('a shunt', () => {
  test('of 50 A / 75 mV has 1.5 mΩ, of 100 A 0.75 mΩ (a maker’s catalogue)', () => {
    expectWithin(shuntOhms({ ratedAmps: 50, ratedMillivolts: 75 }), 0.0015, 1e-9);
    expectWithin(shuntOhms({ ratedAmps: 100, ratedMillivolts: 75 }), 0.00075, 1e-9);
  });

  test.each([
    // 31 A in 50 A shunts of 75 and 60 mV, computed
    [75, 46.5, 1.44],
    [60, 37.2, 1.15],
  ])('of 50 A / %d mV gives %d mV and %d W at 31 A', (ratedMillivolts, millivolts, watts) => {
    const ohms = shuntOhms({ ratedAmps: 50, ratedMillivolts });
    expectWithin(31 * ohms * 1000, millivolts, 0.001);
    expectWithin(31 * 31 * ohms, watts, 0.005);
  });

  test('is the smallest with 1.4 times the current (selectsupport.com)', () => {
    expect(shuntFor(31).ratedAmps).toBe(50);
    expect(shuntFor(36).ratedAmps).toBe(75);
    expect(shuntFor(2).ratedAmps).toBe(10);
    expect(shuntFor(1000).ratedAmps).toBe(1400);
  });
});

describe('a contact', () => {
  test.each([
    // I²R at 31 A, computed
    [0.001, 0.96],
    [0.01, 9.6],
    [0.05, 48],
  ])('of %d Ω makes %d W at 31 A', (ohms, watts) => {
    expectWithin(contactWatts(31, ohms), watts, 0.005);
  });

  test.each([
    // Holm, from memory
    [0.12, 210],
    [0.43, 1134],
  ])('that drops %d V is %d °C hot where it touches', (volts, celsius) => {
    expectWithin(hottestSpotCelsius(volts), celsius, 0.005);
  });
});

describe('a painted layer (Tobias and Wijsman 1953, from memory; derivable)', () => {
  test.each([
    [0.5, 1.082, 0.9595],
    [1, 1.313, 0.8509],
    [2, 2.0746, 0.5514],
    [3, 3.0149, 0.2995],
    [5, 5.0005, 0.0674],
  ])('of ν %d takes %d times the average at its contact and %d at its far end', (nu, near, far) => {
    expectWithin(contactShare(nu), near, 1e-4);
    expectWithin(farEndShare(nu), far, 1e-3);
  });

  test('of 5 cm and r 5e-3 Ω m2 has ν 0.5 at 0.5 Ω/sq and 5.24 at 55, where the far end gets 5 %', () => {
    expectWithin(paintNumber(0.05, 0.5, 5e-3), 0.5, 1e-9);
    expectWithin(paintNumber(0.05, 55, 5e-3), 5.24, 0.001);
    expect(farEndShare(5.24)).toBeGreaterThan(0.045);
    expect(farEndShare(5.24)).toBeLessThan(0.06);
  });

  test('of 1 µm of copper has 17.2 mΩ a square, of 25 µm 0.00069 Ω (computed; a printed-circuit calculator: 0.00068), as R = Rs × squares wants', () => {
    expectWithin(copperSheetOhmsPerSquare(1), 0.0172, 0.003);
    expectWithin(copperSheetOhmsPerSquare(25), 0.00069, 0.003);
  });

  test('no longer counts once so much copper covers it that ν is 1 by the copper alone', () => {
    const micrometres = coveringMicrometres(0.1, 5e-3);
    expectWithin(paintNumber(0.1, copperSheetOhmsPerSquare(micrometres), 5e-3), 1, 1e-9);
    expect(micrometres).toBeLessThan(0.1);
  });

  test('that conducts perfectly is even', () => {
    expect(contactShare(0)).toBe(1);
    expect(farEndShare(0)).toBe(1);
  });

  test('wants two contacts at least, and as many that no place is farther than ν 1', () => {
    const way = wayForPaintNumber(1, 55, 5e-3);
    expectWithin(paintNumber(way, 55, 5e-3), 1, 1e-12);
    expect(contactsFor(areaServedM2(way) * 0.5, way)).toBe(2);
    expect(contactsFor(areaServedM2(way) * 3, way)).toBe(3);
    expect(contactsFor(areaServedM2(way) * 3.1, way)).toBe(4);
  });
});
