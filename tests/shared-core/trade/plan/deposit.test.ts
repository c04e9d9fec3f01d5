/* Current, charge, time, thickness and mass of a plan. */
import { bathProfiles, depositGramsPerAmpereHour, planOf } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { faultsOf, lampshade, figuresFor, typedArea } from './requests.js';

describe('two rules of thumb that Faraday does not support (common practice, no source)', () => {
  test('2 A/dm2 for 4 h, said to give 0.15 mm, is planned as 105.8 µm', () => {
    const { deposit } = figuresFor({
      parts: typedArea(1),
      bath: 'bright-copper',
      currentDensityAmpsPerDm2: 2,
      plateHours: 4,
    });
    expectWithin(deposit.averageThicknessMicrometres.value, 105.8, 0.002);
    expect(deposit.chargeAmpereHours.value).toBe(8);
    expect(deposit.plateHours.value).toBe(4);
  });

  test('31 A for 10 h on 15.5 dm2, said to give 0.5 to 0.6 mm, is planned as 264.6 µm and 367.5 g', () => {
    const { deposit } = figuresFor({ parts: typedArea(15.5), bath: 'bright-copper', currentAmps: 31, plateHours: 10 });
    expectWithin(deposit.averageThicknessMicrometres.value, 264.6, 0.002);
    expectWithin(deposit.depositMassGrams.value, 367.5, 0.001);
    expectWithin(deposit.setPointDensityAmpsPerDm2.value, 2, 1e-12);
  });
});

describe('the lampshade', () => {
  const { deposit } = figuresFor(lampshade);

  test('takes 24 A and 272.1 Ah, and 11.34 h at that current', () => {
    expect(deposit.setPointAmps.value).toBe(24);
    expectWithin(deposit.chargeAmpereHours.value, 272.1, 0.001);
    expect(deposit.plateHours.value).toBe(deposit.chargeAmpereHours.value / 24);
    expectWithin(deposit.depositMassGrams.value, 12 * 0.03 * 8.96 * 100, 1e-9);
  });

  test('strikes at 0.3 A/dm², and never above its set-point', () => {
    expectWithin(deposit.strikeAmps.value, 3.6, 1e-12);
    expectWithin(figuresFor({ ...lampshade, supplyAmpsMax: 2 }).deposit.strikeAmps.value, 2, 1e-12);
  });

  test('runs longer than the plate time, since strike and ramp give less', () => {
    // strike 10 min at 3.6 A, ramp 30 min from there to 24 A: 0.6 + 6.9 Ah in 40 min
    const restAmpereHours = deposit.chargeAmpereHours.value - 3.6 / 6 - 13.8 / 2;
    expect(deposit.runHours.value).toBeCloseTo(40 / 60 + restAmpereHours / 24, 6);
    expect(deposit.runHours.value).toBeGreaterThan(deposit.plateHours.value);
  });

  test('opens each figure to its formula, its inputs and its source', () => {
    for (const figure of Object.values(deposit)) {
      expect(figure.formula).not.toBe('');
      expect(figure.source).not.toBe('');
      for (const input of figure.inputs) expect(Number.isFinite(input.value), input.label).toBe(true);
    }
    expect(deposit.chargeAmpereHours.inputs.map((each) => each.label)).toContain('Average thickness wanted');
  });

  test('says what nobody gave', () => {
    const { deposit: usual } = figuresFor({ ...lampshade, currentDensityAmpsPerDm2: undefined });
    expect(usual.wantedAmps.inputs[0]).toEqual({ label: 'Current density', value: 4, unit: 'A/dm²', isAssumed: true });
    expect(deposit.wantedAmps.inputs[0]).toEqual({ label: 'Current density', value: 2, unit: 'A/dm²' });
  });
});

describe('a supply that is too small', () => {
  test('gives what it can, and takes longer for the same charge', () => {
    const enough = figuresFor(lampshade).deposit;
    const small = figuresFor({ ...lampshade, supplyAmpsMax: 10 }).deposit;
    expect(small.wantedAmps.value).toBe(24);
    expect(small.setPointAmps.value).toBe(10);
    expect(small.chargeAmpereHours.value).toBe(enough.chargeAmpereHours.value);
    expect(small.plateHours.value / enough.plateHours.value).toBeCloseTo(2.4, 9);
  });

  test('does not shorten the deposit of hours that were asked for', () => {
    const small = figuresFor({
      parts: typedArea(10),
      bath: 'bright-copper',
      currentDensityAmpsPerDm2: 2,
      plateHours: 4,
      supplyAmpsMax: 10,
    });
    expect(small.deposit.plateHours.value).toBe(8);
    expectWithin(small.deposit.averageThicknessMicrometres.value, 105.8, 0.002);
  });
});

