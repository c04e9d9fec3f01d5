/* What the weighed runs of a bath say of its cathode efficiency together: by ledger, by controller, by kind of bath, and without what cannot be so. */
import { describe, expect, it } from 'vitest';
import {
  measuredEfficiencies,
  weighedDeposit,
  type WeighedInBath,
  type WeighingBody,
} from '@bathkeeper/shared-core/trade';

const weight = (when: WeighingBody['when'], grams: number) => ({
  atMs: 0,
  who: 'Robin',
  body: { kind: 'weighing' as const, when, grams, uncertaintyGrams: 0.1 },
});
/** 100 Ah of copper are 118.55 g at most (63.546 g/mol × 3600 s/h × 100 ÷ (2 × 96485.33212 C/mol), SI 2019). */
function aRun(gained: number, change: Partial<WeighedInBath> = {}): WeighedInBath {
  const chargeAmpereHours = 100;
  const weighed = weighedDeposit(
    { before: weight('before', 500), after: weight('after', 500 + gained) },
    { recipe: null, chargeAmpereHours },
  );
  return {
    controllerId: 'north-bench', startedAtMs: 1000, bathName: 'Copper 60 L', isSimulated: false, profile: 'bright-copper',
    chargeAmpereHours, weighed, ...change,
  }; // prettier-ignore
}

describe('the efficiency of a bath', () => {
  it('is all that was gained by all that could be, with how many runs and how far they spread', () => {
    const [measured, ...others] = measuredEfficiencies([aRun(112.62), aRun(116.18)], []);
    expect(others).toEqual([]);
    expect(measured).toMatchObject({ bathName: 'Copper 60 L', profile: 'bright-copper', runCount: 2 });
    expect(measured!.cathodeEfficiency).toBeCloseTo(0.965, 3);
    expect(measured!.leastOfRuns).toBeCloseTo(0.95, 3);
    expect(measured!.mostOfRuns).toBeCloseTo(0.98, 3);
    // 0.2 g of 118.55 g up or down in each, and 1.5 % of the charge.
    expect(measured!.low).toBeCloseTo((0.965 - 0.2 / 118.55) * 0.985, 3);
    expect(measured!.high).toBeCloseTo((0.965 + 0.2 / 118.55) * 1.015, 3);
  });

  it('leaves out what Faraday’s law forbids, and a bath of which nothing else is left', () => {
    expect(measuredEfficiencies([aRun(112.62), aRun(300)], [])[0]).toMatchObject({ runCount: 1 });
    expect(measuredEfficiencies([aRun(300)], [])).toEqual([]);
  });

  it('is the ledger’s own where its bath stood under the controller, and another bath’s before and after', () => {
    const ledger = {
      bathName: 'Tank by the window',
      isSimulated: false,
      controllerId: 'north-bench',
      fromMs: 1000,
      toMs: 5000,
    };
    const runs = [999, 1000, 4999, 5000].map((startedAtMs) => aRun(115, { startedAtMs }));
    const names = measuredEfficiencies(runs, [ledger]).map(({ bathName, runCount }) => [bathName, runCount]);
    expect(names.sort()).toEqual([
      ['Copper 60 L', 2],
      ['Tank by the window', 2],
    ]);
  });

  it('is no real bath’s of a simulated run, which an older store may have put there', () => {
    const ledger = { bathName: 'Tank by the window', isSimulated: false, controllerId: 'north-bench', fromMs: 0, toMs: null }; // prettier-ignore
    const [measured, ...others] = measuredEfficiencies([aRun(115, { isSimulated: true })], [ledger]);
    expect(others).toEqual([]);
    expect(measured).toMatchObject({ bathName: 'Copper 60 L', isSimulated: true });
  });

  it('keeps kinds of baths and the simulated one apart', () => {
    const runs = [aRun(115), aRun(115, { profile: 'high-throw-copper' }), aRun(115, { isSimulated: true })];
    expect(measuredEfficiencies(runs, [])).toHaveLength(3);
  });
});
