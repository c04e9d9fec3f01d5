/* The physics of the bath against closed forms and what others published. Each row names its source. */
import {
  acidConductivitySiemensPerMetre,
  adiabaticKelvinPerHour,
  averageToRecess,
  bathCelsiusAfter,
  bathOhms,
  bathProfile,
  conductivityAt,
  copperBathDensityKgPerM3,
  diffusionLayerMicrometres,
  diffusivityM2PerSecond,
  edgeToAverage,
  evaporationKgPerHourM2,
  limitingDensityAmpsPerDm2,
  middleToAverage,
  openShareOfAngle,
  solutionDensityKgPerM3,
  stillPlateDensityAmpsPerDm2,
  tafelSlopeOhmM2,
  turningDensityAmpsPerDm2,
  wagnerNumber,
  waterDensityKgPerM3,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from './within.js';

describe('density (Laliberté, J. Chem. Eng. Data 2009, 54, 1725)', () => {
  test('of water is 998.204 at 20 and 997.045 kg/m3 at 25 degC (the constants of the same table)', () => {
    expectWithin(waterDensityKgPerM3(20), 998.204, 1e-5);
    expectWithin(waterDensityKgPerM3(25), 997.045, 1e-5);
  });

  test.each([
    // computed with its coefficients; the acid's beside the CRC Handbook's 1066, 1139, 1218 (from memory)
    [0.1, 0, 1107.5],
    [0, 0.1, 1066.9],
    [0, 0.2, 1140.4],
    [0, 0.3, 1219.2],
  ])('of %d copper sulphate and %d acid by weight at 20 degC is %d', (copperSulphate, sulphuricAcid, kgPerM3) => {
    expectWithin(solutionDensityKgPerM3({ copperSulphate, sulphuricAcid }, 20), kgPerM3, 0.003);
  });

  test.each([
    [200, 60, 20, 1159.8],
    [200, 60, 25, 1157.6],
    [75, 200, 20, 1167.8],
  ])('of a bath of %d g/L and %d g/L acid at %d degC is %d (computed)', (salt, acid, celsius, kgPerM3) => {
    expectWithin(copperBathDensityKgPerM3(salt, acid, celsius), kgPerM3, 0.003);
  });

  test('beyond what was measured is a programmer’s error', () => {
    expect(() => solutionDensityKgPerM3({ copperSulphate: 0.3, sulphuricAcid: 0 }, 20)).toThrow(/expected 0 to 0\.284/);
    expect(() => solutionDensityKgPerM3({ copperSulphate: 0, sulphuricAcid: NaN }, 20)).toThrow(/Check the make-up/);
  });
});

describe('conductivity', () => {
  test.each([
    // Gu and others after Tiedemann and Newman, as printed in PyBaMM, S/m
    [60, 28.45],
    [100, 44.4],
    [200, 73.7],
  ])('of %d g/L sulphuric acid alone at 25 degC is %d S/m', (acid, siemensPerMetre) => {
    expectWithin(acidConductivitySiemensPerMetre(acid), siemensPerMetre, 0.003);
  });

  test('rises with temperature and with acid (signs: Hotlos and Jaskula 1988)', () => {
    expect(conductivityAt(20, 0.015, 30)).toBeGreaterThan(conductivityAt(20, 0.015, 20));
    expect(bathProfile('high-throw-copper')!.conductivitySiemensPerMetre.min).toBeGreaterThan(
      bathProfile('bright-copper')!.conductivitySiemensPerMetre.max,
    );
    expect(conductivityAt(20, 0.015, 25)).toBe(20);
    expect(conductivityAt(20, 0.015, -100)).toBe(2);
  });
});

describe('the limiting current', () => {
  const ion = bathProfile('bright-copper')!.ion!;

  test.each([
    // computed, exact for its inputs: n F D c / δ
    [200, 4.25],
    [100, 8.5],
    [50, 17.0],
  ])('behind %d um with D 5.5e-10 m2/s and 801 mol/m3 is %d A/dm2', (layer, amps) => {
    expectWithin(limitingDensityAmpsPerDm2(5.5e-10, 801, layer, 2), amps, 0.001);
  });

  test('at 35 degC diffusion is 1.286 times that at 25 (19.2 kJ/mol: Moats 2000)', () => {
    expectWithin(diffusivityM2PerSecond(ion, 35) / diffusivityM2PerSecond(ion, 25), 1.286, 0.001);
    expect(diffusivityM2PerSecond(ion, 25)).toBe(5.5e-10);
  });

  const cupric = { diffusivityM2PerSecond: 5.5e-10, molesPerCubicMetre: 801, electronsPerIon: 2 };

  test('of an upright plate of 10 cm in a still bath is 6.28 A/dm2 (Wilke, Eisenberg and Tobias 1953, from memory), less on a taller one', () => {
    expectWithin(stillPlateDensityAmpsPerDm2(cupric, 0.1), 6.28, 0.002);
    expectWithin(stillPlateDensityAmpsPerDm2(cupric, 1.6), 6.28 / 2, 0.002);
  });

  test('of a cylinder of 50 mm that turns 20 times a minute is 4.33 A/dm2 (Eisenberg, Tobias and Wilke 1954, from memory)', () => {
    expectWithin(turningDensityAmpsPerDm2(cupric, 0.05, 20), 4.33, 0.002);
  });

  test('is larger the better the bath moves', () => {
    const at = (layer: number) => limitingDensityAmpsPerDm2(5.5e-10, 801, layer, 2);
    expect(stillPlateDensityAmpsPerDm2(cupric, 0.1)).toBeLessThan(at(diffusionLayerMicrometres.moving));
    expect(at(diffusionLayerMicrometres.moving)).toBeLessThan(at(diffusionLayerMicrometres.vigorous));
  });
});

describe('distribution', () => {
  test('Wa at 200 A/m2, α 0.5, κ 20 S/m and 5 cm is 0.1028 (computed)', () => {
    expectWithin(wagnerNumber(20, tafelSlopeOhmM2(200, 25), 0.05), 0.1028, 0.001);
  });

  // Disk with linear kinetics, computed by a Legendre-Galerkin solution to four digits (the problem is Newman's, JES 113, 501, 1966).
  const disk = [
    [0.1, 0.622, 2.267],
    [0.5, 0.8088, 1.3583],
    [1, 0.8826, 1.1932],
    [2, 0.9339, 1.101],
    [5, 0.9714, 1.0416],
    [10, 0.9853, 1.021],
  ] as const;
  test.each(disk)(
    'the rules for Wa %d are within 1 and 2 %% of the disk: middle %d, edge %d',
    (wagner, middle, edge) => {
      expectWithin(middleToAverage(wagner), middle, 0.01);
      expectWithin(edgeToAverage(wagner, 180), edge, 0.02);
    },
  );

  test('an edge is milder the less it bends, and nothing where nothing is sharp', () => {
    const at = (bend: number) => edgeToAverage(0.1, bend);
    expect(at(0)).toBe(1);
    expect(at(90)).toBeCloseTo((1 + 4.1) ** (1 / 3), 9);
    expect(at(40)).toBeLessThan(at(90));
    expect(at(90)).toBeLessThan(at(180));
    expect(at(-5)).toBe(1);
    expect(at(400)).toBe(at(180));
  });

  test('is even for a large Wagner number', () => {
    expect(edgeToAverage(1e6, 180)).toBeCloseTo(1, 5);
    expect(middleToAverage(1e6)).toBeCloseTo(1, 5);
  });

  test.each([
    // nickel, ASTM B508 (xxhh8.cn, a re-hosted copy): average over minimum thickness. Bands to stay within, no more.
    [60, 3.3],
    [90, 2.7],
    [120, 1.9],
  ])('an inside angle of %d° has %d times as much on average as at its least', (angle, ratio) => {
    expectWithin(averageToRecess(openShareOfAngle(angle)), ratio, 1e-9);
  });

  test('a flat face has its average, a deep recess a ninth (the same table: 9.2)', () => {
    expect(averageToRecess(1)).toBe(1);
    expect(averageToRecess(0)).toBe(9.2);
    expect(averageToRecess(openShareOfAngle(180))).toBe(1);
  });

  test('a less open place never gets more', () => {
    const share = fc.double({ min: -0.5, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(share, share, (one, other) => {
        const [less, more] = [Math.min(one, other), Math.max(one, other)];
        expect(averageToRecess(less)).toBeGreaterThanOrEqual(averageToRecess(more));
      }),
    );
  });
});

describe('resistance of the liquid', () => {
  test('between spheres of 1 and 10 cm in 25 S/m is 0.28648 Ω (exact: (1/a − 1/b) / 4πκ)', () => {
    const area = (radius: number) => 4 * Math.PI * radius ** 2;
    expectWithin(bathOhms(0.09, 25, area(0.01), area(0.1)), 0.28648, 1e-4);
  });

  test('between plates of 1 dm2 at 10 cm in 25 S/m is 0.4 Ω, 0.8 V at 2 A (exact)', () => {
    expectWithin(bathOhms(0.1, 25, 0.01, 0.01), 0.4, 1e-12);
    expectWithin(2 * bathOhms(0.1, 25, 0.01, 0.01), 0.8, 1e-12);
  });
});

describe('evaporation', () => {
  const gallonsPerHourFt2 = 40.75;
  test.each([
    // Kirman, quoted at finishing.com/174/85, in gal/(h·ft²)
    [80, false, 0.0099],
    [180, false, 0.253],
    [80, true, 0.0217],
    [180, true, 0.307],
  ])('at %d °F (air: %s) is %d gal/(h ft2)', (fahrenheit, air, gallons) => {
    expectWithin(evaporationKgPerHourM2((fahrenheit - 32) / 1.8, air) / gallonsPerHourFt2, gallons, 0.005);
  });

  test.each([
    [80, 0.017],
    [180, 0.3],
  ])('still at %d °F is within a factor of two of the EPA’s %d (EPA 625/8-82-008)', (fahrenheit, gallons) => {
    const ratio = evaporationKgPerHourM2((fahrenheit - 32) / 1.8, false) / gallonsPerHourFt2 / gallons;
    expect(ratio).toBeGreaterThan(0.5);
    expect(ratio).toBeLessThan(2);
  });
});

describe('warming', () => {
  const bath = {
    watts: 93,
    litres: 60,
    densityKgPerM3: 1160,
    lossWattsPerKelvin: 12,
    startCelsius: 22,
    roomCelsius: 20,
  };

  test('93 W in 60 L warm by 1.394 K an hour when no heat leaves (computed)', () => {
    expectWithin(adiabaticKelvinPerHour(bath), 1.394, 0.001);
    expectWithin(bathCelsiusAfter({ ...bath, lossWattsPerKelvin: 0 }, 3) - 22, 3 * 1.394, 0.001);
  });

  test('nears the room and what the loss leaves above it, and never passes it', () => {
    expect(bathCelsiusAfter(bath, 0)).toBeCloseTo(22, 9);
    expect(bathCelsiusAfter(bath, 1e4)).toBeCloseTo(20 + 93 / 12, 6);
    expect(bathCelsiusAfter(bath, 5)).toBeGreaterThan(bathCelsiusAfter(bath, 4));
    // nor boiling
    expect(bathCelsiusAfter({ ...bath, watts: 1e6 }, 10)).toBe(100);
    expect(bathCelsiusAfter({ ...bath, watts: 1e6, lossWattsPerKelvin: 0 }, 10)).toBe(100);
  });

  test('solves its equation: a small step is heat less loss', () => {
    const hours = 1e-4;
    const capacity = 0.06 * 1160 * 3450;
    const expected = ((93 - 12 * 2) / capacity) * 3600 * hours;
    expectWithin(bathCelsiusAfter(bath, hours) - 22, expected, 1e-3);
  });
});
