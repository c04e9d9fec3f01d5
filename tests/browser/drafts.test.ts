/*
 * What was typed and not sent yet, in a real browser: it is there again after a look into another room and after the page was loaded anew, only where it belongs, and
 * goes with a good answer. Also where the browser keeps nothing.
 */
import type { Page } from 'playwright-core';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { beforeEach, describe, expect, test } from 'vitest';
import { aRecord } from '../shared-core/trade/run-record/a-record.js';
import { entries, note } from './canned-entries.js';
import { shelveLedger } from './canned-ledger.js';
import { cannedSeries } from './canned-series.js';
import { WIDE } from './open-page.js';
import { looksRightNow, pageRoom, SCREENS } from './page-room.js';

const room = pageRoom();
const RUN = '/#run/north-bench/7/3';
const LEFT = 'As you left it.';

let record: RunRecord;
beforeEach(() => {
  record = aRecord();
  room.server.shelves.set('/api/series', cannedSeries);
  for (const run of [3, 4]) room.server.shelves.set(`/api/runs/north-bench/7/${String(run)}`, () => ({ ...record, run }));
  room.server.shelves.set('/api/stock', { goods: [], entries: [], baths: [] });
  shelveLedger(room.server);
}); // prettier-ignore

/** Into another room; the test then goes back. */
const toTheStock = async (page: Page): Promise<void> => {
  await page.evaluate(() => (location.hash = '#stock'));
  await page.getByRole('heading', { level: 1, name: 'Stock of chemicals' }).waitFor();
};
const lookAway = async (page: Page): Promise<void> => {
  await toTheStock(page);
  await page.goBack();
};
const noteField = (page: Page) => page.getByRole('textbox', { name: 'Note' });
const typeANote = async (page: Page): Promise<void> => {
  await page.getByRole('button', { name: 'Write a note' }).click();
  await noteField(page).fill('The belt slipped at');
  await page.getByLabel('Your name').fill('Robin');
};
const keptNames = (page: Page): Promise<string[]> =>
  page.evaluate(() => Object.keys(sessionStorage).filter((name) => name.includes('draft')));

