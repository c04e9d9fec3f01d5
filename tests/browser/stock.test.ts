/* The stock of chemicals in a real browser against canned answers: a purchase typed in the person's units, what is running low, undoing, and how it looks. */
import { expect, test } from 'vitest';
import type { StockEntry, StockView } from '@bathkeeper/shared-core/trade';
import { NIGHT_MS } from './canned-night.js';
import { eventually, pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();
const DAY = 86_400_000;
const entry = (entryId: number, daysAgo: number, body: StockEntry['body'], more: Partial<StockEntry> = {}): StockEntry => ({ entryId, atMs: NIGHT_MS - daysAgo * DAY, writtenAtMs: NIGHT_MS - daysAgo * DAY, who: 'Kim', note: '', body, undone: null, ...more }); // prettier-ignore
const stock: StockView = {
  goods: [
    { of: 'copper-sulphate', isBegun: true, amount: 13_000, costOfOne: 0.0042, lowAt: 5000, isLow: false, missedAtCount: 400 },
    { of: 'brightener', isBegun: true, amount: 310, costOfOne: 0.021, lowAt: 500, isLow: true, missedAtCount: null },
    { of: 'hydrochloric-acid', isBegun: false, amount: 0, costOfOne: null, lowAt: null, isLow: false, missedAtCount: null },
    { of: 'copper-anodes', isBegun: true, amount: 7250, costOfOne: 0.0145, lowAt: null, isLow: false, missedAtCount: null },
    { of: 'water', isBegun: true, amount: -20_000, costOfOne: 0.0003, lowAt: null, isLow: false, missedAtCount: null },
  ],
  entries: [
    entry(4, 1, { kind: 'low-at', of: 'brightener', amount: 500 }),
    entry(3, 3, { kind: 'bought', of: 'brightener', amount: 5000, price: 105 }, { note: 'batch 7', undone: { atMs: NIGHT_MS - DAY, who: 'Robin', reason: 'it was one litre' } }),
    entry(2, 3, { kind: 'bought', of: 'brightener', amount: 1000, price: 21 }),
    entry(1, 60, { kind: 'bought', of: 'copper-sulphate', amount: 25_000, price: 105 }, { note: 'sack 3' }),
  ],
  baths: [{ bathId: 1, name: 'Copper 60 L', cost: 68.4, unpricedCount: 2, brightenerCostPerKiloampereHour: 6.3 }],
}; // prettier-ignore

test('is reached from the ledgers, and tells what is left, what it cost, what is running low, what a bath took', async () => {
  room.server.shelves.set('/api/baths', []);
  room.server.shelves.set('/api/stock', stock);
  const page = await room.opened({}, '/#ledger');
  await page.getByRole('link', { name: 'Stock of chemicals' }).click();
  await page.getByRole('heading', { name: 'Copper sulphate CuSO4·5H2O: 13 kg' }).waitFor();
  await page.getByText('Bought at 4.20 a kg on average: 54.60 worth is left.').waitFor();
  await page.getByText('The last count found 400 g less than the books.').waitFor();
  await page.getByText('Running low: at least 500 mL were to be there.').waitFor();
  await page.getByText('Nothing was bought or counted yet, or what was written down was undone.').waitFor();
  await page.getByRole('heading', { name: 'Copper anodes: 7.25 kg' }).waitFor();
  await page.getByText('Bought at 14.50 a kg on average: 105.13 worth is left.').waitFor();
  await page.getByText('20 L more were used than were written down as bought.').waitFor();
  await page.getByText('Chemicals and anodes for 68.40 went into it. 2 amounts that it took have no price').waitFor();
  await page.getByText('Brightener costs 0.63 for each 100 Ah of a run.').waitFor();
  await page.getByText('Undone 02:04 yesterday by Robin: it was one litre').waitFor();
});

test('a purchase is typed in the units that a person chose, shown as it will stand there, and missing figures are asked for', async () => {
  room.server.shelves.set('/api/stock', stock);
  room.server.answer = () => ({ body: stock });
  const page = await room.opened({}, '/#stock');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await eventually(() => page.getByText('Type a number.').count()).toBe(2);
  await page.getByRole('combobox', { name: 'Units' }).selectOption('imperial');
  await page.getByLabel('How much').fill('55.12');
  await page.getByLabel('What all of it cost').fill('105');
  await page.getByText('4.20 a kg').first().waitFor({ state: 'detached' });
  await page.getByText(/^Bought: .* for 105\.00 \(1\.90 a lb\)\./).waitFor();
  await page.getByLabel('Your name').fill('Kim');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('Written.').waitFor();
  const { body } = room.server.asked[0]!.body as { body: { amount: number } };
  expect(body).toMatchObject({ kind: 'bought', of: 'copper-sulphate', price: 105 });
  // 55.12 lb of 453.59237 g (the international pound, exact).
  expect(body.amount).toBeCloseTo(55.12 * 453.59237, 3);
});

test('an entry is undone with a reason, and every control has a name', async () => {
  room.server.shelves.set('/api/stock', stock);
  room.server.answer = () => ({ body: stock });
  const page = await room.opened({}, '/#stock');
  await page.getByRole('button', { name: /^Undo: Bought: 25 kg of copper sulphate/ }).click();
  const heard = await controlsHeard(page);
  expect(heard.faults).toEqual([]);
  expect(heard.count).toBeGreaterThan(12);
  const form = page.getByRole('form', { name: 'Undo this entry' });
  await form.getByLabel('Why').fill('the other sack');
  await form.getByLabel('Your name').fill('Robin');
  await form.getByRole('button', { name: 'Undo it' }).click();
  await eventually(() => room.server.asked.length).toBe(1);
  expect(room.server.asked).toMatchObject([{ path: '/api/stock/entries/1/undo', body: { who: 'Robin', reason: 'the other sack' } }]); // prettier-ignore
});

test('older entries come a page at a time', async () => {
  const many = Array.from({ length: 70 }, (_, index) => entry(index + 10, index, { kind: 'counted', of: 'water', amount: 1000 + index })); // prettier-ignore
  room.server.shelves.set('/api/stock', { ...stock, entries: many });
  const page = await room.opened({}, '/#stock');
  await eventually(() => page.locator('.entry').count()).toBe(30);
  await page.getByRole('button', { name: 'Show 30 older of 40' }).click();
  await page.getByRole('button', { name: 'Show 10 older of 10' }).click();
  expect(await page.locator('.entry').count()).toBe(70);
  expect(await page.getByRole('button', { name: /^Show/ }).count()).toBe(0);
});

test('looks right', async () => {
  room.server.shelves.set('/api/stock', stock);
  await room.looksRight('stock', '/#stock', (page) => page.getByText('Running low: at least').waitFor());
});
