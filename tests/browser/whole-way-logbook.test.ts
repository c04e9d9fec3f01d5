/*
 * After the night on the real program, as its owner has it: a night is held, let go on and stopped, then its record takes a note, a photograph and the weighings;
 * one that Faraday's law forbids is asked about, kept by mistake, undone, and made right. What the record and the printed sheet then say is computed here anew from
 * the charge. Runs what was built (`npm test` builds first).
 */
import type { RunKey, RunRecord } from '@bathkeeper/shared-core/trade';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { eventually } from './page-room.js';
import { pagesOf } from '../dashboard/server/sheet/pdf-read.js';
import { cameraJpeg, withExif } from './camera-jpeg.js';
import { contrastFaults, overflowingElements } from './eyes.js';
import { openPage, shot } from './open-page.js';
import { chooseThePassphrase, journey } from './running-program.js';

const started = journey(20);

/** Faraday constant: CODATA 2022, exact; standard atomic weight of copper: IUPAC 2021; two electrons an ion. Density: handbook value of pure copper, from memory. */
const GRAMS_PER_AMPERE_HOUR = (63.546 * 3600) / (2 * 96485.33212);
const GRAMS_PER_CM3 = 8.96;
const AREA_DM2 = 12;
/** 1 µm on 1 dm² is 0.01 cm³. */
const micrometresOf = (grams: number): number => grams / (GRAMS_PER_CM3 * AREA_DM2 * 0.01);
/** To the tenth of a gram, as the page tells it. */
const onTheBalance = (grams: number): string => String(Number(grams.toFixed(1)));

const asked = <T>(page: Page, path: string): Promise<T> =>
  page.evaluate(async (address) => (await fetch(address)).json() as Promise<T>, path);

/** What stands beside a label of the record, the number that it begins with. */
async function shownNumber(page: Page, label: string): Promise<number> {
  const words = await page.locator('.run-lines > div', { has: page.locator('dt', { hasText: new RegExp(`^${label}$`) }) }).locator('dd .figure-name').innerText(); // prettier-ignore
  expect(words).toMatch(/^\d/);
  return parseFloat(words);
}

async function weigh(page: Page, when: 'before' | 'after', grams: string): Promise<void> {
  await page.getByRole('button', { name: 'Weigh the part' }).click();
  const form = page.getByRole('form', { name: 'Weigh the part' });
  await form.getByRole('combobox', { name: /^Weighed/ }).selectOption(when);
  await form.getByLabel('Weight').fill(grams);
  await form.getByLabel('The balance is right within').fill('0.1');
  await form.getByRole('button', { name: 'Write it down' }).click();
}

/** The bath is held, its alarm acknowledged on the page, and let go on by a press at the bath. */
async function holdOnce(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Hold', exact: true }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Hold', exact: true }).click();
  await page.getByRole('heading', { level: 1, name: /^Held at/ }).waitFor();
  const acknowledge = page.getByRole('region', { name: 'Alarms', exact: true }).getByRole('button', { name: 'Acknowledge: Held at the keep-alive current' }); // prettier-ignore
  await acknowledge.click();
  await acknowledge.waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Press start' }).click();
  await page.getByText('Press start: pressed.').waitFor();
}