describe('a note of a run that was typed by half', () => {
  test('is open again with its words after a look into another room, and after the page was loaded anew', async () => {
    const page = await room.opened({}, RUN);
    await typeANote(page);
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    expect(await noteField(page).inputValue()).toBe('The belt slipped at');
    expect(await page.getByLabel('When').inputValue()).toBe('');
    await page.reload();
    await page.getByText(LEFT).waitFor();
    expect(await noteField(page).inputValue()).toBe('The belt slipped at');
  });

  test('is shown in no other run', async () => {
    const page = await room.opened({}, RUN);
    await typeANote(page);
    await page.evaluate(() => (location.hash = '#run/north-bench/7/4'));
    await page.getByRole('button', { name: 'Write a note' }).click();
    expect(await noteField(page).inputValue()).toBe('');
    expect(await page.getByText(LEFT).count()).toBe(0);
  });

  test('is gone with a good answer, stays after a refusal, and is cleared by who wants an empty form', async () => {
    const page = await room.opened({ size: WIDE }, RUN);
    await typeANote(page);
    room.server.answer = () => ({ status: 507, body: { error: 'The disk is full.', problems: [] } });
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByText('The disk is full.').waitFor();
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    await page.getByRole('button', { name: 'Clear it' }).click();
    expect(await noteField(page).inputValue()).toBe('');
    expect(await noteField(page).evaluate((element) => document.activeElement === element)).toBe(true);
    expect(await keptNames(page)).toEqual([]);
    await noteField(page).fill('The belt slipped at ten.');
    expect(await keptNames(page)).toHaveLength(1);
    room.server.answer = () => {
      record = { ...record, entries: [note('The belt slipped at ten.')] };
      return { body: record.entries[0] };
    };
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByRole('button', { name: 'Write a note' }).waitFor();
    expect(await keptNames(page)).toEqual([]);
    await page.reload();
    await page.getByRole('button', { name: 'Write a note' }).waitFor();
  });

  test('that is on its way when the room is left is not sent a second time from the form that stands there again', async () => {
    const page = await room.opened({ size: WIDE }, RUN);
    await typeANote(page);
    let letGo: (() => void) | undefined;
    await page.route('**/entries', async (route) => {
      await new Promise<void>((resolve) => (letGo = resolve));
      await route.continue();
    });
    room.server.answer = () => ({ body: note('The belt slipped at') });
    await page.getByRole('button', { name: 'Write it down' }).click();
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    expect(await page.getByRole('button', { name: 'Write it down' }).isDisabled()).toBe(true);
    await expect.poll(() => letGo).toBeDefined();
    letGo!();
    await page.getByText(LEFT).waitFor({ state: 'detached' });
    expect(await noteField(page).inputValue()).toBe('');
    expect(room.server.asked).toHaveLength(1);
  });

  test('outlasts a look into another room where the browser keeps nothing', async () => {
    const page = await room.opened({}, '/#stock');
    await page.addInitScript(() => {
      Object.defineProperty(window, 'sessionStorage', {
        get: () => {
          throw new DOMException('Storage is closed.', 'SecurityError');
        },
      });
    });
    await page.goto(room.server.address + RUN);
    await page.reload();
    await typeANote(page);
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    expect(await noteField(page).inputValue()).toBe('The belt slipped at');
  });

  test('that an older page kept in another shape is dropped', async () => {
    const page = await room.opened({}, RUN);
    await typeANote(page);
    const [name = ''] = await keptNames(page);
    for (const odd of ['{"note":"words"}', '{"note":["words"],"when":""}', '"words"', 'no JSON']) {
      await page.evaluate(([key, value]) => sessionStorage.setItem(key!, value!), [name, odd]);
      await page.reload();
      const opens = page.getByRole('button', { name: 'Write a note' });
      await opens.or(noteField(page)).waitFor();
      if (await opens.isVisible()) await opens.click();
      expect(await noteField(page).inputValue()).toBe('');
      expect(await page.getByText(LEFT).count()).toBe(0);
    }
  });
});

test('a weighing and the words of a photograph are there again; the picture is to be chosen again', async () => {
  const page = await room.opened({}, RUN);
  await page.getByRole('button', { name: 'Weigh the part' }).click();
  await page.getByLabel('Weight').fill('412.7');
  await lookAway(page);
  await page.getByText(LEFT).waitFor();
  expect(await page.getByLabel('Weight').inputValue()).toBe('412.7');
  await page.getByRole('button', { name: 'Leave it' }).click();
  await page.getByRole('button', { name: 'Weigh the part' }).click();
  expect(await page.getByLabel('Weight').inputValue()).toBe('');
  await page.getByRole('button', { name: 'Leave it' }).click();
  await page.getByRole('button', { name: 'Add a photograph' }).click();
  await page.getByLabel('What is seen in it').fill('The edge');
  await lookAway(page);
  await page.getByText('As you left it. No picture is kept: choose it again.').waitFor();
  expect(await page.getByLabel('What is seen in it').inputValue()).toBe('The edge');
});

test('the reason of an undoing and a correction are there again, at their own entry', async () => {
  record = { ...record, entries: [...entries] };
  const page = await room.opened({ size: WIDE }, RUN);
  const correct = page.getByRole('button', { name: /^Correct: Note/ }).first();
  await correct.click();
  await noteField(page).fill('The belt slipped at eleven.');
  await lookAway(page);
  await page.getByText(LEFT).waitFor();
  expect(await noteField(page).inputValue()).toBe('The belt slipped at eleven.');
  await page.evaluate(() => (location.hash = '#ledger/1'));
  await page.getByRole('button', { name: 'Undo: Added 3 L of water.' }).click();
  await page.getByLabel('Why').fill('it was the');
  await lookAway(page);
  await page.getByText(LEFT).waitFor();
  expect(await page.getByLabel('Why').inputValue()).toBe('it was the');
});

