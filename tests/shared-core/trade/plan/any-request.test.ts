/* Whatever is asked, by a person, a stored plan or a program: a plan whose every number is one, or a refusal in words. */
import { figureGroups, figuresOf, jobSheet, planExport, planOf, type PlanRequest } from '@bathkeeper/shared-core/trade';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { anyPlanRequest } from './any-plan.js';

test('any request is planned in finite numbers, printed and exported, or refused in whole sentences', () => {
  let plans = 0;
  fc.assert(
    fc.property(anyPlanRequest, (asked) => {
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