test('from a night that was stopped to a record with note, photograph and weighings, and its sheet', { timeout: 240_000 }, async () => {
  const { page, errors } = await openPage(started.browser, started.program.link);
  page.setDefaultTimeout(45_000);
  await chooseThePassphrase(page);
  await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
  await holdOnce(page);
  await page.getByRole('heading', { level: 1, name: /^(Strike|Ramp|Plating)/ }).waitFor();
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByText(/^Stop, done:/).waitFor();
  await page.getByRole('heading', { level: 1, name: /^Ended/ }).waitFor();

  await page.getByRole('link', { name: 'Logbook' }).click();
  await page.getByText(/Ended because .*\.$/).waitFor();
  await page.getByRole('link', { name: /^Fluted bell lampshade/ }).click();
  await page.getByRole('heading', { level: 1, name: 'Fluted bell lampshade' }).waitFor();
  const [key] = await asked<RunKey[]>(page, '/api/runs');
  const path = `/api/runs/${key!.controllerId}/${String(key!.incarnation)}/${String(key!.run)}`;

  // A note, with the name that then stands in every form.
  await page.getByRole('button', { name: 'Write a note' }).click();
  await page.getByRole('textbox', { name: 'Note' }).fill('Turned the rim to the anode in the hold.');
  await page.getByLabel('Your name').fill('Robin');
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.getByText('Turned the rim to the anode in the hold.').waitFor();

  // A photograph as a camera writes it, and what is kept of it.
  await page.getByRole('button', { name: 'Add a photograph' }).click();
  const original = withExif(Buffer.from(await cameraJpeg(page, 800, 600), 'base64'));
  await page.getByLabel('Choose a picture').setInputFiles({ name: 'rim.jpg', mimeType: 'image/jpeg', buffer: original });
  await page.getByRole('img', { name: 'The photograph as it will be kept' }).waitFor();
  await page.getByLabel('What is seen in it').fill('The rim, bright all around');
  await page.getByRole('button', { name: 'Add it' }).click();
  const kept = page.getByRole('img', { name: 'The rim, bright all around' });
  await kept.scrollIntoViewIfNeeded();
  // Turned upright: its notes say that it lies on its side.
  await eventually(() => kept.evaluate((img: HTMLImageElement) => [img.naturalWidth, img.naturalHeight])).toEqual([600, 800]);

  // Weighed before and after; the after is mistyped, and would be more copper than the charge can give.
  const { measures } = await asked<RunRecord>(page, path);
  const possible = measures.chargeAmpereHours * GRAMS_PER_AMPERE_HOUR;
  await weigh(page, 'before', '812.4');
  await page.getByText('Weighed before the run: 812.4 g, right within 0.1 g').waitFor();
  const wrong = onTheBalance(812.4 + 2 * possible);
  await weigh(page, 'after', wrong);
  const question = page.getByText(/of copper cannot have come from .* by Faraday’s law they give .* at most/);
  await question.waitFor();
  expect(parseFloat(/they give ([\d.]+) g at most/.exec(await question.innerText())![1]!)).toBeCloseTo(possible, 1);
  expect((await asked<RunRecord>(page, path)).entries).toHaveLength(3);
  await page.getByRole('button', { name: 'It is right: write it down all the same' }).click();
  const weighed = page.getByText(`Weighed after the run: ${wrong} g, right within 0.1 g`);
  await weighed.waitFor();
  await page.getByText('Doubtful', { exact: true }).waitFor();

  // It was not right after all: undone with a reason it stays to be read, and the right one counts.
  await page.getByRole('button', { name: `Undo: Weighed after the run: ${wrong} g` }).click();
  await page.getByLabel('Why').fill('Read off the wrong line');
  await page.getByRole('button', { name: 'Undo it' }).click();
  await page.getByText('by Robin: Read off the wrong line').waitFor();
  await page.getByText('Doubtful', { exact: true }).waitFor({ state: 'detached' });
  const right = onTheBalance(812.4 + 0.97 * possible);
  await weigh(page, 'after', right);
  await page.getByText(`Weighed after the run: ${right} g, right within 0.1 g`).waitFor();

  const gained = Number(right) - 812.4;
  const efficiency = (100 * gained) / possible;
  expect(await shownNumber(page, 'Deposit, by the balance')).toBeCloseTo(gained, 1);
  expect(await shownNumber(page, 'Cathode efficiency')).toBeCloseTo(efficiency, 1);
  expect(Math.abs((await shownNumber(page, 'Average thickness, by the balance')) - micrometresOf(gained))).toBeLessThan(0.5001);
  expect(Math.abs((await shownNumber(page, 'Average thickness, by Faraday’s law')) - micrometresOf(possible))).toBeLessThan(0.5001);

  // The chart is there, with the alarm and what was written on its axis.
  const chart = page.getByRole('region', { name: 'What was logged' });
  const marks = chart.getByRole('group', { name: 'Alarms, notes and weighings on the axis' });
  // Marks that a finger could not tell apart are one, which opens to all of them.
  await marks.getByRole('button').first().click();
  await page.getByRole('dialog').getByText('Held', { exact: false }).first().waitFor();
  await page.keyboard.press('Escape');
  expect(await overflowingElements(page)).toEqual([]);
  expect(await contrastFaults(page)).toEqual([]);
  await shot(page, 'whole-way-logbook');

  // The sheet to keep with the piece says the same.
  const address = await page.getByRole('link', { name: 'Sheet as PDF' }).getAttribute('href');
  const response = await page.request.get(new URL(address!, page.url()).href);
  expect(response.headers()['content-type']).toBe('application/pdf');
  const { pages } = await pagesOf(await response.body());
  expect(pages).toHaveLength(1);
  const { words } = pages[0]!;
  for (const said of ['SIMULATED', 'Fluted bell lampshade', '812.4 g, right within 0.1 g, by Robin', `${right} g, right within 0.1 g, by Robin`, 'Turned the rim to the anode in the hold.'])
    expect(words).toContain(said);
  expect(words).toMatch(/Held[^]*Acknowledged on the page/);
  expect(words).not.toContain(wrong);
  const printed = (what: string): number => parseFloat(new RegExp(`${what} ([\\d.]+)`).exec(words)?.[1] ?? 'NaN');
  expect(Math.abs(printed('Average thickness, by the balance') - micrometresOf(gained))).toBeLessThan(0.5001);
  expect(printed('Cathode efficiency')).toBeCloseTo(efficiency, 1);

  expect(errors).toEqual([]);
  await page.context().close();
}); // prettier-ignore
