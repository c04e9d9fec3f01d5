/* What the entries of a ledger come to: in the order in which things were done, without what was undone. */
import { bathAccount, brightenerDue, brightenerMillilitres, brightenerRate, concentratedSulphuric, controllerSpans,
  sharedSpan, dosedAtMs, type EntryAsked, estimatedComposition, type LedgerEntry, settledEntry, trendPerDay } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { describe, expect, test } from 'vitest';

const madeUp: EntryAsked = {
  kind: 'made-up',
  litres: 60,
  composition: { 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 },
  from: 'chemicals',
  saltPurityShare: 1,
  acid: concentratedSulphuric,
};
const level = (litres: number): EntryAsked => ({ kind: 'level', litres });
const water = (litres: number): EntryAsked => ({ kind: 'addition', of: 'water', amount: litres * 1000 });
const found = (value: number): EntryAsked => ({ kind: 'analysis', analyte: 'copper-sulphate', how: 'direct', value });

/** One a day. */
function written(...asked: (EntryAsked | 'undone')[]): LedgerEntry[] {
  const entries: LedgerEntry[] = [];
  for (const [day, one] of asked.entries()) {
    if (one === 'undone') entries.push({ ...entries.pop()!, undone: { atMs: 0, who: 'A', reason: 'the wrong bath' } });
    else
      entries.push({
        entryId: day + 1,
        atMs: day * 86_400_000,
        writtenAtMs: 0,
        who: 'A',
        note: '',
        body: settledEntry(one),
        undone: null,
      });
  }
  return entries.reverse();
}

describe('the account of a bath', () => {
  test('knows nothing before it was made up, and then what it was made of', () => {
    expect(bathAccount([])).toMatchObject({ madeUp: null, litres: null, held: {} });
    const account = bathAccount(written(madeUp));
    expect(account).toMatchObject({ litres: 60, madeUpAtMs: 0 });
    expect(estimatedComposition(account)).toEqual({ 'copper-sulphate': 200, 'sulphuric-acid': 60, chloride: 60 });
  });

  test('counts what is lost between two levels with the water that was filled in between', () => {
    const account = bathAccount(written(madeUp, level(58), water(2), level(59.4)));
    expect(account.losses.map(({ litres }) => Number(litres.toFixed(6)))).toEqual([2, 0.6]);
    expect(account.litres).toBe(59.4);
  });

  test('takes water that goes for water: what stays behind grows stronger, and weaker again with the top-up', () => {
    const low = bathAccount(written(madeUp, level(50)));
    expect(low.held['copper-sulphate']?.estimated).toBeCloseTo(240, 9);
    const filled = bathAccount(written(madeUp, level(50), water(10)));
    expect(filled.held['copper-sulphate']?.estimated).toBeCloseTo(200, 9);
  });

  test('believes the newest analysis, and adds what was added since', () => {
    const account = bathAccount(written(madeUp, found(180), { kind: 'addition', of: 'copper-sulphate', amount: 600 }));
    expect(account.held['copper-sulphate']).toMatchObject({ from: 'analysis', found: 180, isChangedSince: true });
    expect(account.held['copper-sulphate']?.estimated).toBeCloseTo(190, 9);
    expect(bathAccount(written(madeUp, found(180))).held['copper-sulphate']?.isChangedSince).toBe(false);
  });

  test('leaves out what was undone, and reads by the day it was done and not by the day it was written', () => {
    const undone = bathAccount(written(madeUp, { kind: 'addition', of: 'copper-sulphate', amount: 6000 }, 'undone'));
    expect(undone.held['copper-sulphate']?.estimated).toBe(200);
    const [late, first] = written(madeUp, found(150));
    const before: LedgerEntry = { ...late!, entryId: 99, atMs: -1, body: settledEntry(found(100)) };
    expect(bathAccount([before, first!]).held['copper-sulphate']?.found).toBe(200);
  });

  test('takes an acid by what its bottle says, and chloride from salt and from acid alike', () => {
    const account = bathAccount(
      written(
        madeUp,
        { kind: 'addition', of: 'sulphuric-acid', amount: 100, acid: concentratedSulphuric },
        { kind: 'addition', of: 'sodium-chloride', amount: 1 },
      ),
    );
    expect(account.litres).toBeCloseTo(60.1, 9);
    expect(account.held['sulphuric-acid']?.estimated).toBeCloseTo((3600 + 176.64) / 60.1, 6);
    expect(account.held.chloride?.estimated).toBeCloseTo((3600 + 606.6) / 60.1, 1);
  });
});

