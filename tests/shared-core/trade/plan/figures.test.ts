/* The figures around the deposit: distribution, supply, voltage, anodes, conductors, contacts, tank, heat, paint, size, cost, second layer. */
import {
  bathProfile,
  bathProfiles,
  type Figure,
  figureGroups,
  figuresOf,
  partFromShape,
  planOf,
  type PlanRequest,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { figuresFor, lampshade, planned, typedArea } from './requests.js';

/** Everything that can be asked, so that every figure is there. */
const everything: PlanRequest = {
  ...lampshade,
  tank: { lengthMm: 500, widthMm: 400, heightMm: 350, fillMm: 300 },
  paint: { sheetOhmsPerSquare: 0.5 },
  finishingMicrometres: 30,
  prices: { metalPerKg: 12, electricityPerKwh: 0.3, brightenerPerLitre: 20, paintPerLitre: 60 },
  secondLayer: { pen: 'nickel-acid', micrometres: 2, areaDm2: 1, amps: 2 },
};
const { figures } = planned(everything);

function everyFigure(of: typeof figures): [string, Figure][] {
  return figureGroups.flatMap(({ group }) =>
    figuresOf(of, group).map(([name, figure]) => [name, figure] as [string, Figure]),
  );
}

describe('every figure of a plan', () => {
  test('is a number with unit, formula, inputs and source, within its own bounds, under a name of its own', () => {
    const all = everyFigure(figures);
    expect(all.length).toBeGreaterThan(50);
    expect(new Set(all.map(([name]) => name)).size).toBe(all.length);
    for (const [name, figure] of all) {
      expect(Number.isFinite(figure.value), name).toBe(true);
      expect(figure.formula, name).not.toBe('');
      expect(figure.source, name).not.toBe('');
      for (const input of figure.inputs) expect(Number.isFinite(input.value), `${name}: ${input.label}`).toBe(true);
      if (figure.uncertainty !== undefined) {
        expect(figure.uncertainty.low, name).toBeLessThanOrEqual(figure.value * (1 + 1e-12) + 1e-12);
        expect(figure.uncertainty.high, name).toBeGreaterThanOrEqual(figure.value * (1 - 1e-12) - 1e-12);
        expect(figure.uncertainty.because, name).not.toBe('');
      }
    }
  });

  test('is finite for any part, bath and density, be it below 0.01 dm² or hundreds', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...bathProfiles),
        fc.double({ min: 1e-6, max: 2000, noNaN: true }),
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (profile, areaDm2, currentDensityAmpsPerDm2, openShare) => {
          const parts = [{ ...lampshade.parts[0]!, areaDm2, volumeCm3: areaDm2, openShare }];
          const plan = planned({ ...everything, parts, bath: profile.key, currentDensityAmpsPerDm2 });
          for (const [name, figure] of everyFigure(plan.figures))
            expect(Number.isFinite(figure.value), name).toBe(true);
          const { distribution, deposit } = plan.figures;
          expect(distribution.thinPlaceMicrometres.value).toBeLessThanOrEqual(
            deposit.averageThicknessMicrometres.value * (1 + 1e-9),
          );
          expect(distribution.edgeMicrometres.value).toBeGreaterThanOrEqual(
            deposit.averageThicknessMicrometres.value * (1 - 1e-9),
          );
        },
      ),
      { numRuns: 200 },
    );
  });
});

