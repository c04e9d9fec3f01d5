/* The stock of chemicals by hand: moving weighted average, counts, uses before anything was bought, what a bath took and cost. */
import { describe, expect, it } from 'vitest';
import {
  bathCost, type EntryAsked, type LedgerEntry, lowGoodsOf, settledEntry, stockAccount, type StockBody, type StockEntry, type StockUse, stockUses,
} from '@bathkeeper/shared-core/trade'; // prettier-ignore

const HOUR = 3_600_000;
const stock = (entryId: number, hours: number, body: StockBody, more: Partial<StockEntry> = {}): StockEntry => ({ entryId, atMs: hours * HOUR, writtenAtMs: hours * HOUR, who: 'Kim', note: '', body, undone: null, ...more }); // prettier-ignore
const use = (hours: number, amount: number, of: StockUse['of'] = 'copper-sulphate', bathId = 1): StockUse => ({ bathId, of, amount, atMs: hours * HOUR }); // prettier-ignore
const bought = (amount: number, price: number, of: StockUse['of'] = 'copper-sulphate'): StockBody => ({ kind: 'bought', of, amount, price }); // prettier-ignore
const UNDONE = { atMs: 0, who: 'Kim', reason: 'typed twice' };

describe('the stock of a chemical', () => {
  it('is bought minus used, its cost the moving weighted average', () => {
    // 1000 g for 4; 500 g used at 0.004 = 2; then 1000 g for 6 on the 500 g left: (2 + 6) / 1500; then 750 g used for 4.
    const { goods, uses } = stockAccount([stock(1, 1, bought(1000, 4)), stock(2, 3, bought(1000, 6))], [use(2, 500), use(4, 750)]);
    expect(uses.map(({ cost }) => cost)).toEqual([2, expect.closeTo(4, 9)]);
    expect(goods).toMatchObject([{ of: 'copper-sulphate', amount: 750, costOfOne: expect.closeTo(8 / 1500, 12) as number, isLow: false }]);
  }); // prettier-ignore

  it('follows the time at which things were done, not the order in which they were written, and leaves out what was undone', () => {
    const late = [stock(9, 1, bought(1000, 4)), stock(3, 5, bought(1000, 100), { undone: UNDONE }), stock(2, 3, bought(1000, 6))]; // prettier-ignore
    const { goods, uses } = stockAccount(late, [use(4, 750), use(2, 500)]);
    expect(uses.map(({ cost }) => cost)).toEqual([2, expect.closeTo(4, 9)]);
    expect(goods[0]!.amount).toBe(750);
  });

  it('begins with its first purchase or count: what was used before counts for nothing and has no price', () => {
    const { goods, uses } = stockAccount([stock(1, 5, bought(1000, 4))], [use(1, 12_000), use(6, 100), use(7, 30, 'brightener')]); // prettier-ignore
    expect(uses.map(({ cost }) => cost)).toEqual([null, 0.4, null]);
    expect(goods).toMatchObject([{ of: 'copper-sulphate', amount: 900 }]);
  });

  it('is put right by a count, which tells what was missed and leaves the average', () => {
    const { goods } = stockAccount([stock(1, 1, bought(1000, 4)), stock(2, 3, { kind: 'counted', of: 'copper-sulphate', amount: 350 })], [use(2, 500)]); // prettier-ignore
    expect(goods).toMatchObject([{ amount: 350, costOfOne: 0.004, missedAtCount: 150 }]);
    const first = stockAccount([stock(1, 1, { kind: 'counted', of: 'water', amount: 5000 }), stock(2, 2, bought(5000, 10, 'water'))], []); // prettier-ignore
    // What was there before anybody wrote down a price is worth what the first purchase cost.
    expect(first.goods).toMatchObject([{ amount: 10_000, costOfOne: 0.002, missedAtCount: null }]);
  });

  it('stays on the list with nothing of it when all that was written of it is undone', () => {
    const { goods, uses } = stockAccount([stock(1, 1, bought(1000, 4), { undone: UNDONE }), stock(2, 2, bought(500, 9, 'brightener'))], [use(2, 500)]); // prettier-ignore
    expect(goods).toMatchObject([
      { of: 'copper-sulphate', isBegun: false, amount: 0, costOfOne: null },
      { of: 'brightener', isBegun: true, amount: 500 },
    ]);
    expect(uses).toMatchObject([{ cost: null }]);
  });

  it('is told to the baths that take it when it is running low, and to no other', () => {
    const low = (of: StockUse['of']): StockBody => ({ kind: 'low-at', of, amount: 600 });
    const account = stockAccount([stock(1, 1, bought(1000, 4)), stock(2, 1, low('copper-sulphate')), stock(3, 1, low('brightener'))], [use(2, 500), use(2, 10, 'water', 2)]); // prettier-ignore
    expect(lowGoodsOf(1, account)).toMatchObject([{ of: 'copper-sulphate', amount: 500, lowAt: 600 }]);
    expect(lowGoodsOf(2, account)).toEqual([]);
  });

  it('is running low below what somebody said, and below zero where a purchase was not written down', () => {
    const low: StockBody = { kind: 'low-at', of: 'copper-sulphate', amount: 600 };
    const of = (used: number) =>
      stockAccount([stock(1, 1, bought(1000, 4)), stock(2, 1, low)], [use(2, used)]).goods[0]!;
    expect(of(400)).toMatchObject({ isLow: false, lowAt: 600 });
    expect(of(401)).toMatchObject({ isLow: true });
    expect(of(1200)).toMatchObject({ amount: -200, isLow: true });
    // The next purchase is not averaged with less than nothing.
    const after = stockAccount([stock(1, 1, bought(1000, 4)), stock(2, 3, bought(1000, 6))], [use(2, 1200)]);
    expect(after.goods).toMatchObject([{ amount: 800, costOfOne: 0.006 }]);
  });
});