describe('for any part', () => {
  const area = fc.double({ min: 1e-5, max: 1000, noNaN: true });

  test('the deposit is charge × Faraday × efficiency, whatever the bath and the target', () => {
    const target = fc.oneof(
      fc.record({ averageThicknessMicrometres: fc.double({ min: 0.1, max: 5000, noNaN: true }) }),
      fc.record({ chargeAmpereHours: fc.double({ min: 0.001, max: 1e5, noNaN: true }) }),
      fc.record({ plateHours: fc.double({ min: 0.01, max: 100, noNaN: true }) }),
    );
    fc.assert(
      fc.property(fc.constantFrom(...bathProfiles), area, target, (profile, areaDm2, aim) => {
        const { deposit } = figuresFor({ parts: typedArea(areaDm2), bath: profile.key, ...aim });
        const grams =
          deposit.chargeAmpereHours.value * depositGramsPerAmpereHour(profile.metal) * profile.cathodeEfficiency.usual;
        expectWithin(deposit.depositMassGrams.value, grams, 1e-12);
        const cm3 = deposit.averageThicknessMicrometres.value * 1e-4 * areaDm2 * 100;
        expectWithin(cm3 * profile.metal.densityGramsPerCm3, grams, 1e-9);
      }),
    );
  });

  test('k pieces take k times the current, charge and mass of one, and the same time', () => {
    fc.assert(
      fc.property(area, fc.integer({ min: 1, max: 50 }), (areaDm2, pieces) => {
        const request = { ...lampshade, supplyAmpsMax: undefined };
        const one = figuresFor({ ...request, parts: typedArea(areaDm2) }).deposit;
        const several = figuresFor({ ...request, parts: typedArea(areaDm2, pieces) }).deposit;
        for (const name of ['areaDm2', 'setPointAmps', 'chargeAmpereHours', 'depositMassGrams'] as const) {
          expectWithin(several[name].value, pieces * one[name].value, 1e-12);
        }
        for (const name of [
          'plateHours',
          'runHours',
          'averageThicknessMicrometres',
          'depositMassGramsEach',
          'setPointDensityAmpsPerDm2',
        ] as const) {
          expectWithin(several[name].value, one[name].value, 1e-9);
        }
      }),
    );
  });

  test('several parts in one bath are as one of their area', () => {
    const { deposit } = figuresFor({
      ...lampshade,
      parts: [...typedArea(3, 2), ...typedArea(1.5, 4)],
    });
    const { deposit: one } = figuresFor({ ...lampshade, parts: typedArea(12) });
    expect(deposit.setPointAmps.value).toBe(one.setPointAmps.value);
    expect(deposit.chargeAmpereHours.value).toBeCloseTo(one.chargeAmpereHours.value, 9);
  });
});

describe('a request that makes no sense', () => {
  test('is refused with everything that is wrong, at once', () => {
    const faults = faultsOf({
      parts: [{ name: 'bell', pieces: 1.5, areaDm2: -1, areaFrom: 'typed in', volumeCm3: NaN }],
      bath: 'gold-paint',
      averageThicknessMicrometres: 300,
      plateHours: 4,
      currentDensityAmpsPerDm2: 2,
      currentAmps: 30,
      bathCelsius: 300,
      supplyAmpsMax: NaN,
      conductors: { cableMm2: 5 },
      tank: { heightMm: 300, fillMm: 400 },
    });
    expect(faults).toEqual([
      expect.stringMatching(/plated area of bell has to be more than 0, up to 10000 dm², got -1 dm²\. Check/),
      expect.stringMatching(/pieces of bell have to be a whole number .*got 1\.5/),
      expect.stringMatching(/volume of bell .*got NaN/),
      expect.stringMatching(/no bath called "gold-paint": expected one of bright-copper, /),
      expect.stringMatching(/exactly one of them has to be given\. Got 2\./),
      expect.stringMatching(/current density or a current can be given, got both/),
      expect.stringMatching(/cable has to be one of 2\.5, 4, 6, 10, 16, 25 mm².*got 5/),
      expect.stringMatching(/below the rim, at most 300 mm, got 400 mm/),
      expect.stringMatching(/largest current of the supply has to be more than 0.*got NaN/),
      expect.stringMatching(/bath temperature has to be 0 to 100 °C, got 300 °C\. Enter it again\./),
    ]);
  });

  test('is one without a part, or without a target', () => {
    expect(faultsOf({ ...lampshade, parts: [] })[0]).toMatch(/needs a part, got none/);
    expect(faultsOf({ ...lampshade, averageThicknessMicrometres: undefined })[0]).toMatch(/Got none/);
  });

  test('is never computed from', () => {
    expect(planOf({ ...lampshade, parts: [] })).not.toHaveProperty('plan');
  });
});