describe('average, thin places and edges', () => {
  test('are three numbers', () => {
    const { deposit, distribution } = figures;
    expect(distribution.thinPlaceMicrometres.value).toBeLessThan(0.6 * deposit.averageThicknessMicrometres.value);
    expect(distribution.edgeMicrometres.value).toBeGreaterThan(1.4 * deposit.averageThicknessMicrometres.value);
  });

  test('are one on a ball in the open', () => {
    const parts = [{ ...lampshade.parts[0]!, edgeBendDegrees: 0, openShare: 1 }];
    const { deposit, distribution } = figuresFor({ ...lampshade, parts });
    expect(distribution.thinPlaceMicrometres.value).toBeCloseTo(deposit.averageThicknessMicrometres.value, 9);
    expect(distribution.edgeMicrometres.value).toBeCloseTo(deposit.averageThicknessMicrometres.value, 9);
  });

  test('are those of the worst part where several hang', () => {
    const [bell] = lampshade.parts;
    const blade = { ...bell!, edgeBendDegrees: 170, openShare: 0.05 };
    const large = { ...lampshade, supplyAmpsMax: undefined };
    const alone = figuresFor({ ...large, parts: [blade] }).distribution;
    const both = figuresFor({ ...large, parts: [bell!, blade] }).distribution;
    expect(both.edgeMicrometres.value).toBeCloseTo(alone.edgeMicrometres.value, 6);
    expect(both.thinPlaceMicrometres.value).toBeCloseTo(alone.thinPlaceMicrometres.value, 6);
  });

  test('an inside angle of 90° has a 2.7th of the average (ASTM B508, a re-hosted copy)', () => {
    const parts = [{ ...lampshade.parts[0]!, openShare: 0.5 }];
    const { deposit, distribution } = figuresFor({ ...lampshade, parts });
    expectWithin(deposit.averageThicknessMicrometres.value / distribution.thinPlaceMicrometres.value, 2.7, 1e-9);
  });
});

describe('voltage', () => {
  test('of plates that face each other is Ohm’s law and the electrodes: 0.8 V and what they take for 2 A through 10 cm of 25 S/m on 1 dm²', () => {
    const { voltage } = figuresFor({
      parts: typedArea(1),
      bath: 'bright-copper',
      currentAmps: 2,
      plateHours: 1,
      conductivitySiemensPerMetre: 25,
      bathCelsius: 25,
      anodes: { gapMm: 100, faceDm2Each: 1, count: 1 },
    });
    expectWithin(voltage.bathMilliohms.value, 400, 1e-9);
    const electrodes = bathProfile('bright-copper')!.electrodeVolts.usual;
    expectWithin(voltage.cellVolts.value, 0.8 + electrodes, 1e-9);
    expectWithin(voltage.bathWatts.value, 2 * (0.8 + electrodes), 1e-9);
  });

  test('is told more closely once the conductivity was measured', () => {
    const spread = (request: PlanRequest) => {
      const { supplyVolts } = figuresFor(request).voltage;
      return supplyVolts.uncertainty!.high - supplyVolts.uncertainty!.low;
    };
    expect(spread({ ...lampshade, conductivitySiemensPerMetre: 20 })).toBeLessThan(0.75 * spread(lampshade));
  });

  test('of a bright bath that is worked hard lies in the 3 to 6 V of a supplier’s data sheet, within its band', () => {
    const { supplyVolts } = figuresFor({ ...lampshade, currentDensityAmpsPerDm2: 4, supplyAmpsMax: undefined }).voltage;
    expect(supplyVolts.uncertainty!.high).toBeGreaterThan(3);
    expect(supplyVolts.value).toBeLessThan(6);
  });
});

describe('anodes', () => {
  test('lose what is deposited at 100 %, and have the area that their density wants', () => {
    expectWithin(figures.anodes.anodeDissolvedGrams.value, figures.deposit.depositMassGrams.value, 1e-12);
    const { min, max } = bathProfile('bright-copper')!.anodeDensityAmpsPerDm2;
    expect(figures.anodes.anodeDensityAmpsPerDm2.value).toBeGreaterThanOrEqual(min * 0.9);
    expect(figures.anodes.anodeDensityAmpsPerDm2.value).toBeLessThanOrEqual(max);
    expectWithin(figures.anodes.anodeAreaDm2.value, 1.5 * 12, 1e-12);
  });

  test('are counted as they hang when somebody says so', () => {
    const { anodes } = figuresFor({ ...lampshade, anodes: { count: 2, faceDm2Each: 3 } });
    expect(anodes.anodeCount.value).toBe(2);
    expect(anodes.anodeDensityAmpsPerDm2.value).toBe(4);
  });
});

