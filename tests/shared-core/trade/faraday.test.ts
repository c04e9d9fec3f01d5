/*
 * Faraday's law against numbers that others published. Each row names its source; "computed" means that no outside number exists.
 * Rows of these tables that fail recomputation at their own densities are left out, and it is said where.
 */
import {
  chargeAmpereHoursForThickness,
  copper,
  cuprousCopper,
  depositGramsPerAmpereHour,
  depositMassGrams,
  depositThicknessMicrometres,
  FARADAY_COULOMBS_PER_MOLE,
  gold,
  type Metal,
  metals,
  nickel,
  palladium,
  silver,
  tetravalentTin,
  tin,
  trivalentGold,
  zinc,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

test('the Faraday constant is the product of elementary charge and Avogadro constant (SI 2019: both exact)', () => {
  expectWithin(FARADAY_COULOMBS_PER_MOLE, 1.602176634e-19 * 6.02214076e23, 1e-9);
});

describe('grams per ampere-hour', () => {
  test.each([
    // a plating supplier's table of electrochemical equivalents, http://eciato.com/products/category/77/ (0.15 %)
    ['Cu(II)', copper, 1.186, 0.0015],
    ['Cu(I)', cuprousCopper, 2.37, 0.0015],
    ['Ni', nickel, 1.095, 0.0015],
    ['Ag', silver, 4.024, 0.0015],
    ['Zn', zinc, 1.219, 0.0015],
    ['Sn(II)', tin, 2.214, 0.0015],
    ['Sn(IV)', tetravalentTin, 1.106, 0.0015],
    ['Au(I)', gold, 7.348, 0.0015],
    ['Au(III)', trivalentGold, 2.449, 0.0015],
    ['Pd', palladium, 1.985, 0.0015],
    // MISUMI technical centre, plating lesson 166 (2013) (0.15 %)
    ['Cu(II)', copper, 1.186, 0.0015],
    ['Cu(I)', cuprousCopper, 2.371, 0.0015],
    ['Ni', nickel, 1.095, 0.0015],
    ['Ag', silver, 4.026, 0.0015],
    ['Zn', zinc, 1.22, 0.0015],
    ['Sn(II)', tin, 2.215, 0.0015],
    ['Sn(IV)', tetravalentTin, 1.107, 0.0015],
    ['Au(I)', gold, 7.351, 0.0015],
    ['Au(III)', trivalentGold, 2.45, 0.0015],
    ['Pd', palladium, 1.985, 0.0015],
  ])('%s against the published value', (_ion, of, published, fraction) => {
    expectWithin(depositGramsPerAmpereHour(of), published, fraction);
  });
});

describe('micrometres a minute at 1 A/dm2', () => {
  test.each([
    // MISUMI technical centre, plating lesson 166 (2013); copper there has 8.92 g/cm3 (0.3 %, and half of its last digit for gold(III); of zinc the density there is not known)
    ['Cu(II)', { ...copper, densityGramsPerCm3: 8.92 }, 0.222],
    ['Cu(I)', { ...cuprousCopper, densityGramsPerCm3: 8.92 }, 0.443],
    ['Ni', nickel, 0.205],
    ['Ag', silver, 0.639],
    ['Sn(II)', tin, 0.506],
    ['Sn(IV)', tetravalentTin, 0.253],
    ['Au(I)', gold, 0.635],
    ['Au(III)', trivalentGold, 0.212],
    ['Pd', palladium, 0.276],
  ])('%s against the published value', (_ion, of, published) => {
    expectWithin(depositThicknessMicrometres(1 / 60, 1, of), published, of === trivalentGold ? 0.0035 : 0.003);
  });
});

describe('computed elsewhere from the same atomic weights and densities', () => {
  // g/Ah, um/h at 1 A/dm2, Ah/(ft2·mil): no publisher, four digits and more
  test.each([
    ['Cu(II)', copper, 1.18549, 13.231, 17.84],
    ['Cu(I)', cuprousCopper, 2.37099, 26.462, 8.917],
    ['Ni', nickel, 1.09497, 12.292, 19.2],
    ['Ag', silver, 4.02471, 38.331, 6.156],
    ['Au(I)', gold, 7.34909, 38.039, 6.204],
    ['Au(III)', trivalentGold, 2.4497, 12.68, 18.61],
    ['Pd', palladium, 1.98534, 16.517, 14.29],
    ['Zn', zinc, 1.21971, 17.083, 13.81],
    ['Sn(II)', tin, 2.21462, 30.296, 7.789],
    ['Sn(IV)', tetravalentTin, 1.10731, 15.148, 15.58],
  ])('%s deposits %d g/Ah, grows %d um/h and takes %d Ah', (_ion, of, grams, micrometres, ampereHours) => {
    expectWithin(depositGramsPerAmpereHour(of), grams, 1e-5);
    expectWithin(depositThicknessMicrometres(1, 1, of), micrometres, 1e-4);
    expectWithin(chargeAmpereHoursForThickness(25.4, 9.290304, of), ampereHours, 1e-3);
  });
});

describe('ampere-hours per square foot and mil', () => {
  test.each([
    // http://eciato.com/products/category/77/ (1.2 %; its zinc and palladium fail recomputation at their own densities and are left out)
    ['Cu(II)', copper, 17.8],
    ['Cu(I)', cuprousCopper, 8.89],
    ['Ni', nickel, 19.0],
    ['Ag', silver, 6.2],
    ['Sn(II)', tin, 7.8],
    ['Sn(IV)', tetravalentTin, 15.6],
    ['Au(I)', gold, 6.2],
    ['Au(III)', trivalentGold, 18.6],
  ])('%s against the published value', (_ion, of, published) => {
    const squareFootDm2 = 9.290304;
    expectWithin(chargeAmpereHoursForThickness(25.4, squareFootDm2, of), published, 0.012);
  });
});

describe('worked examples of others', () => {
  test('0.123 A for an hour gives 0.1457 g of copper (textbook of analytical chemistry, section C2, p. 65; title from memory: Kealey and Haines)', () => {
    expectWithin(depositMassGrams(0.123), 0.1457, 0.005);
  });

  test('10 um on 1 cm2 at 10 mA takes 2.68e3 s with M 64, F 96500 and 8.9 g/cm3 (examination question, tracnghiem.vn)', () => {
    const rounded = {
      ...copper,
      molarMassGramsPerMole: (64 * FARADAY_COULOMBS_PER_MOLE) / 96500,
      densityGramsPerCm3: 8.9,
    };
    expectWithin((chargeAmpereHoursForThickness(10, 0.01, rounded) * 3600) / 0.01, 2.68e3, 0.005);
  });

  test('25 um at 3 A/dm2, 75 % and 8.9 g/cm3 take 50 min as printed with two electrons, and half of that with the one that cyanide copper has (allrefs.net)', () => {
    const printed = { ...copper, densityGramsPerCm3: 8.9 };
    const minutes = (of: Metal) => (chargeAmpereHoursForThickness(25, 1, of, 0.75) / 3) * 60;
    expectWithin(minutes(printed), 50, 0.005);
    expectWithin(minutes({ ...printed, electronsPerIon: 1 }), 25, 0.005);
  });

  test('0.86 g of chromium(III) in 12.5 min take 6.4 A (chemconnections.org, chem121)', () => {
    const chromium: Metal = { ...copper, molarMassGramsPerMole: 51.9961, electronsPerIon: 3 };
    expectWithin(0.86 / depositGramsPerAmpereHour(chromium) / (12.5 / 60), 6.4, 0.005);
  });

  test('nickel at 95 % and 0.5 A/dm2: 2 um in 20 min, 4 um in 41 min (the same as below)', () => {
    // printed without decimals: half a minute of 20 is 3 %
    for (const [micrometres, minutes] of [
      [2, 20],
      [4, 41],
    ] as const) {
      expectWithin((chargeAmpereHoursForThickness(micrometres, 1, nickel, 0.95) / 0.5) * 60, minutes, 0.035);
    }
  });

  test('2 um of nickel at 95 % take 0.18 g/dm2 and 0.17 Ah/dm2, 4 um 0.36 g/dm2 and 0.34 Ah/dm2 (Rudy, finishingandcoating.com/779)', () => {
    for (const [micrometres, grams, ampereHours] of [
      [2, 0.18, 0.17],
      [4, 0.36, 0.34],
    ] as const) {
      const got = chargeAmpereHoursForThickness(micrometres, 1, nickel, 0.95);
      // two digits are printed: half of the last one is up to 3 %
      expectWithin(got, ampereHours, 0.03);
      expectWithin(depositMassGrams(got, nickel, 0.95), grams, 0.03);
    }
  });

  test('a copper coulometer of 100 g stands for the charge that its constant 3177 says (MF Guidebook 2012-13, p. 545)', () => {
    // efficiency % = w z 3177 / (w_Cu M): so 3177 is 100 M_Cu / 2
    expectWithin((copper.molarMassGramsPerMole * 100) / copper.electronsPerIon, 3177, 0.0001);
  });

  test('an hour at 4.5 A/dm2 gives about 1.0 um a minute (two bath suppliers’ data sheets)', () => {
    expectWithin(depositThicknessMicrometres(4.5 / 60, 1), 1.0, 0.01);
  });
});

describe('two rules of thumb that Faraday does not support (common practice, no source)', () => {
  test('2 A/dm2 for 4 h, said to give 0.15 mm, gives 0.1058 mm on average', () => {
    expectWithin(depositThicknessMicrometres(2 * 4, 1) / 1000, 0.1058, 0.002);
  });

  test('with copper of 8.92 g/cm3 that is 0.45 % more (some tables print that density)', () => {
    const lighter = { ...copper, densityGramsPerCm3: 8.92 };
    expectWithin(depositThicknessMicrometres(8, 1, lighter) / depositThicknessMicrometres(8, 1), 1.0045, 0.0001);
  });

  test.each([
    // computed: 9 and 11 h of 31 A on 15.5 dm2
    [9, 0.238],
    [11, 0.291],
  ])('31 A for %d h on 15.5 dm2 gives %d mm on average', (hours, millimetres) => {
    expectWithin(depositThicknessMicrometres(31 * hours, 15.5) / 1000, millimetres, 0.002);
  });

  test('31 A for 10 h on 15.5 dm2, said to give 0.5 to 0.6 mm, gives 0.2646 mm on average and 367.5 g', () => {
    expectWithin(depositThicknessMicrometres(310, 15.5) / 1000, 0.2646, 0.002);
    expectWithin(depositMassGrams(310), 367.5, 0.001);
  });
});

describe('the formula', () => {
  test('gives for every metal the mass that its charge has in moles of electrons', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...metals),
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (of, ampereHours, efficiency) => {
          const molesOfElectrons = (ampereHours * 3600) / FARADAY_COULOMBS_PER_MOLE;
          const grams = (molesOfElectrons / of.electronsPerIon) * of.molarMassGramsPerMole * efficiency;
          expect(depositMassGrams(ampereHours, of, efficiency)).toBeCloseTo(grams, 6);
          const cm3 = depositThicknessMicrometres(ampereHours, 2, of, efficiency) * 1e-4 * 200;
          expect(cm3 * of.densityGramsPerCm3).toBeCloseTo(grams, 6);
        },
      ),
    );
  });

  test('thickness and charge are each other’s inverse at any efficiency', () => {
    for (const efficiency of [0.3, 0.95, 1]) {
      const charge = chargeAmpereHoursForThickness(300, 12, copper, efficiency);
      expect(depositThicknessMicrometres(charge, 12, copper, efficiency)).toBeCloseTo(300, 9);
    }
  });

  test('half the efficiency is half the deposit, and twice the charge', () => {
    expect(depositMassGrams(100, copper, 0.5)).toBeCloseTo(depositMassGrams(50), 9);
    expect(chargeAmpereHoursForThickness(100, 1, copper, 0.5)).toBeCloseTo(chargeAmpereHoursForThickness(200, 1), 9);
  });

  test('the examples in its comments are true', () => {
    expect(depositGramsPerAmpereHour()).toBeCloseTo(1.1855, 4);
    expect(depositMassGrams(310)).toBeCloseTo(367.5, 1);
    expect(depositThicknessMicrometres(8, 1)).toBeCloseTo(105.8, 1);
    expect(chargeAmpereHoursForThickness(300, 12)).toBeCloseTo(272.1, 1);
  });

  test.each([
    ['a negative charge', (): number => depositMassGrams(-1)],
    ['a charge that is no number', (): number => depositMassGrams(NaN)],
    ['no area', (): number => depositThicknessMicrometres(1, 0)],
    ['an area that is no number', (): number => depositThicknessMicrometres(1, NaN)],
    ['no efficiency', (): number => depositMassGrams(1, copper, 0)],
    ['an efficiency above 1', (): number => depositMassGrams(1, copper, 1.01)],
    ['a negative thickness', (): number => chargeAmpereHoursForThickness(-1, 1)],
  ])('%s is a programmer’s error that says what was expected', (_what, compute) => {
    expect(compute).toThrow(/expected .*Check the request/);
  });
});
