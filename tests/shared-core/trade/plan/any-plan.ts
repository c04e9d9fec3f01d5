/* Plans as anybody may ask for them, mostly sensible ones. Used by the tests that draw plans. */
import { bathProfiles } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';

const sensible = fc.double({ min: 1, max: 1e3, noNaN: true });
/** Mostly sensible, so that plans come about; else anything that a number can be, and nothing. */
const number = fc.oneof(
  { weight: 60, arbitrary: sensible },
  { weight: 1, arbitrary: fc.double() },
  { weight: 1, arbitrary: fc.constantFrom(0, -1, 1e-9, 1e9) },
);
const share = fc.double({ min: 0, max: 1, noNaN: true });
const some = <Of>(of: Record<string, fc.Arbitrary<Of>>) => fc.record(of, { requiredKeys: [] });

const part = fc.record(
  {
    name: fc.constant('part'),
    pieces: fc.integer({ min: 1, max: 30 }),
    areaDm2: number,
    volumeCm3: number,
    displacedCm3: number,
    longestMm: number,
    edgeBendDegrees: fc.double({ min: 0, max: 180, noNaN: true }),
    openShare: share,
    thinnestRodMm: sensible,
    meanCurvatureMm: number,
  },
  { requiredKeys: ['name', 'pieces', 'areaDm2'] },
);

export const anyPlanRequest = fc.record(
  {
    parts: fc.array(part, { minLength: 1, maxLength: 3 }),
    bath: fc.constantFrom(...bathProfiles.map((each) => each.key)),
    averageThicknessMicrometres: sensible,
    currentDensityAmpsPerDm2: fc.double({ min: 0.001, max: 100, noNaN: true }),
    supplyAmpsMax: number,
    supplyVoltsMax: sensible,
    cathodeEfficiency: fc.double({ min: 0.01, max: 1, noNaN: true }),
    conductivitySiemensPerMetre: fc.double({ min: 0.01, max: 200, noNaN: true }),
    bathCelsius: fc.double({ min: 0, max: 100, noNaN: true }),
    roomCelsius: fc.double({ min: -30, max: 60, noNaN: true }),
    agitation: fc.constantFrom('still' as const, 'moving' as const, 'vigorous' as const),
    strikeMinutes: fc.integer({ min: 0, max: 1440 }),
    rampMinutes: fc.integer({ min: 0, max: 1440 }),
    rotationPulsesPerMinute: fc.integer({ min: 0, max: 600 }),
    claimedThicknessMicrometres: sensible,
    finishingMicrometres: sensible,
    anodes: some({
      gapMm: sensible,
      areaRatio: fc.double({ min: 0.01, max: 100, noNaN: true }),
      faceDm2Each: sensible,
    }),
    tank: some({
      lengthMm: number,
      widthMm: sensible,
      heightMm: fc.constant(1000),
      fillMm: sensible,
      litres: sensible,
    }),
    conductors: some({ cableMetres: sensible, shuntRatedAmps: number }),
    paint: some({ sheetOhmsPerSquare: number, contacts: fc.integer({ min: 1, max: 50 }), dryMicrometres: sensible }),
    weight: some({ massGramsEach: number, filledShare: share }),
    prices: some({ metalPerKg: sensible, electricityPerKwh: number }),
  },
  { requiredKeys: ['parts', 'bath', 'averageThicknessMicrometres'] },
);