describe('cable and shunt', () => {
  test('for 31 A over 2 m are 10 mm², 0.118 V and 3.7 W (IEC 60228), and 50 A / 75 mV with 46.5 mV and 1.44 W', () => {
    const { conductors } = figuresFor({
      parts: typedArea(15.5),
      bath: 'bright-copper',
      currentAmps: 31,
      plateHours: 10,
      conductors: { cableMetres: 2 },
    });
    expect(conductors.cableMm2.value).toBe(10);
    expectWithin(conductors.cableDropVolts.value, 0.118, 0.005);
    expectWithin(conductors.cableWatts.value, 3.7, 0.01);
    expect(conductors.shuntRatedAmps.value).toBe(50);
    expectWithin(conductors.shuntMillivolts.value, 46.5, 1e-9);
    expectWithin(conductors.shuntWatts.value, 1.44, 0.002);
  });
});

describe('contacts on the paint', () => {
  test('are told how much closed copper makes the paint of no account: well below a micrometre for some centimetres', () => {
    const { coveringMicrometres, paintNumber } = figuresFor({
      ...lampshade,
      paint: { sheetOhmsPerSquare: 5 },
    }).paintedStart!;
    // ν goes with the root of the sheet resistance, so the copper that makes ν = 1 follows from ν of the paint
    expectWithin(coveringMicrometres!.value, (1 / 58 / 5) * paintNumber!.value ** 2, 1e-9);
    expect(coveringMicrometres!.value).toBeLessThan(1);
  });

  test('are as many that ν stays below 1, more on a poorer paint', () => {
    const of = (sheetOhmsPerSquare: number) =>
      figuresFor({ ...lampshade, paint: { sheetOhmsPerSquare } }).paintedStart!;
    for (const sheet of [0.1, 0.5, 5, 55]) {
      expect(of(sheet).paintNumber!.value).toBeLessThanOrEqual(1 + 1e-9);
      expect(of(sheet).farEndPercent!.value).toBeGreaterThan(85);
    }
    // a clip of 5 mΩ drops 50 mV at 10 A: 24 A want three, however good the paint, and 12 A two
    expect(of(0.001).contactsEach.value).toBe(3);
    const gentle = { ...lampshade, currentDensityAmpsPerDm2: 1, paint: { sheetOhmsPerSquare: 0.001 } };
    expect(figuresFor(gentle).paintedStart!.contactsEach.value).toBe(2);
    expect(of(55).contactsEach.value).toBeGreaterThan(of(5).contactsEach.value);
  });

  test('carry the current of their piece together', () => {
    const { contactsEach, strikeAmpsPerContact, plateAmpsPerContact } = figuresFor({
      ...lampshade,
      parts: [{ ...lampshade.parts[0]!, pieces: 2 }],
      supplyAmpsMax: undefined,
      paint: { contacts: 4 },
    }).paintedStart!;
    expect(contactsEach.value).toBe(4);
    expectWithin(plateAmpsPerContact.value, 24 / 4, 1e-12);
    expectWithin(strikeAmpsPerContact.value, (0.3 * 12) / 4, 1e-12);
  });

  test('are not guessed where nobody measured the paint', () => {
    expect(figuresFor(lampshade).paintedStart).toBeUndefined();
    expect(planned(lampshade).gaps.join(' ')).toMatch(/measure its sheet resistance/);
  });
});

describe('the tank', () => {
  test('rises by the parts’ volume over its surface', () => {
    expect(figures.tank.bathLitres!.value).toBe(60);
    expectWithin(figures.tank.levelRiseMm!.value, (90 * 1000) / (500 * 400), 1e-12);
    expectWithin(figures.tank.freeboardMm!.value, 50 - 0.45, 1e-12);
  });

  test('lets a litre of sparse print float: −8.34 N a quarter filled, +0.785 N solid, in 1.16 g/cm³ (computed)', () => {
    const parts = [{ ...lampshade.parts[0]!, volumeCm3: 1000 }];
    const weight = (filledShare: number) => figuresFor({ ...lampshade, parts, weight: { filledShare } }).tank;
    expectWithin(weight(0.25).submergedWeightNewtons!.value, -8.34, 0.001);
    expectWithin(weight(1).submergedWeightNewtons!.value, 0.785, 0.001);
    expect(weight(0.25).ballastGrams!.value).toBeGreaterThan(weight(1).ballastGrams!.value);
  });

  test('takes the balance before any density', () => {
    const { submergedWeightNewtons } = figuresFor({ ...lampshade, weight: { massGramsEach: 200 } }).tank;
    expectWithin(submergedWeightNewtons!.value, ((200 - 90 * 1.16) / 1000) * 9.80665, 1e-9);
    expect(submergedWeightNewtons!.uncertainty).toBeUndefined();
  });

  test('says nothing of floating where the volume is not known', () => {
    const plan = planned({ ...everything, parts: typedArea(12) });
    expect(plan.figures.tank.submergedWeightNewtons).toBeUndefined();
    expect(plan.figures.tank.levelRiseMm).toBeUndefined();
    expect(plan.gaps.join(' ')).toMatch(/its volume is not known/);
  });
});

