/* The bath profiles against what others published, and in themselves. */
import {
  acidConductivitySiemensPerMetre,
  bathProfile,
  bathProfiles,
  copperBathDensityKgPerM3,
  depositThicknessMicrometres,
  fromUnits,
} from '@bathkeeper/shared-core/trade';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

const profile = (key: string) => bathProfile(key)!;
const constituent = (key: string, name: RegExp) => profile(key).composition.find((each) => name.test(each.name))!;

describe('bright copper', () => {
  test('is what a bath supplier’s data sheet says', () => {
    expect(constituent('bright-copper', /copper sulphate/)).toMatchObject({
      min: 190,
      usual: 200,
      max: 210,
      unit: 'g/L',
    });
    expect(constituent('bright-copper', /acid/)).toMatchObject({ min: 60, usual: 70, max: 80, unit: 'g/L' });
    expect(constituent('bright-copper', /chloride/)).toMatchObject({ min: 50, usual: 75, max: 100, unit: 'mg/L' });
    expect(profile('bright-copper').bathCelsius).toMatchObject({ min: 20, usual: 25, max: 30 });
    expect(profile('bright-copper').cathodeDensityAmpsPerDm2).toMatchObject({ min: 2, usual: 4, max: 7.5 });
  });

  test('has anodes at 1 to 3 A/dm2 (two other suppliers’ data sheets) and about 100 % efficiency (Metal Finishing Guidebook 2011-12, p. 206, table VIII)', () => {
    expect(profile('bright-copper').anodeDensityAmpsPerDm2).toMatchObject({ min: 1, max: 3 });
    expect(profile('bright-copper').cathodeEfficiency.usual).toBe(1);
  });

  test('lies within the general range of 195 to 248 g/L, 30 to 75 g/L acid and 20 to 100 A/ft2 (the same page), but for its own lowest and highest', () => {
    const { usual } = constituent('bright-copper', /copper sulphate/);
    expect(usual).toBeGreaterThanOrEqual(195);
    expect(usual).toBeLessThanOrEqual(248);
    expect(constituent('bright-copper', /acid/).usual).toBeLessThanOrEqual(75);
    expect(profile('bright-copper').cathodeDensityAmpsPerDm2.max).toBeLessThan(fromUnits(100, 'A/dm²', 'imperial'));
  });

  test('wants phosphorised anodes of 0.040 to 0.065 % (Depew, pfonline) at one to two times the part’s area (Metal Finishing Guidebook, from memory)', () => {
    expect(profile('bright-copper').anodes).toContain('0.040 to 0.065 % P');
    expect(profile('bright-copper').anodeAreaRatio).toMatchObject({ min: 1, max: 2 });
  });

  test('at 4.5 A/dm2 grows 1.0 um a minute (two suppliers’ data sheets; computed: 0.992)', () => {
    expectWithin(depositThicknessMicrometres(4.5 / 60, 1, profile('bright-copper').metal), 1.0, 0.01);
  });
});

test('high-throw copper is table IX of the Metal Finishing Guidebook 2011-12, p. 206', () => {
  expect(constituent('high-throw-copper', /copper sulphate/)).toMatchObject({ min: 60, max: 75 });
  expect(constituent('high-throw-copper', /acid/)).toMatchObject({ min: 187, max: 225 });
  expect(constituent('high-throw-copper', /chloride/)).toMatchObject({ min: 50, max: 100 });
});

test('copper for forming is ASTM B832 (from memory): 210 to 240 and 52 to 75 g/L, 21 to 32 degC, 1 to 10 A/dm2', () => {
  expect(constituent('forming-copper', /copper sulphate/)).toMatchObject({ min: 210, max: 240 });
  expect(constituent('forming-copper', /acid/)).toMatchObject({ min: 52, max: 75 });
  expect(profile('forming-copper').bathCelsius).toMatchObject({ min: 21, max: 32 });
  expect(profile('forming-copper').cathodeDensityAmpsPerDm2).toMatchObject({ min: 1, max: 10 });
});

test('nickel is worked at 95 % (Rudy, finishingandcoating.com/779)', () => {
  expect(profile('watts-nickel').cathodeEfficiency.usual).toBe(0.95);
  expect(profile('sulphamate-nickel').cathodeEfficiency.usual).toBe(0.95);
});

test('silver from cyanide is Blair, Metal Finishing Guidebook 2011-12, p. 240', () => {
  expect(constituent('silver-cyanide', /silver/)).toMatchObject({ min: 15, max: 40 });
  expect(constituent('silver-cyanide', /free potassium cyanide/)).toMatchObject({ min: 12, max: 120 });
  expect(profile('silver-cyanide').bathCelsius).toMatchObject({ min: 20, max: 30 });
  expect(profile('silver-cyanide').cathodeDensityAmpsPerDm2).toMatchObject({ min: 0.5, max: 4 });
  expect(profile('silver-cyanide').cautions.join(' ')).toMatch(/never in a room with an acid copper bath/);
});

test('200 g/L of pentahydrate are 0.801 mol/L or 50.90 g/L of copper, 0.2545 of its weight (computed from the atomic weights)', () => {
  const { ion, metal } = profile('bright-copper');
  expectWithin(ion!.molesPerCubicMetre, 801, 0.001);
  expectWithin((ion!.molesPerCubicMetre * metal.molarMassGramsPerMole) / 1000, 50.9, 0.0005);
  expectWithin((ion!.molesPerCubicMetre * metal.molarMassGramsPerMole) / 1000 / 200, 0.2545, 0.0005);
});

describe('every profile', () => {
  test.each(bathProfiles.map((each) => [each.key, each] as const))(
    '%s has ranges in order, each with its source',
    (_key, each) => {
      const ranges = [
        each.cathodeDensityAmpsPerDm2,
        each.anodeAreaRatio,
        each.bathCelsius,
        each.cathodeEfficiency,
        each.conductivitySiemensPerMetre,
        each.densityKgPerM3,
        each.electrodeVolts,
        each.strikeDensityAmpsPerDm2,
        ...each.composition,
      ];
      for (const range of ranges) {
        expect(range.min).toBeLessThanOrEqual(range.usual);
        expect(range.usual).toBeLessThanOrEqual(range.max);
        expect(range.source).not.toBe('');
      }
      expect(each.anodeDensityAmpsPerDm2.min).toBeLessThan(each.anodeDensityAmpsPerDm2.max);
      expect(each.startCelsiusMin).toBeLessThan(each.warnCelsius);
      expect(each.warnCelsius).toBeLessThan(each.holdCelsius);
      expect(each.cathodeEfficiency.max).toBeLessThanOrEqual(1);
    },
  );

  test('has a key of its own', () => {
    expect(new Set(bathProfiles.map((each) => each.key)).size).toBe(bathProfiles.length);
    expect(bathProfile('no-such-bath')).toBeUndefined();
  });

  test.each(['bright-copper', 'high-throw-copper', 'forming-copper'])(
    '%s conducts less than its acid alone, and has the density of its make-up',
    (key) => {
      const acid = constituent(key, /acid/);
      const { conductivitySiemensPerMetre, densityKgPerM3 } = profile(key);
      expect(conductivitySiemensPerMetre.max).toBeLessThan(acidConductivitySiemensPerMetre(acid.usual));
      // the middle of the make-up lies within the profile's own range
      const made = copperBathDensityKgPerM3(constituent(key, /copper sulphate/).usual, acid.usual, 20);
      expect(made).toBeGreaterThan(densityKgPerM3.min);
      expect(made).toBeLessThan(densityKgPerM3.max);
    },
  );
});