describe('what a bath took', () => {
  const entry = (entryId: number, hours: number, body: EntryAsked, undone: LedgerEntry['undone'] = null): LedgerEntry => ({ entryId, atMs: hours * HOUR, writtenAtMs: hours * HOUR, who: 'Kim', note: '', body: settledEntry(body), undone }); // prettier-ignore
  const madeUp: EntryAsked = {
    kind: 'made-up', litres: 60, composition: { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 }, from: 'chemicals', saltPurityShare: 1,
    acid: { strengthShare: 0.96, densityGramsPerMl: 1.84 }, brightenerMillilitresPerLitre: 5,
  }; // prettier-ignore

  it('is its make-up by the amounts of its entry, and each addition that has a name on the shelf', () => {
    const uses = stockUses(3, [
      entry(1, 1, madeUp), entry(2, 2, { kind: 'addition', of: 'brightener', amount: 90 }), entry(3, 3, { kind: 'addition', of: 'other-solid', name: 'sand', amount: 5 }),
      entry(4, 4, { kind: 'addition', of: 'water', amount: 3000 }), entry(5, 5, { kind: 'addition', of: 'brightener', amount: 1 }, UNDONE),
    ]); // prettier-ignore
    // 60 L of 200 g/L are 12 kg; 60 mg/L of chloride in 60 L are 3.6 g, as NaCl (58.44 / 35.45) 5.93 g: the example of make-up.ts.
    expect(uses.map(({ of, amount }) => [of, Number(amount.toPrecision(3))])).toEqual([
      ['copper-sulphate', 12_000], ['sulphuric-acid', 2040], ['sodium-chloride', 5.93], ['brightener', 300], ['water', 53_900],
      ['brightener', 90], ['water', 3000],
    ]); // prettier-ignore
    expect(stockUses(3, [entry(1, 1, { ...madeUp, from: 'ready-made' })])).toEqual([]);
  });

  it('is the anodes that were put in, not those that were only weighed or taken out', () => {
    const uses = stockUses(3, [
      entry(1, 1, { kind: 'anodes-weighed', grams: 12_000 }), entry(2, 2, { kind: 'anodes-changed', takenOutGrams: 900, putInGrams: 2500 }),
      entry(3, 3, { kind: 'anodes-changed', takenOutGrams: 1100, putInGrams: 0 }), entry(4, 4, { kind: 'anodes-changed', takenOutGrams: 0, putInGrams: 40 }, UNDONE),
    ]); // prettier-ignore
    expect(uses).toEqual([{ bathId: 3, of: 'copper-anodes', amount: 2500, atMs: 2 * HOUR }]);
  });

  it('costs the sum of what has a price; a run costs brightener by the bath’s own rate', () => {
    const account = stockAccount([stock(1, 1, bought(5000, 100, 'brightener'))], [use(2, 90, 'brightener'), use(2, 10, 'brightener', 2), use(2, 12_000)]); // prettier-ignore
    const bath = { bathId: 1, name: 'Copper 60 L' };
    // 90 mL at 0.02; 0.3 L in a kiloampere-hour are 300 mL at 0.02.
    expect(bathCost(bath, account, 0.3)).toEqual({ ...bath, cost: expect.closeTo(1.8, 9) as number, unpricedCount: 1, brightenerCostPerKiloampereHour: expect.closeTo(6, 9) as number }); // prettier-ignore
    expect(bathCost(bath, account, undefined).brightenerCostPerKiloampereHour).toBe(null);
  });
});
