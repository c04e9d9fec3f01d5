/* What makes up a bath, and what corrects it: against published figures where there are any, else against the balance of masses. */
import {
  bathProfile,
  boughtGrams,
  boughtMillilitres,
  concentratedHydrochloric,
  concentratedSulphuric,
  copperBathDensityKgPerM3,
  correction,
  ledgerProfiles,
  makeUp,
  replacedByWaterLitres,
  usualComposition,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';

const bright = { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 };
const asked = { litres: 60, composition: bright, saltPurityShare: 1, acid: concentratedSulphuric };

describe('an acid as bought', () => {
  test('49 g from 97 % of 1.84 g/mL are 27.46 mL (a laboratory’s sheet for 1 N sulphuric acid)', () => {
    expectWithin(boughtMillilitres(49, { strengthShare: 0.97, densityGramsPerMl: 1.84 }), 27.46, 1e-3);
  });

  test('holds what was asked of it', () => {
    expect(boughtGrams(boughtMillilitres(3600, concentratedSulphuric), concentratedSulphuric)).toBeCloseTo(3600, 9);
  });
});

describe('a bath made up', () => {
  test('of 60 L, 200 g/L and 60 g/L takes 12 kg of salt and 3.6 kg of acid, whatever the acid’s strength', () => {
    for (const acid of [concentratedSulphuric, { strengthShare: 0.37, densityGramsPerMl: 1.28 }]) {
      const made = makeUp({ ...asked, acid });
      expect(made.saltGrams).toBeCloseTo(12_000, 6);
      expect(boughtGrams(made.acidMillilitres, acid)).toBeCloseTo(3600, 6);
    }
  });

  test('weighs what its density says (1159.8 kg/m3 at 20 degC, computed by Laliberté), and water makes up the difference', () => {
    const made = makeUp(asked);
    expectWithin(made.bathKilograms, 60 * 1.1598, 3e-3);
    expectWithin(made.waterLitres * 0.9982 + 12 + 3.6 / 0.96, made.bathKilograms, 1e-3);
    expectWithin(made.waterLitres, 53.9, 3e-3);
  });

  test('takes 10 mL of concentrated hydrochloric acid in 100 US gal for 12 mg/L of chloride (Metal Finishing Guidebook 2011-12, p. 206; it computes to 11.2, within 10 %)', () => {
    const composition = { ...bright, chloride: 12 };
    const made = makeUp({ ...asked, litres: 378.54, composition, hydrochloric: concentratedHydrochloric });
    expectWithin(made.hydrochloricMillilitres, 10, 0.1);
    expect(made.sodiumChlorideGrams).toBe(0);
  });

  test('takes 1.648 g of NaCl for 1 g of chloride (computed from the atomic weights)', () => {
    const made = makeUp({ ...asked, litres: 1000, composition: { ...bright, chloride: 1 } });
    expectWithin(made.sodiumChlorideGrams, 1.6485, 5e-4);
  });

  test('takes more of a salt that is not pure, and brightener only as its supplier says', () => {
    expect(makeUp({ ...asked, saltPurityShare: 0.98 }).saltGrams).toBeCloseTo(12_000 / 0.98, 6);
    expect(makeUp(asked).brightenerMillilitres).toBe(0);
    expect(makeUp({ ...asked, brightenerMillilitresPerLitre: 4 }).brightenerMillilitres).toBe(240);
  });

  test('can be made of every acid copper profile as it is usual', () => {
    expect(ledgerProfiles.map(({ key }) => key)).toEqual(['bright-copper', 'high-throw-copper', 'forming-copper']);
    for (const profile of ledgerProfiles)
      expect(makeUp({ ...asked, composition: usualComposition(profile) }).waterLitres).toBeGreaterThan(45);
    expect(usualComposition(bathProfile('bright-copper')!)).toEqual({
      'copper-sulphate': 200,
      'sulphuric-acid': 70,
      chloride: 75,
    });
  });
});

describe('a correction', () => {
  const base = { litres: 60, aimedAt: bright, saltPurityShare: 1, acid: concentratedSulphuric };
  const massKilograms = (litres: number, c: typeof bright): number =>
    (litres * copperBathDensityKgPerM3(c['copper-sulphate'], c['sulphuric-acid'], 20)) / 1000;

  test('replaces 15 of 60 L by water to bring 80 to 60 g/L (1 − 60 / 80)', () => {
    expect(replacedByWaterLitres(60, 80, 60)).toBeCloseTo(15, 9);
    expect(replacedByWaterLitres(60, 50, 60)).toBe(0);
  });

  test('adds more salt than the volume before would want, since salt makes the bath larger, and the masses balance', () => {
    const found = { ...bright, 'copper-sulphate': 170 };
    const done = correction({ ...base, found, of: ['copper-sulphate'] });
    expect(done.composition['copper-sulphate']).toBeCloseTo(200, 6);
    expect(done.saltGrams).toBeGreaterThan(60 * 30);
    expect(done.saltGrams).toBeLessThan(60 * 30 * 1.12);
    expect(done.litres).toBeGreaterThan(60.4);
    expect(done.composition['sulphuric-acid']).toBeLessThan(60);
    expectWithin(massKilograms(60, found) + done.saltGrams / 1000, massKilograms(done.litres, done.composition), 1e-6);
  });

  test('adds nothing to what is not to be corrected, and nothing where all is as aimed at', () => {
    const found = { 'copper-sulphate': 190, 'sulphuric-acid': 55, chloride: 40 };
    const done = correction({ ...base, found, of: ['chloride'] });
    expect(done).toMatchObject({ replacedLitres: 0, saltGrams: 0, acidMillilitres: 0 });
    expectWithin(done.sodiumChlorideGrams, (60 * 0.02 * 58.44) / 35.45, 1e-3);
    const calm = correction({ ...base, found: bright, of: ['copper-sulphate', 'sulphuric-acid', 'chloride'] });
    expect(calm.replacedLitres + calm.saltGrams + calm.acidMillilitres + calm.sodiumChlorideGrams).toBeCloseTo(0, 6);
    expect(calm.litres).toBeCloseTo(60, 6);
  });

  test('dilutes first where something is too high, and then makes good what the water has thinned', () => {
    const found = { 'copper-sulphate': 200, 'sulphuric-acid': 80, chloride: 60 };
    const done = correction({ ...base, found, of: ['copper-sulphate', 'sulphuric-acid', 'chloride'] });
    expect(done.replacedLitres).toBeCloseTo(15, 6);
    expect(done.saltGrams).toBeGreaterThan(3000);
    expect(done.composition['copper-sulphate']).toBeCloseTo(200, 6);
    expect(done.composition.chloride).toBeCloseTo(60, 6);
  });

  test('reaches what is aimed at from whatever is found', () => {
    const share = fc.double({ min: 0.6, max: 1.4, noNaN: true });
    fc.assert(
      fc.property(share, share, share, fc.double({ min: 1, max: 500, noNaN: true }), (salt, acid, chloride, litres) => {
        const found = { 'copper-sulphate': 200 * salt, 'sulphuric-acid': 60 * acid, chloride: 60 * chloride };
        const done = correction({ ...base, litres, found, of: ['copper-sulphate', 'sulphuric-acid', 'chloride'] });
        for (const key of ['copper-sulphate', 'sulphuric-acid', 'chloride'] as const)
          expect(Math.abs(done.composition[key] / bright[key] - 1)).toBeLessThan(1e-6);
      }),
    );
  });
});
