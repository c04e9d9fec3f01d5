/* The stock of chemicals through the page's routes and in the store: bought, used by ledgers, undone, refused; nothing is ever changed. */
import { describe, expect, it } from 'vitest';
import type { LedgerBath, StockView } from '@bathkeeper/shared-core/trade';
import { openLedgerBook } from '../../../../dashboard/server/ledger/ledger-book.js';
import { EVENING_MS } from '../dashboard-on-trial.js';
import { type Answer, letIn, pageOnTrial } from '../page-on-trial.js';

const bought = { kind: 'bought', of: 'brightener', amount: 5000, price: 100 };

async function stockOnTrial() {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const ask = (method: string, path: string, body?: unknown): Promise<Answer> => page.ask(method, `/api${path}`, body, session); // prettier-ignore
  const bath = (await ask('POST', '/baths', { name: 'Copper 60 L', profile: 'bright-copper', who: 'Kim' })).body as unknown as LedgerBath; // prettier-ignore
  const write = (body: unknown, more: object = {}): Promise<Answer> => ask('POST', '/stock/entries', { who: 'Kim', body, ...more }); // prettier-ignore
  const view = async (): Promise<StockView> => (await ask('GET', '/stock')).body as unknown as StockView;
  return { page, ask, bath, write, view };
}