describe('warmth and water', () => {
  test('of 31 A at 3 V in 60 L would be 1.394 K/h if no heat left (computed), and evaporation is good to a factor of two', () => {
    const { heat, voltage } = figures;
    expectWithin(heat!.warmingKelvinPerHourMax.value, (1.394 * voltage.bathWatts.value) / 93, 0.001);
    const { evaporationLitres } = heat!;
    expectWithin(evaporationLitres!.uncertainty!.high / evaporationLitres!.uncertainty!.low, 4, 1e-9);
  });

  test('are left out where the tank is not known, and it is said', () => {
    const plan = planned(lampshade);
    expect(plan.figures.heat).toBeUndefined();
    expect(plan.gaps.join(' ')).toMatch(/How warm the bath gets: give its volume/);
  });
});

describe('paint', () => {
  test('fills the dry layer, its solvents and what misses the part', () => {
    const { paint } = figuresFor({
      ...lampshade,
      paint: { dryMicrometres: 60, solidsShare: 0.5, lossShare: 0.25, thinnerShare: 0.1 },
    });
    // 12 dm² × 60 µm = 7.2 mL dry
    expectWithin(paint!.paintMillilitres.value, 7.2 / 0.5 / 0.75, 1e-12);
    expectWithin(paint!.thinnerMillilitres.value, (7.2 / 0.5 / 0.75) * 0.1, 1e-12);
  });

  test('is none on a part that is metal already, and then nothing is asked of it', () => {
    const plan = planned({ ...lampshade, paint: { dryMicrometres: 0 } });
    expect(plan.figures.paint).toBeUndefined();
    expect(plan.gaps.join(' ')).not.toMatch(/sheet resistance/);
    expect(plan.figures.size.wallGrowthMicrometres.value).toBeCloseTo(300, 9);
  });
});

describe('size', () => {
  test('is met by an offset, the same for every length: −t, −2t outside, +2t inside, with paint and finishing', () => {
    const { size } = figures;
    expect(size.wallGrowthMicrometres.value).toBeCloseTo(300 + 50 - 30, 9);
    expect(size.modelOffsetMm.value).toBeCloseTo(-0.32, 12);
    expect(size.outerLengthChangeMm.value).toBeCloseTo(-0.64, 12);
    expect(size.holeChangeMm.value).toBeCloseTo(0.64, 12);
    expect(size.finishedThicknessMicrometres.value).toBeCloseTo(270, 9);
    // a tenth of the deposit is sanded away
    expectWithin(size.finishingGrams.value, figures.deposit.depositMassGrams.value / 10, 1e-9);
  });
});

describe('a part whose area grows with its deposit', () => {
  const reading = partFromShape({ kind: 'sphere', diameterMm: 10 }, { pieces: 3 });
  if ('refusals' in reading) throw new Error(reading.refusals.join(' '));
  const thick = { ...lampshade, averageThicknessMicrometres: 1000, parts: [reading.part] };

  test('gets less than charge over area says: a ball of 10 mm with 1 mm on it by that rule has 0.848 mm (exact: (r + t)³ − r³ = 3 r² T)', () => {
    const { growingThicknessMicrometres } = figuresFor(thick).size;
    expectWithin(growingThicknessMicrometres!.value, 1000 * (Math.cbrt(5 ** 3 + 3 * 5 ** 2) - 5), 1e-9);
    expectWithin(growingThicknessMicrometres!.value, 848, 0.001);
  });

  test('is not summed over several parts, nor told of one whose curvature is not known', () => {
    expect(
      figuresFor({ ...thick, parts: [reading.part, reading.part] }).size.growingThicknessMicrometres,
    ).toBeUndefined();
    expect(figuresFor(lampshade).size.growingThicknessMicrometres).toBeUndefined();
  });
});

