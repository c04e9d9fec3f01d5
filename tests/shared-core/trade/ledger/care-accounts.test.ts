/* What the care of a bath comes to: anodes against Faraday's law, waste against what was handed over, and what is drawn off against what stays. */
import { anodeAccount, bathAccount, concentratedSulphuric, type EntryAsked, wasteAccount } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { expectWithin } from '../within.js';
import { entriesOf, entryOn } from './written-entries.js';

const AMPERE_HOUR = 3_600_000;
const weighed = (grams: number): EntryAsked => ({ kind: 'anodes-weighed', grams });
const changed = (takenOutGrams: number, putInGrams: number): EntryAsked => ({ kind: 'anodes-changed', takenOutGrams, putInGrams }); // prettier-ignore
const collected = (amount: number): EntryAsked => ({ kind: 'waste-collected', what: 'bath', amount, container: '1' });
const handed = (amount: number): EntryAsked => ({ kind: 'waste-handed-over', what: 'bath', amount, toWhom: 'B' });

describe('anodes', () => {
  test('lose 1.186 g/Ah of copper at 100 % (eciato.com; M / (z F), SI 2019): 355.7 g in 300 Ah', () => {
    const entries = entriesOf([weighed(8000), changed(0, 400), weighed(8044.3)]);
    const { grams, periods } = anodeAccount(entries, {
      atEntries: { 1: 0, 3: 300 * AMPERE_HOUR },
      millicoulombs: 300 * AMPERE_HOUR,
    });
    expect(grams).toBe(8044.3);
    expect(periods).toHaveLength(1);
    expectWithin(periods[0]!.faradayGrams, 1.186 * 300, 1.5e-3);
    expectWithin(periods[0]!.efficiencyShare!, 1, 1e-3);
  });

  test('have no efficiency where no charge was counted, and no loss before they were weighed twice', () => {
    expect(anodeAccount(entriesOf([weighed(8000)]), { atEntries: {}, millicoulombs: 0 }).periods).toEqual([]);
    const still = anodeAccount(entriesOf([weighed(8000), weighed(7990)]), {
      atEntries: { 1: 5, 2: 5 },
      millicoulombs: 5,
    });
    expect(still.periods).toMatchObject([{ lostGrams: 10, efficiencyShare: null }]);
    expect(anodeAccount(entriesOf([changed(0, 400)]), { atEntries: {}, millicoulombs: 0 }).grams).toBeNull();
  });

  test('have lost since their newest weighing what the charge since then dissolves: 1.186 g/Ah (eciato.com)', () => {
    const worked = { atEntries: { 1: 200 * AMPERE_HOUR, 2: 250 * AMPERE_HOUR }, millicoulombs: 350 * AMPERE_HOUR };
    const { since } = anodeAccount(entriesOf([weighed(8000), weighed(7940)]), worked);
    expect(since?.ampereHours).toBe(100);
    expectWithin(since!.faradayGrams, 118.6, 1.5e-3);
    expect(anodeAccount(entriesOf([weighed(8000)]), { atEntries: { 1: 5 }, millicoulombs: 5 }).since).toBeNull();
    expect(anodeAccount(entriesOf([changed(0, 400)]), worked).since).toBeNull();
  });

  test('balance: first weighing and all that was put in are what hangs there, what was taken out and what was lost', () => {
    const step = fc.record({ grams: fc.double({ min: 1, max: 1e5, noNaN: true }), out: fc.nat(500), in: fc.nat(500) });
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 12 }), (steps) => {
        const asked = steps.flatMap((one) => [weighed(one.grams), changed(one.out, one.in + 1)]);
        const { grams, periods } = anodeAccount(entriesOf(asked), { atEntries: {}, millicoulombs: 0 });
        const lost = periods.reduce((sum, one) => sum + one.lostGrams, 0);
        const put = steps.reduce((sum, one) => sum + one.in + 1 - one.out, 0);
        expect(Math.abs(steps[0]!.grams + put - lost - grams!)).toBeLessThan(1e-6);
      }),
    );
  });
});

describe('waste', () => {
  test('that was collected is handed over or waits, whatever was undone', () => {
    const one = fc.record({
      isCollected: fc.boolean(),
      amount: fc.double({ min: 0.1, max: 100, noNaN: true }),
      isUndone: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 30 }), (acts) => {
        const entries = acts.map(({ isCollected, amount, isUndone }, at) =>
          entryOn(at, isCollected ? collected(amount) : handed(amount), isUndone),
        );
        const counted = acts.filter(({ isUndone }) => !isUndone);
        const left = counted.reduce((sum, { isCollected, amount }) => sum + (isCollected ? amount : -amount), 0);
        const told = wasteAccount(entries);
        expect(told).toHaveLength(counted.length === 0 ? 0 : 1);
        expect(Math.abs((told[0]?.left ?? 0) - left)).toBeLessThan(1e-9);
      }),
    );
  });
});

describe('what is drawn off', () => {
  const madeUp: EntryAsked = {
    kind: 'made-up',
    litres: 60,
    composition: { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 },
    from: 'chemicals',
    saltPurityShare: 1,
    acid: concentratedSulphuric,
  };

  test('takes its share of everything: 15 of 60 L, and as much water, leave 150 of 200 g/L', () => {
    const drawn = bathAccount(entriesOf([madeUp, collected(15)]));
    expect(drawn.litres).toBe(45);
    expect(drawn.held['copper-sulphate']?.estimated).toBeCloseTo(200, 9);
    const filled = bathAccount(entriesOf([madeUp, collected(15), { kind: 'addition', of: 'water', amount: 15_000 }]));
    expect(filled.litres).toBe(60);
    expect(filled.held['copper-sulphate']?.estimated).toBeCloseTo(150, 9);
    expect(filled.losses).toEqual([]);
  });

  test('is no evaporation: the level after it counts from what stayed', () => {
    const account = bathAccount(entriesOf([madeUp, collected(15), { kind: 'level', litres: 44 }]));
    expect(account.losses).toMatchObject([{ litres: 1 }]);
  });

  test('never leaves less than nothing, however much somebody wrote down', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.1, max: 40, noNaN: true }), { maxLength: 8 }), (litres) => {
        const account = bathAccount(entriesOf([madeUp, ...litres.map(collected)]));
        const left = Math.max(0, 60 - litres.reduce((sum, one) => sum + one, 0));
        expect(Math.abs(account.litres! - left)).toBeLessThan(1e-9);
        for (const held of Object.values(account.held)) expect(held.estimated).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test('of rinse water takes nothing from the tank', () => {
    const rinse: EntryAsked = { kind: 'waste-collected', what: 'rinse', amount: 5, container: '2' };
    expect(bathAccount(entriesOf([madeUp, rinse])).litres).toBe(60);
  });
});
