/* The shape of plans from outside: what a plan may say goes through untouched, everything else is refused where it stands. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { planOf, type PlanRequest } from '@bathkeeper/shared-core/trade';
import { Refused } from '../../../../dashboard/server/http/refusal.js';
import { checkedPlan } from '../../../../dashboard/server/plans/plan-problems.js';
import { anyPlanRequest } from '../../../shared-core/trade/plan/any-plan.js';
import { lampshade } from '../../../shared-core/trade/plan/requests.js';

function problemsOf(request: unknown): readonly string[] {
  try {
    checkedPlan(request);
  } catch (fault) {
    if (fault instanceof Refused) return fault.problems;
    throw fault;
  }
  return [];
}

/** As it comes over the network. */
const sent = (request: unknown): unknown => JSON.parse(JSON.stringify(request));

/** Everything that a plan can say at once. */
const everything: PlanRequest = {
  ...lampshade,
  parts: [
    {
      ...lampshade.parts[0]!,
      displacedCm3: 95,
      notPlated: ['closed cavities, 0.2 dm²'],
      thinnestRodMm: 3,
      meanCurvatureMm: 400,
      warnings: ['The surface is open: 3 edges belong to one triangle alone.'],
    },
  ],
  supplyVoltsMax: 12,
  cathodeEfficiency: 0.98,
  conductivitySiemensPerMetre: 20,
  bathCelsius: 24,
  roomCelsius: 19,
  agitation: 'moving',
  strikeDensityAmpsPerDm2: 0.3,
  strikeMinutes: 10,
  rampMinutes: 30,
  rotationPulsesPerMinute: 6,
  claimedThicknessMicrometres: 250,
  finishingMicrometres: 20,
  brightenerLitresPerKiloampereHour: 0.3,
  anodes: { gapMm: 120, areaRatio: 1.5, faceDm2Each: 4, count: 4 },
  tank: { lengthMm: 500, widthMm: 300, heightMm: 500, fillMm: 400 },
  conductors: { cableMetres: 4, cableMm2: 10, shuntRatedAmps: 50, shuntRatedMillivolts: 75 },
  paint: {
    sheetOhmsPerSquare: 12,
    contacts: 4,
    dryMicrometres: 40,
    solidsShare: 0.2,
    lossShare: 0.3,
    thinnerShare: 0.5,
  },
  weight: { massGramsEach: 120, ballastGramsPerCm3: 11.3 },
  prices: { metalPerKg: 12, electricityPerKwh: 0.3, brightenerPerLitre: 20, paintPerLitre: 90 },
  secondLayer: { pen: 'copper', micrometres: 2, areaDm2: 1, amps: 1, penWidthMm: 20, penMillimetresPerSecond: 50 },
};

describe('a plan from outside', () => {
  test('goes through with everything that it can say', () => {
    expect(planOf(everything)).toHaveProperty('plan');
    expect(checkedPlan(sent(everything))).toEqual(everything);
  });

  test('goes through untouched whenever a plan can be made of it, and else is refused in sentences', () => {
    let through = 0;
    fc.assert(
      fc.property(anyPlanRequest, (request) => {
        const asked = sent(request) as PlanRequest;
        const problems = problemsOf(asked);
        const isWhole = JSON.stringify(asked).includes('null') === false;
        if (isWhole && 'plan' in planOf(asked)) {
          expect(problems).toEqual([]);
          expect(JSON.stringify(checkedPlan(asked))).toBe(JSON.stringify(asked));
          through++;
        } else {
          expect(problems.length).toBeGreaterThan(0);
          for (const problem of problems) expect(problem).toMatch(/got/i);
        }
      }),
      { numRuns: 300 },
    );
    expect(through).toBeGreaterThan(50);
  });

  test.each([
    [{ pieces: 'two' }, 'parts.0.pieces: expected a number, got "two".'],
    [{ areaDm2: null }, 'parts.0.areaDm2: expected a number, got null.'],
    [{ mesh: [1, 2, 3] }, 'parts.0: expected no field that is not known, got "mesh".'],
    [{ name: '' }, 'parts.0.name: expected at least one character, got an empty text.'],
    [{ pieces: 0 }, /have to be a whole number from 1 to 10000, got 0\. Enter it again\.$/],
  ])('is refused where it stands: a part with %j', (change, words) => {
    const problems = problemsOf({ ...lampshade, parts: [{ ...lampshade.parts[0], ...change }] });
    expect(problems).toEqual([typeof words === 'string' ? words : expect.stringMatching(words)]);
  });

  test.each([
    [undefined, /^The plan: expected an object, got nothing\.$/],
    [[], /^The plan: expected an object, got a list of 0\.$/],
    [{ ...lampshade, bath: 'chrome' }, /^bath: expected .*watts-nickel.*, got "chrome"\.$/],
    [{ ...lampshade, plateHours: 3 }, /exactly one of them has to be given\. Got 2\./],
    [{ ...lampshade, parts: [] }, /^parts: expected at least one entry, got a list of 0\.$/],
    [
      { ...lampshade, parts: new Array(101).fill(lampshade.parts[0]) },
      /^parts: expected at most 100 entries, got a list of 101\.$/,
    ],
  ])('is refused as a whole: %#', (request, words) => {
    expect(problemsOf(request)).toEqual([expect.stringMatching(words)]);
  });
});