describe('cost', () => {
  test('is amount × price, and only of what has one', () => {
    const { cost, anodes } = figures;
    expectWithin(cost.metalCost!.value, (anodes.anodeDissolvedGrams.value / 1000) * 12, 1e-12);
    expectWithin(cost.electricityCost!.value, cost.energyKwh.value * 0.3, 1e-12);
    const parts = [cost.metalCost, cost.electricityCost, cost.brightenerCost, cost.paintCost];
    expectWithin(
      cost.totalCost!.value,
      parts.reduce((sum, each) => sum + each!.value, 0),
      1e-12,
    );
    expect(figuresFor(lampshade).cost.totalCost).toBeUndefined();
    expect(figuresFor({ ...lampshade, prices: { metalPerKg: 10 } }).cost.electricityCost).toBeUndefined();
  });

  test('of brightener is the charge in kAh × its consumption', () => {
    const { cost, deposit } = figuresFor({ ...lampshade, brightenerLitresPerKiloampereHour: 0.5 });
    expectWithin(cost.brightenerMillilitres!.value, deposit.chargeAmpereHours.value * 0.5, 1e-12);
    expect(cost.brightenerMillilitres!.uncertainty).toBeUndefined();
    expect(figuresFor({ ...lampshade, bath: 'forming-copper' }).cost.brightenerMillilitres).toBeUndefined();
  });
});

describe('a second layer by pen', () => {
  test('is the worked example of the Metal Finishing Guidebook 2011-12, p. 348: 11.31 Ah, 22.6 min at 30 A', () => {
    const { secondLayer } = figuresFor({
      ...lampshade,
      secondLayer: {
        pen: 'copper',
        ampereHoursPerIn2TenThousandth: 0.015,
        areaDm2: 37.7 * 0.064516,
        micrometres: 50.8,
        amps: 30,
      },
    });
    expectWithin(secondLayer!.penAmpereHours.value, 11.31, 0.001);
    expectWithin(secondLayer!.penMinutes.value, 22.6, 0.002);
  });
});

describe('for k pieces', () => {
  test('area, current, charge, metal, paint and energy are k times those of one; density, thickness, size and place per piece are the same', () => {
    const one = figuresFor({ ...everything, supplyAmpsMax: undefined });
    for (const pieces of [2, 3, 7]) {
      const several = figuresFor({
        ...everything,
        supplyAmpsMax: undefined,
        parts: [{ ...lampshade.parts[0]!, pieces }],
      });
      const times = (read: (of: typeof one) => Figure, k: number): void => {
        expectWithin(read(several).value, k * read(one).value, 1e-9);
      };
      times((of) => of.deposit.setPointAmps, pieces);
      times((of) => of.anodes.anodeDissolvedGrams, pieces);
      times((of) => of.anodes.anodeAreaDm2, pieces);
      times((of) => of.paint!.paintMillilitres, pieces);
      times((of) => of.tank.levelRiseMm!, pieces);
      times((of) => of.size.finishingGrams, pieces);
      times((of) => of.cost.brightenerMillilitres!, pieces);
      times((of) => of.deposit.plateHours, 1);
      times((of) => of.distribution.thinPlaceMicrometres, 1);
      times((of) => of.distribution.edgeMicrometres, 1);
      times((of) => of.size.modelOffsetMm, 1);
      times((of) => of.paintedStart!.contactsEach, 1);
      times((of) => of.tank.submergedWeightNewtons!, 1);
      times((of) => of.tank.ballastGrams!, 1);
    }
  });
});

test('the same request gives the same plan', () => {
  expect(planOf(everything)).toEqual(planOf(JSON.parse(JSON.stringify(everything)) as PlanRequest));
});
