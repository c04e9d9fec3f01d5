/* Whatever is asked, by a person, a stored plan or a program: a plan whose every number is one, or a refusal in words. */
import {
  bathProfiles,
  figureGroups,
  figuresOf,
  jobSheet,
  planExport,
  planOf,
  type PlanRequest,
} from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { expect, test } from 'vitest';

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

const request = fc.record(
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

test('any request is planned in finite numbers, printed and exported, or refused in whole sentences', () => {
  let plans = 0;
  fc.assert(
    fc.property(request, (asked) => {
      const reading = planOf(asked);
      if ('faults' in reading) {
        expect(reading.faults.length).toBeGreaterThan(0);
        for (const fault of reading.faults) expect(fault).toMatch(/, got .*\. .*\.$|Got /);
        return;
      }
      plans++;
      const { plan } = reading;
      for (const { group } of figureGroups) {
        for (const [name, figure] of figuresOf(plan.figures, group)) {
          expect(Number.isFinite(figure.value), `${name} is ${String(figure.value)}`).toBe(true);
          const { low = 0, high = 0 } = figure.uncertainty ?? {};
          expect(Number.isFinite(low + high), `${name}: ${String(low)} to ${String(high)}`).toBe(true);
        }
      }
      for (const point of plan.night) expect(Number.isFinite(point.currentAmps + point.supplyVolts.high)).toBe(true);
      for (const units of ['metric', 'imperial'] as const) {
        expect(jobSheet(plan, { units, isExplained: true })).not.toMatch(/NaN|undefined|Infinity/);
      }
      // A number that is none would come back as null, and is looked for above; nothing else may change either.
      const text = JSON.stringify(planExport(plan));
      expect(JSON.stringify(JSON.parse(text))).toBe(text);
    }),
    { numRuns: 600 },
  );
  expect(plans).toBeGreaterThan(100);
});

test.each([
  [{ agitation: 'wild' }, /agitation has to be one of still, moving, vigorous, got wild/],
  [{ secondLayer: { pen: 'gold', micrometres: 1, areaDm2: 1, amps: 1 } }, /pen has to be one of copper, .* got gold/],
  [
    { parts: [{ name: 'bell', pieces: 1, areaDm2: 1, openShare: null }] },
    /openness of bell has to be 0 to 1, got null/,
  ],
  [
    { parts: [{ name: 'bell', pieces: 1, areaDm2: 1, edgeBendDegrees: 200 }] },
    /bend of the edges of bell has to be 0 to 180 °, got 200/,
  ],
])('a stored plan of another version is refused in words: %j', (change, words) => {
  const stored = {
    parts: [{ name: 'bell', pieces: 1, areaDm2: 1 }],
    plateHours: 4,
    ...change,
  } as unknown as PlanRequest;
  const reading = planOf(stored);
  expect('faults' in reading ? reading.faults : []).toEqual([expect.stringMatching(words)]);
});
