/* What a run used up and cost, by hand: copper by Faraday's law (1.1855 g/Ah, see faraday.test.ts), brightener by the bath's rate, what was added, electricity. */
import { describe, expect, it } from 'vitest';
import {
  type EntryAsked, type LedgerEntry, runCost, type RunCostBasis, runSheet, settledEntry, type StockBody, type StockEntry, type StockUse,
} from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { aRecord, ENDED_MS, STARTED_MS, uncosted } from './a-record.js';

const HOUR = 3_600_000;
const prices = { metalPerKg: 12, electricityPerKwh: 0.3 };
const plan = { parts: [{ name: 'bell', pieces: 1, areaDm2: 12 }], bath: 'bright-copper', prices } as const;
const ledgerEntry = (entryId: number, atMs: number, body: EntryAsked): LedgerEntry => ({ entryId, atMs, writtenAtMs: atMs, who: 'Kim', note: '', body: settledEntry(body), undone: null }); // prettier-ignore
const stockEntry = (entryId: number, atMs: number, body: StockBody): StockEntry => ({ entryId, atMs, writtenAtMs: atMs, who: 'Kim', note: '', body, undone: null }); // prettier-ignore
const rate = ledgerEntry(1, STARTED_MS - HOUR, { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 80, source: 'its sheet' }); // prettier-ignore
const bought = (entryId: number, atMs: number, amount: number, price: number): StockEntry => stockEntry(entryId, atMs, { kind: 'bought', of: 'brightener', amount, price }); // prettier-ignore
const use = (atMs: number, of: StockUse['of'], amount: number, bathId = 1): StockUse => ({ bathId, of, amount, atMs });

function cost(change: Partial<RunCostBasis> = {}, record = aRecord({ plan })): ReturnType<typeof runCost> {
  return runCost({ run: record, bath: { bathId: 1, entries: [rate] }, stock: { entries: [bought(1, STARTED_MS - HOUR, 5000, 100)], uses: [] }, ...change });
} // prettier-ignore