describe('the stock', () => {
  it('goes down by what a ledger says was added, and up again when that is undone; the bath’s cost with it', async () => {
    const { page, ask, bath, write, view } = await stockOnTrial();
    expect(await view()).toEqual({ goods: [], entries: [], baths: [{ bathId: bath.bathId, name: 'Copper 60 L', cost: 0, unpricedCount: 0, brightenerCostPerKiloampereHour: null }] }); // prettier-ignore
    expect((await write(bought, { note: 'batch 7', atMs: EVENING_MS - 3_600_000 })).status).toBe(200);
    const dosed = await ask('POST', `/baths/${String(bath.bathId)}/entries`, { who: 'Robin', body: { kind: 'addition', of: 'brightener', amount: 90 } }); // prettier-ignore
    await ask('POST', `/baths/${String(bath.bathId)}/entries`, { who: 'Robin', body: { kind: 'brightener-rate', litresPerKiloampereHour: 0.3, doseMillilitres: 90, source: 'its sheet' } }); // prettier-ignore
    expect(await view()).toMatchObject({
      goods: [{ of: 'brightener', amount: 4910, costOfOne: 0.02 }],
      entries: [
        {
          who: 'Kim',
          note: 'batch 7',
          body: bought,
          undone: null,
          atMs: EVENING_MS - 3_600_000,
          writtenAtMs: EVENING_MS,
        },
      ],
      baths: [{ cost: 1.8, unpricedCount: 0, brightenerCostPerKiloampereHour: 6 }],
    });
    await ask('POST', `/baths/${String(bath.bathId)}/entries/${String((dosed.body as { entryId?: number }).entryId)}/undo`, { who: 'Kim', reason: 'the other bath' }); // prettier-ignore
    expect(await view()).toMatchObject({ goods: [{ amount: 5000 }], baths: [{ cost: 0 }] });
    await page.trial.restart();
    expect(page.trial.dashboard.store.database.prepare('SELECT count(*) FROM stock_entries').pluck().get()).toBe(1);
  });

  it('that is running low is told among the reminders of the bath that takes it, and in its ledger', async () => {
    const { ask, bath, write } = await stockOnTrial();
    const reminders = async () => (await ask('GET', '/controllers/north-bench/ledger-reminders')).body as unknown;
    const ofBath = `/baths/${String(bath.bathId)}`;
    await write(bought, { atMs: EVENING_MS - 3_600_000 });
    await ask('POST', `${ofBath}/entries`, { who: 'Robin', body: { kind: 'put-on', controllerId: 'north-bench' } });
    await ask('POST', `${ofBath}/entries`, { who: 'Robin', body: { kind: 'addition', of: 'brightener', amount: 4700 } });
    expect(await reminders()).toEqual([]);
    await write({ kind: 'low-at', of: 'brightener', amount: 500 });
    await write({ kind: 'low-at', of: 'water', amount: 500 });
    expect(await reminders()).toEqual([
      { bathId: null, words: '“Copper 60 L” takes brightener, running low: 300 mL left, at least 500 mL were to be there.' },
    ]);
    expect((await ask('GET', ofBath)).body).toMatchObject({ lowGoods: [{ of: 'brightener', amount: 300 }] });
    await ask('POST', `${ofBath}/entries`, { who: 'Robin', body: { kind: 'addition', of: 'brightener', amount: 400 } });
    expect(await reminders()).toMatchObject([{ words: expect.stringContaining('by the books nothing is left, at least 500 mL') as string }]);
    await write({ ...bought, amount: 1000, price: 20 });
    expect(await reminders()).toEqual([]);
  }); // prettier-ignore

  it('of anodes is bought by the kilogram and taken by the anodes that a bath is given', async () => {
    const { ask, bath, write, view } = await stockOnTrial();
    await write({ kind: 'bought', of: 'copper-anodes', amount: 10_000, price: 140 }, { atMs: EVENING_MS - 3_600_000 });
    await ask('POST', `/baths/${String(bath.bathId)}/entries`, { who: 'Robin', body: { kind: 'anodes-changed', takenOutGrams: 800, putInGrams: 2500 } });
    expect(await view()).toMatchObject({
      goods: [{ of: 'copper-anodes', amount: 7500, costOfOne: 0.014 }],
      baths: [{ cost: 35, unpricedCount: 0 }],
    });
  }); // prettier-ignore

  it('counts no simulated bath', async () => {
    const { page, write, view } = await stockOnTrial();
    await write(bought, { atMs: EVENING_MS - 3_600_000 });
    const book = openLedgerBook(page.trial.dashboard.store);
    const { bathId } = book.addBath({ name: 'SIMULATED', profile: 'bright-copper', who: 'Kim', isSimulated: true }, EVENING_MS); // prettier-ignore
    book.add({ bathId, atMs: EVENING_MS, who: 'Kim', note: '', body: { kind: 'addition', of: 'brightener', amount: 90, brought: null } }, EVENING_MS); // prettier-ignore
    expect(await view()).toMatchObject({ goods: [{ amount: 5000 }], baths: [{ name: 'Copper 60 L' }] });
  });

  it('keeps an entry that was undone, with who and why, and undoes none twice', async () => {
    const { ask, write, view } = await stockOnTrial();
    await write(bought);
    const { entryId } = (await view()).entries[0]!;
    const undo = (reason: string, id = entryId): Promise<Answer> => ask('POST', `/stock/entries/${String(id)}/undo`, { who: 'Robin', reason }); // prettier-ignore
    expect((await undo('')).status).toBe(400);
    expect((await undo('typed twice')).body).toMatchObject({ goods: [{ of: 'brightener', isBegun: false, amount: 0 }], entries: [{ undone: { who: 'Robin', reason: 'typed twice', atMs: EVENING_MS } }] }); // prettier-ignore
    expect(await undo('again')).toMatchObject({ status: 409, body: { error: expect.stringContaining('already') as string } }); // prettier-ignore
    expect((await undo('none', 99)).status).toBe(404);
  });

  it.each([
    [{ ...bought, amount: 0 }, /amount/],
    [{ ...bought, amount: 5e-324 }, /amount: expected a number of at least 0.000001, got 5e-324/],
    [{ ...bought, price: -1 }, /price/],
    [{ ...bought, of: 'other-solid' }, /of/],
    [{ ...bought, currency: 'EUR' }, /currency/],
    [{ kind: 'stolen' }, /kind/],
    [{ kind: 'counted', of: 'water', amount: 'much' }, /amount/],
  ])('refuses %j with the field that is wrong', async (body, words) => {
    const { write, view } = await stockOnTrial();
    const refused = await write(body);
    expect(refused.status).toBe(400);
    expect(refused.body.problems?.join(' ')).toMatch(words);
    expect((await view()).entries).toEqual([]);
  });

  it('refuses a day to come, and the store refuses every change of what stands there', async () => {
    const { page, write, view } = await stockOnTrial();
    expect((await write(bought, { atMs: EVENING_MS + 86_400_000 })).body.problems?.[0]).toMatch(/expected a time that has been/); // prettier-ignore
    expect((await write(bought, { atMs: 0 })).body.problems?.[0]).toMatch(/expected a time from 2000-01-01 on, got 1970-01-01/); // prettier-ignore
    await write(bought);
    const { database } = page.trial.dashboard.store;
    expect(() => database.exec("UPDATE stock_entries SET who = 'Robin'")).toThrow('never changed');
    expect(() => database.exec('DELETE FROM stock_entries')).toThrow('never deleted');
    expect((await view()).entries).toHaveLength(1);
  });
});
