/* From a model of which something is not plated to the sheet that is taken to the bath, as somebody does it in one evening: what was masked is told to the end, and every figure opens. */
import type { Page } from 'playwright-core';
import type { PlanRequest, SavedPlan, SavePlanRequest } from '@bathkeeper/shared-core/trade';
import { expect, test } from 'vitest';
import { binaryStl, cubePlaces } from '../dashboard/model-files/writers.js';
import { NIGHT_MS } from './canned-night.js';
import { shot, WIDE } from './open-page.js';
import { pageRoom } from './page-room.js';

const room = pageRoom();

/** A cube of 100 mm: 6 dm². */
const cube = Buffer.from(binaryStl(cubePlaces.map((place) => place.map((each) => each * 50))));

async function maskedCube(page: Page): Promise<void> {
  await page.getByLabel('Choose a model file').setInputFiles({ name: 'cube.stl', mimeType: 'model/stl', buffer: cube });
  await page.getByRole('heading', { level: 1, name: 'The part: 6 dm² to plate' }).waitFor();
  await page.getByLabel('Flat, faces down').check();
  await page.getByLabel('Everything beyond a height').check();
  // 90 mm of 100: the top and a tenth of each side.
  await page.getByRole('heading', { level: 1, name: 'The part: 3.6 dm² to plate' }).waitFor();
  await page.getByRole('link', { name: 'What does tonight need? The plan' }).click();
  await page.getByRole('heading', { level: 1, name: 'Plan: cube' }).waitFor();
}

const MASKED = ['flat, faces down, 1 dm²', 'everything above 90 mm along z, upright'];

/** As the dashboard keeps it. */
function saved(request: PlanRequest): SavedPlan {
  const entry = { name: 'Cube', parts: 'cube', areaDm2: 3.6, bath: 'bright-copper' };
  return { planId: 1, changedAtMs: NIGHT_MS, deletedAtMs: null, goneAtMs: null, ...entry, request };
}

test('what is masked stands in the saved plan, on its parts when it is opened again, and on the job sheet in both units', async () => {
  room.server.answer = ({ body }) => {
    const plan = saved((body as SavePlanRequest).request);
    room.server.shelves.set('/api/plans', [plan]);
    room.server.shelves.set('/api/plans/1', plan);
    return { body: plan };
  };
  const page = await room.opened({ size: WIDE }, '/#part');
  await maskedCube(page);
  await page.getByText('Save this plan').click();
  await page.getByLabel('Name of the plan').fill('Cube');
  await page.getByRole('button', { name: 'Save', exact: true }).click();
  await page.getByText('Saved as “Cube”.').waitFor();
  expect(room.server.asked.at(-1)).toMatchObject({ body: { request: { parts: [{ notPlated: MASKED }] } } });

  // The page is lost, and the model with it.
  await page.goto(`${room.server.address}/#plans`);
  await page.reload();
  await page.getByRole('button', { name: 'Open Cube' }).click();
  await page.getByRole('link', { name: 'Part', exact: true }).click();
  await page.getByText(`Not plated: ${MASKED.join('; ')}.`).waitFor();
  await page.goto(`${room.server.address}/#job-sheet`);
  await page.getByText(`“cube”: ${MASKED.join('; ')}.`).waitFor();
  await page.getByLabel('Units').selectOption('Imperial');
  await page.getByText('“cube”: flat, faces down, 0.108 ft²; everything above 3.54 in along z, upright.').waitFor();
});

test('each figure opens to a formula and a source, also where the supply is too weak and a wish goes wrong', async () => {
  const page = await room.opened({ size: WIDE }, '/#part');
  await maskedCube(page);
  await page.getByLabel(/^Current density/).fill('12');
  await page.locator('.wish .caution', { hasText: '12 A/dm² is above the usual' }).waitFor();
  await page.getByLabel(/^Largest current of the supply/).fill('5');
  await page
    .getByText(/^The parts want 43\.2 A and the supply gives at most 5 A: the same deposit takes /)
    .first()
    .waitFor();
  const figures = page.locator('details.figure');
  await figures.evaluateAll((all) => {
    for (const each of all) (each as HTMLDetailsElement).open = true;
  });
  const told = await figures.allInnerTexts();
  expect(told.length).toBeGreaterThan(35);
  for (const words of told) {
    expect(words).toMatch(/\n= \S/);
    expect(words).toMatch(/Source: \S/);
  }
  for (const look of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: look });
    await shot(page, `masked-plan-wide-${look}`);
  }
});

test('the parts of an opened plan look right on a phone and on a wide screen, by day and by night', async () => {
  await room.looksRight('masked-sheet', '/#part', async (page) => {
    await maskedCube(page);
    await page.getByRole('link', { name: 'Job sheet to print' }).click();
    await page.getByText(`“cube”: ${MASKED.join('; ')}.`).waitFor();
  });
});