describe('the cost of a run', () => {
  it('is its copper, its brightener and its electricity, each at the price that somebody wrote down', () => {
    const of = cost();
    // 154.2 Ah × 1.1855 g/Ah = 182.80 g, at 12 a kg.
    expect(of.metalGrams!.value).toBeCloseTo(182.8, 1);
    expect(of.metalCost!.value).toBeCloseTo(2.194, 3);
    // 154.2 Ah × 0.3 L/kAh = 46.26 mL, at 100 for 5 L.
    expect(of.brightenerMillilitres!.value).toBeCloseTo(46.26, 6);
    expect(of.brightenerCost!.value).toBeCloseTo(0.9252, 6);
    // 0.3014 kWh by 0.85 at 0.30.
    expect(of.electricityCost!.value).toBeCloseTo(0.10638, 5);
    expect(of.total!.value).toBeCloseTo(2.1936 + 0.9252 + 0.1064, 3);
  });

  it('counts what was added to this bath from its start to its end, and brightener once', () => {
    const uses = [use(STARTED_MS - 1, 'brightener', 500), use(STARTED_MS + HOUR, 'brightener', 40), use(STARTED_MS + HOUR, 'brightener', 50), use(STARTED_MS + HOUR, 'water', 3000), use(ENDED_MS, 'copper-sulphate', 200), use(ENDED_MS, 'copper-sulphate', 100, 2), use(ENDED_MS + 1, 'brightener', 7)]; // prettier-ignore
    const entries = [bought(1, STARTED_MS - HOUR, 5000, 100), stockEntry(2, STARTED_MS - HOUR, { kind: 'bought', of: 'copper-sulphate', amount: 1000, price: 5 })]; // prettier-ignore
    const of = cost({ stock: { entries, uses } });
    expect(of.added).toEqual([
      { of: 'brightener', amount: 90, cost: expect.closeTo(1.8, 9) as number },
      { of: 'water', amount: 3000, cost: null },
      { of: 'copper-sulphate', amount: 200, cost: expect.closeTo(1, 9) as number },
    ]);
    expect(of.total!.value).toBeCloseTo(cost().total!.value + 1, 6);
    // Without a rate it is what was dosed.
    const dosed = cost({ bath: { bathId: 1, entries: [] }, stock: { entries, uses } });
    expect(dosed.brightenerMillilitres).toBeNull();
    expect(dosed.total!.value).toBeCloseTo(cost().total!.value - 0.9252 + 1.8 + 1, 6);
  });

  it('takes copper at what the anodes were bought for, before the plan’s price, and anodes that were put in meanwhile only once', () => {
    const anodes = stockEntry(2, STARTED_MS - HOUR, { kind: 'bought', of: 'copper-anodes', amount: 10_000, price: 150 }); // prettier-ignore
    const stock = { entries: [bought(1, STARTED_MS - HOUR, 5000, 100), anodes], uses: [use(ENDED_MS, 'copper-anodes', 2000)] }; // prettier-ignore
    const of = cost({ stock });
    // 182.80 g at 15 a kg; the 2 kg that were put in are told, and are not in the sum.
    expect(of.metalCost!.value).toBeCloseTo(2.742, 3);
    expect(of.metalCost!.source).toContain('the stock');
    expect(of.added).toEqual([{ of: 'copper-anodes', amount: 2000, cost: expect.closeTo(30, 9) as number }]);
    expect(of.total!.value).toBeCloseTo(2.742 + 0.9252 + 0.1064, 3);
    // Nickel is not copper.
    const nickel = aRecord({ plan });
    const ofNickel = cost({ stock }, { ...nickel, recipe: { ...nickel.recipe!, bath: 'watts-nickel' } });
    expect(ofNickel.metalCost!.value).toBeCloseTo((154.2 * 1.095 * 12) / 1000, 2);
    // Of a run whose metal nobody knows they count as they were put in.
    expect(cost({ stock }, aRecord({ recipe: null })).total!.value).toBeCloseTo(30 + 0.9252, 3);
  });

  it('does not change by what is bought, used or said after its end', () => {
    const later = [bought(1, STARTED_MS - HOUR, 5000, 100), bought(2, ENDED_MS + 1, 5000, 900)];
    const dearer = ledgerEntry(2, ENDED_MS + 1, { kind: 'brightener-rate', litresPerKiloampereHour: 3, doseMillilitres: 80, source: 'x' }); // prettier-ignore
    expect(cost({ stock: { entries: later, uses: [] }, bath: { bathId: 1, entries: [rate, dearer] } })).toEqual(cost());
  });

  it('invents no price: without one the amounts stand alone', () => {
    const of = cost({ stock: { entries: [], uses: [] } }, aRecord());
    expect(of).toMatchObject({ metalCost: null, brightenerCost: null, electricityCost: null, total: null });
    expect(of.metalGrams!.value).toBeCloseTo(182.8, 1);
    expect(cost({ bath: null, stock: { entries: [], uses: [] } }, aRecord({ recipe: null }))).toEqual(uncosted);
    const ofPlan = cost({ stock: { entries: [], uses: [] } }, aRecord({ plan: { ...plan, prices: { brightenerPerLitre: 20 } } })); // prettier-ignore
    expect(ofPlan.brightenerCost!.value).toBeCloseTo(0.9252, 6);
  });

  it('takes the metal of the recipe’s bath', () => {
    const nickel = aRecord();
    // 58.6934 / (2 × 96485.33) × 3600 = 1.0950 g/Ah (IUPAC 2021).
    const of = cost({}, { ...nickel, recipe: { ...nickel.recipe!, bath: 'watts-nickel' } });
    expect(of.metalGrams!.value).toBeCloseTo(154.2 * 1.095, 1);
    expect(of.metalGrams!.label).toMatch(/^nickel/);
  });
});

describe('on the sheet', () => {
  const rows = (of: ReturnType<typeof runCost>, units: 'metric' | 'imperial' = 'metric') =>
    runSheet(aRecord({ cost: of }), units, 'UTC').groups.find(({ title }) => title === 'What it used up')!.rows;

  it('each amount has its cost, and opens to its formula', () => {
    const of = cost({ stock: { entries: [bought(1, STARTED_MS - HOUR, 5000, 100)], uses: [use(ENDED_MS, 'brightener', 90), use(ENDED_MS, 'water', 3000)] } }); // prettier-ignore
    expect(rows(of).map(({ label, words }) => [label, words])).toEqual([
      ['Metal of the anodes, by Faraday’s law', '183 g, for 2.19'],
      ['Brightener, by the bath’s rate', '46.3 mL, for 0.93'],
      ['Added to the bath meanwhile', '90 mL of brightener for 1.80; 3 L of water, no price known'],
      ['Electricity', 'for 0.11'],
      ['Together', '3.23, of what has a price'],
    ]);
    expect(rows(of)[0]!.figure).toBe(of.metalCost);
    expect(rows(of, 'imperial')[0]!.words).toBe('6.45 oz, for 2.19');
  });

  it('where nothing has a price it says so, and how it gets one', () => {
    expect(rows(uncosted).map(({ words }) => words)).toEqual([expect.stringMatching(/^not known: no price.*stock of chemicals/)]); // prettier-ignore
  });
});
