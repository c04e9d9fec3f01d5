/*
 * From a part to tonight's recipe on the real program, as somebody does it who has just started it: plan, save, rehearse with a fault, lose the page, open the plan
 * again, and take it to the bath, where a run is live. Runs what was built (`npm test` builds first).
 */
import { expect, test } from 'vitest';
import { openPage, shot, WIDE } from './open-page.js';
import { chooseThePassphrase, journey } from './running-program.js';

const started = journey(1);

test('from a part to a rehearsed, saved and prepared night', { timeout: 180_000 }, async () => {
  const { page, errors } = await openPage(started.browser, started.program.link, { size: WIDE });
  page.setDefaultTimeout(45_000);
  await chooseThePassphrase(page);
  await page.getByRole('link', { name: 'Part' }).click();
  await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
  await page.getByRole('link', { name: 'What does tonight need? The plan' }).click();
  await page.getByLabel(/^Current density/).fill('2');
  await page.getByLabel(/^Average thickness/).fill('60');

  // Saved, then rehearsed: the bundle that is flashed meets the emergency stop twenty minutes into its night.
  await page.getByText('Save this plan').click();
  await page.getByLabel('Name of the plan').fill('Bell for tonight');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByText('Saved as “Bell for tonight”.').waitFor();
  await page.getByRole('link', { name: 'Rehearse this night' }).click();
  await page.getByRole('button', { name: 'Let something go wrong' }).click();
  await page.getByRole('combobox', { name: 'Fault 1' }).selectOption('Somebody presses the emergency stop');
  await page.getByLabel(/^After/).fill('0.5');
  await page.getByRole('button', { name: 'Play the night' }).click();
  await page.getByText(/^It tripped: the emergency stop was pressed\./).waitFor();
  await page.getByText(/^0:30 Tripped: the contactor opens/).waitFor();
  await page.getByRole('button', { name: 'Leave fault 1 out' }).click();
  await page.getByRole('button', { name: 'Play the night' }).click();
  await page.getByText('It ended as planned: the charge was reached, and the contactor opened.').waitFor();
  await shot(page, 'whole-way-rehearsal');

  // The page is lost; the plan is not.
  await page.reload();
  await page.getByText('There is no plan on this page.').waitFor();
  await page.goto(new URL('/#plans', started.program.link).href);
  await page.getByRole('button', { name: 'Open Bell for tonight' }).click();
  await page.getByText('Saved as “Bell for tonight”.').waitFor();
  expect(await page.getByLabel(/^Average thickness/).inputValue()).toBe('60');

  // Its recipe is checked against the rig, and waits while a run is live.
  await page.getByRole('button', { name: 'Take this as the recipe' }).click();
  await page.getByRole('heading', { level: 1, name: /^Recipe for / }).waitFor();
  await page.getByText(/60\sµm on average, .* of copper\.$/).waitFor();
  await page.getByText('A run is live.', { exact: false }).waitFor();
  expect(await page.getByRole('button', { name: 'Send to the bath' }).isDisabled()).toBe(true);
  expect(errors).toEqual([]);
  await page.context().close();
});
