/* What the balance says of a run: copper by weight, efficiency, average thickness, and what Faraday's law forbids. */
import { describe, expect, it, test } from 'vitest';
import {
  accumulatedEfficiency,
  type RunEntry,
  weighedDeposit,
  weighingsOf,
  type WeighingBody,
} from '@bathkeeper/shared-core/trade';
import { expectWithin } from '../within.js';

const bell = { recipe: { bath: 'bright-copper', areaDm2: 12 }, chargeAmpereHours: 272.1 };
const body = (when: 'before' | 'after', grams: number, uncertaintyGrams = 0.1): WeighingBody => ({
  kind: 'weighing',
  when,
  grams,
  uncertaintyGrams,
});
const entry = (entryId: number, weighing: WeighingBody, change: Partial<RunEntry> = {}): RunEntry => ({
  entryId,
  atMs: 1000 * entryId,
  writtenAtMs: 1000 * entryId,
  who: 'Robin',
  note: '',
  body: weighing,
  undone: null,
  ...change,
});
const weighed = (before: number, after: number, uncertaintyGrams = 0.1, run = bell) =>
  weighedDeposit(
    {
      before: { atMs: 1, who: 'Robin', body: body('before', before, uncertaintyGrams) },
      after: { atMs: 2, who: 'Robin', body: body('after', after, uncertaintyGrams) },
    },
    run,
  );

describe('a part weighed before and after', () => {
  const { gainedGrams, possibleGrams, cathodeEfficiencyPercent, averageThicknessMicrometres, question } = weighed(
    812,
    1124.5,
  );
  it('has gained the difference, within what both weighings may be off', () => {
    expect(gainedGrams).toMatchObject({ value: 312.5, unit: 'g' });
    expect(gainedGrams.uncertainty?.low).toBeCloseTo(312.3, 9);
    expect(gainedGrams.uncertainty?.high).toBeCloseTo(312.7, 9);
  });
  it('has an efficiency by Faraday’s law', () => {
    // 63.546 g/mol × 272.1 Ah × 3600 C/Ah ÷ (2 × 96485.33212 C/mol) = 322.57 g (SI 2019, IUPAC); 312.5 of them are 96.88 %.
    expect(possibleGrams).toBeCloseTo(322.57, 2);
    expect(cathodeEfficiencyPercent?.value).toBeCloseTo(96.88, 2);
    expect(cathodeEfficiencyPercent?.uncertainty?.low).toBeLessThan(95.5);
    expect(cathodeEfficiencyPercent?.uncertainty?.high).toBeGreaterThan(98.2);
  });
  it('has the thickness of that mass on its area, whatever the charge', () => {
    // 312.5 g ÷ (8.96 g/cm³ × 1200 cm²) = 290.6 µm (handbook density, arithmetic).
    expect(averageThicknessMicrometres?.value).toBeCloseTo(290.65, 1);
    expect(question).toBeNull();
  });
  it('knows no thickness without an area, and no efficiency without a charge', () => {
    const unknown = weighedDeposit(
      {
        before: { atMs: 1, who: 'R', body: body('before', 10) },
        after: { atMs: 2, who: 'R', body: body('after', 11) },
      },
      { recipe: null, chargeAmpereHours: 0 },
    );
    expect(unknown).toMatchObject({ averageThicknessMicrometres: null, cathodeEfficiencyPercent: null });
    expect(unknown.question).toContain('1 g of copper cannot have come from 0 Ah');
  });
});

describe('a weighing that Faraday’s law forbids', () => {
  it('is questioned with the sum', () => {
    // 322.57 g × 1.015 = 327.4 g; 330 g less 0.2 g is more.
    const { question } = weighed(812, 1142);
    expect(question).toContain('330 g of copper cannot have come from 272.1 Ah');
    expect(question).toContain('322.6 g at most (272.1 Ah × 1.185 g/Ah)');
    expect(question).toContain('327.4 g if the count is 1.5 % short');
    expect(question).toContain('Weigh it again');
  });
  test.each([
    ['just inside what balance and count may be off', 812, 812 + 327.6, null],
    ['just beyond it', 812, 812 + 327.7, expect.any(String) as string],
    ['lighter than before by no more than the balance is off', 812, 811.85, null],
    ['lighter than before', 812, 811.7, expect.stringContaining('0.3 g less') as string],
  ])('%s', (_words, before, after, expected) => {
    expect(weighed(before, after).question).toEqual(expected);
  });
  it('is believed of nickel by nickel’s own equivalent', () => {
    // 58.6934 g/mol gives 1.0949 g/Ah (IUPAC): 110 Ah give 120.4 g at most, where copper would give 130.4 g.
    const watts = { recipe: { bath: 'watts-nickel', areaDm2: 5 }, chargeAmpereHours: 110 };
    expect(weighed(100, 225, 0.1, watts).question).toContain('120.4 g at most');
  });
  it('only remarks on less than is usual', () => {
    const { question, remark } = weighed(812, 1012);
    expect(question).toBeNull();
    expect(remark).toContain('hooks and wires');
    expect(weighed(812, 1124.5).remark).toBeNull();
  });
});

describe('which weighings count', () => {
  it('the newest of each that stands', () => {
    const undone = { atMs: 9, who: 'Robin', reason: 'wet' };
    const entries = [
      entry(1, body('before', 800)),
      entry(2, body('before', 812)),
      entry(3, body('after', 1124.5)),
      entry(4, body('after', 1199), { undone }),
    ];
    expect(weighingsOf(entries)).toMatchObject({
      before: { body: { grams: 812 } },
      after: { body: { grams: 1124.5 } },
    });
    expect(weighingsOf(entries.slice(0, 2))).toBeUndefined();
  });
});

describe('the efficiency of a bath', () => {
  const run = (before: number, after: number, chargeAmpereHours: number) => ({
    ...weighed(before, after, 0.1, { ...bell, chargeAmpereHours }),
    chargeAmpereHours,
  });
  it('is all that was gained of all that could be, a long run weighing more', () => {
    // 96 g of 118.55 g and 350 g of 355.65 g: 446 ÷ 474.2 (computed from the SI).
    const both = accumulatedEfficiency([run(100, 196, 100), run(100, 450, 300)]);
    expectWithin(both?.cathodeEfficiency ?? 0, 446 / 474.196, 1e-4);
    expect(both).toMatchObject({ runCount: 2, chargeAmpereHours: 400, gainedGrams: 446 });
    expect(both!.low).toBeLessThan(both!.cathodeEfficiency);
    expect(both!.high).toBeGreaterThan(both!.cathodeEfficiency);
  });
  it('leaves out what cannot be so', () => {
    expect(accumulatedEfficiency([run(100, 196, 100), run(100, 900, 100)])?.runCount).toBe(1);
    expect(accumulatedEfficiency([run(100, 900, 100)])).toBeUndefined();
    expect(accumulatedEfficiency([])).toBeUndefined();
  });
});
