/*
 * The page on the real program, as a newcomer meets it: `npm start` with an empty data folder, its one-time link, the virtual bath
 * that runs the very bundle that is flashed. First start, live night, hold, its alarm, stop, and a new recipe up to the press.
 * Runs what was built (`npm test` builds first).
 */
import { expect, test } from 'vitest';
import { eventually } from './page-room.js';
import { openPage, shot } from './open-page.js';
import { chooseThePassphrase, journey, PASSPHRASE } from './running-program.js';

const started = journey(4);

test('from the printed link to a held, stopped and newly prepared bath', { timeout: 180_000 }, async () => {
  const { page, errors } = await openPage(started.browser, started.program.link);
  page.setDefaultTimeout(45_000);
  const heading = (name: RegExp) => page.getByRole('heading', { level: 1, name });

  await page.getByRole('note').getByText('SIMULATED').waitFor();
  await chooseThePassphrase(page);

  // A night in progress: hours of it are there already, with current, rotation and copper.
  await heading(/^Plating, 19\.\d A, \d+ of 180 µm, done about/).waitFor();
  await page.getByRole('img', { name: /^Night from .*µm so far, planned to end/ }).waitFor();
  await page.getByText(/^\s*heard/).waitFor();
  await page.getByRole('note').getByText('SIMULATED').waitFor();
  await shot(page, 'whole-way-phone');

  // Hold: asked once, done, said; the alarm that follows is acknowledged.
  await page.getByRole('button', { name: 'Hold', exact: true }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Hold', exact: true }).click();
  await page.getByText(/^Hold, done:/).waitFor();
  await heading(/^Held at/).waitFor();
  const acknowledge = page.getByRole('region', { name: 'Alarms' }).getByRole('button', { name: /^Acknowledge: / });
  await acknowledge.first().waitFor();
  await shot(page, 'whole-way-held');
  for (let left = await acknowledge.count(); left > 0; left = await acknowledge.count()) {
    await acknowledge.first().click();
    await eventually(() => acknowledge.count()).toBeLessThan(left);
  }

  // Stop: the run ends, and the page does not call it done.
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Stop', exact: true }).click();
  await page.getByText(/^Stop, done:/).waitFor();
  await heading(/^Ended .*of 180 µm/).waitFor();

  // A recipe above the rig's limit is refused with the limit named; a fitting one is sent and waits for the press.
  await page.getByText('New recipe').click();
  await page.getByLabel('Part', { exact: true }).fill('Garden ornament');
  await page.getByLabel(/^Surface area/).fill('400');
  await page.getByRole('list', { name: 'Why it cannot be sent' }).waitFor();
  expect(await page.getByRole('button', { name: 'Send to the bath' }).isDisabled()).toBe(true);
  await page.getByLabel(/^Surface area/).fill('6');
  await page.getByLabel(/^Average thickness/).fill('100');
  await page.getByRole('list', { name: 'Why it cannot be sent' }).waitFor({ state: 'detached' });
  await page.getByRole('img', { name: /^The night ahead/ }).waitFor();
  await page.getByRole('button', { name: 'Send to the bath' }).click();
  await page.getByText(/^Recipe, done:/).waitFor();
  await heading(/^(Ready|Not ready)/).waitFor();
  await shot(page, 'whole-way-ready');

  expect(errors).toEqual([]);
  await page.context().close();

  // Somebody else finds the door closed.
  const other = await openPage(started.browser, new URL('/', started.program.link).href);
  await other.page.getByLabel('Passphrase').fill('not the passphrase');
  await other.page.getByRole('button', { name: 'Open' }).click();
  await other.page.getByRole('alert').getByText('That is not the passphrase.').waitFor();
  await other.page.getByLabel('Passphrase').fill(PASSPHRASE);
  await other.page.getByRole('button', { name: 'Open' }).click();
  await other.page.getByRole('heading', { level: 1, name: /^(Ready|Not ready)/ }).waitFor();
  expect(other.errors).toEqual([]);
  await other.page.context().close();
});