describe('an entry of a ledger that was typed by half', () => {
  const kind = (page: Page) => page.getByLabel('What was done');

  test('comes back with its kind, its figures and its note', async () => {
    const page = await room.opened({}, '/#ledger/1');
    await kind(page).selectOption('The level was read');
    await page.getByLabel('Volume at the mark').fill('58');
    await noteField(page).fill('after the carbon');
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    expect(await kind(page).locator('option:checked').textContent()).toBe('The level was read');
    expect(await page.getByLabel('Volume at the mark').inputValue()).toBe('58');
    expect(await noteField(page).inputValue()).toBe('after the carbon');
    await page.reload();
    await page.getByText(LEFT).waitFor();
    expect(await kind(page).locator('option:checked').textContent()).toBe('The level was read');
  });

  test('keeps the figures of each kind apart, and those of the others when one is written', async () => {
    const page = await room.opened({ size: WIDE }, '/#ledger/1');
    await kind(page).selectOption('An analysis');
    await page.getByLabel('Of what').selectOption('sulphuric acid H2SO4');
    await page.getByLabel('How it was found').selectOption('by titration with sodium hydroxide');
    await page.getByLabel('Bath in the flask').fill('5');
    await kind(page).selectOption('The level was read');
    await page.getByLabel('Volume at the mark').fill('58');
    await page.getByLabel('Your name').fill('Kim');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.getByText('Written.').waitFor();
    expect(await page.getByLabel('Volume at the mark').inputValue()).toBe('');
    await kind(page).selectOption('An analysis');
    expect(await page.getByLabel('Bath in the flask').inputValue()).toBe('5');
  });

  test('gives way to what a press on the screen wants written down, its note stays', async () => {
    const page = await room.opened({ size: WIDE }, '/#ledger/1');
    await noteField(page).fill('from the new sack');
    await page.getByRole('button', { name: /^Write down: 1\.\d+ kg of copper sulphate/ }).click();
    await page.getByText(/^Added 1\.\d+ kg of copper sulphate/).first().waitFor();
    expect(await noteField(page).inputValue()).toBe('from the new sack');
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    await page.getByText(/^Added 1\.\d+ kg of copper sulphate/).first().waitFor();
  }); // prettier-ignore
});

test('an entry of the stock is there again, and what it was of stays chosen after it was written', async () => {
  const page = await room.opened({ size: WIDE }, '/#stock');
  await page.getByLabel('Of what').selectOption('Brightener');
  await page.getByLabel('How much').fill('5');
  await page.evaluate(() => (location.hash = '#ledger/1'));
  await page.getByRole('heading', { level: 1, name: 'Copper 60 L' }).waitFor();
  await page.goBack();
  await page.getByText(LEFT).waitFor();
  expect(await page.getByLabel('How much').inputValue()).toBe('5');
  await page.getByLabel('What all of it cost').fill('105');
  await page.getByLabel('Your name').fill('Kim');
  room.server.answer = () => ({ body: { goods: [], entries: [], baths: [] } });
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('Written.').waitFor();
  expect(await page.getByLabel('How much').inputValue()).toBe('');
  expect(await page.getByLabel('Of what').locator('option:checked').textContent()).toBe('Brightener');
  expect(await keptNames(page)).toEqual([]);
});

test('looks right as it was left, on a phone and wide, by day and by night', async () => {
  record = { ...record, entries: [...entries] };
  for (const { scene, ...screen } of SCREENS) {
    const page = await room.opened({ ...screen, isStill: true }, RUN);
    await typeANote(page);
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    await looksRightNow(page, `draft-note-${scene}`);
    await page.evaluate(() => (location.hash = '#ledger/1'));
    await page.getByLabel('What was done').selectOption('A note');
    await lookAway(page);
    await page.getByText(LEFT).waitFor();
    await looksRightNow(page, `draft-ledger-${scene}`);
    await page.context().close();
  }
});