describe('brightener', () => {
  const rate = {
    kind: 'brightener-rate',
    litresPerKiloampereHour: 0.3,
    doseMillilitres: 80,
    source: 'a sheet',
  } as const;
  const dose: EntryAsked = { kind: 'addition', of: 'brightener', amount: 80 };

  test('is used up by ampere-hours times the rate (the rate itself has no published source)', () => {
    expect(brightenerMillilitres(250, 0.3)).toBe(75);
    expect(brightenerDue(rate, 250 * 3.6e6)).toEqual({ ampereHours: 250, usedUpMillilitres: 75, isDue: false });
    expect(brightenerDue(rate, 270 * 3.6e6).isDue).toBe(true);
  });

  test('counts from the newest dose that was not undone, else from the make-up', () => {
    expect(dosedAtMs(written(level(60)))).toBeNull();
    expect(dosedAtMs(written(madeUp, dose))).toBe(86_400_000);
    expect(dosedAtMs(written(madeUp, dose, 'undone'))).toBe(0);
  });

  test('has the newest rate that somebody wrote down, and else none', () => {
    expect(brightenerRate(written(madeUp))).toBeUndefined();
    expect(brightenerRate(written(rate, { ...rate, litresPerKiloampereHour: 0.2 }))).toMatchObject({ litresPerKiloampereHour: 0.2 }); // prettier-ignore
  });
});

test('a bath stands under one controller at a time, and under none once it was taken off', () => {
  const put = (controllerId: string): EntryAsked => ({ kind: 'put-on', controllerId });
  const day = 86_400_000;
  expect(controllerSpans(written(put('a'), put('b'), { kind: 'taken-off' }, put('a')))).toEqual([
    { controllerId: 'a', fromMs: 0, toMs: day },
    { controllerId: 'b', fromMs: day, toMs: 2 * day },
    { controllerId: 'a', fromMs: 3 * day, toMs: null },
  ]);
});

test('a controller is shared by two baths where their spans overlap by a moment, not where one leaves as the other comes', () => {
  const span = (controllerId: string, fromMs: number, toMs: number | null) => ({ controllerId, fromMs, toMs });
  const [early, late] = [span('a', 0, 10), span('a', 20, null)];
  expect(sharedSpan([early, late], [span('a', 10, 20)])).toBeUndefined();
  expect(sharedSpan([early, late], [span('b', 0, null)])).toBeUndefined();
  expect(sharedSpan([early, late], [span('a', 9, 20)])).toBe(early);
  expect(sharedSpan([early, late], [span('a', 10, 21)])).toBe(late);
  expect(sharedSpan([late], [span('a', 30, null)])).toBe(late);
});

describe('a trend', () => {
  const day = 86_400_000;

  test('is the line of least squares: 1, 3, 2, 4 on following days rise by 0.8 a day (computed by hand)', () => {
    expect(trendPerDay([1, 3, 2, 4].map((value, at) => ({ atMs: at * day, value })))).toBeCloseTo(0.8, 9);
  });

  test('is not told of two findings, nor of one day', () => {
    expect(trendPerDay([{ atMs: 0, value: 1 }, { atMs: day, value: 2 }])).toBeUndefined(); // prettier-ignore
    expect(trendPerDay([1, 2, 3].map((value) => ({ atMs: 0, value })))).toBeUndefined();
  });
});
