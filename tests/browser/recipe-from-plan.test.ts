/* A plan taken as the recipe, in a real browser: which bath it is for, what its rig says, and that nothing is sent before somebody presses. */
import type { Page } from 'playwright-core';
import { Phase } from '@bathkeeper/shared-core/control';
import type { RecipeRequest } from '@bathkeeper/shared-core/messages';
import { recipeFromRequest } from '@bathkeeper/shared-core/trade';
import { beforeEach, describe, expect, test } from 'vitest';
import { cannedController, cannedLive, cannedSnapshot, NIGHT_MS } from './canned-night.js';
import { WIDE } from './open-page.js';
import { pageRoom } from './page-room.js';
import { plannedPlate } from './planned-plate.js';

const room = pageRoom();

const idle = cannedController({
  live: cannedLive({ phase: Phase.idle, isContactorClosed: false, cathodeCurrentAmps: 0 }),
  run: null,
});
const other = cannedController({ controllerId: 'south-bench', bathName: 'Nickel 20 L', isOnline: false, live: null });
const rigOf = (currentAmpsMax: number) => ({ currentAmpsMax, terminalVoltsMax: 8, bathCelsiusMax: 65, runSecondsMax: 200_000 }); // prettier-ignore

/** As the dashboard answers: the south bench may see 5 A only. */
beforeEach(() => {
  room.server.answer = ({ path, body }) => {
    const rig = rigOf(path.includes('south-bench') ? 5 : 35);
    if (path.endsWith('/preview')) return { body: recipeFromRequest(body as RecipeRequest, rig, 1, NIGHT_MS).preview };
    return { body: { commandId: 2, kind: 'recipe', askedAtMs: NIGHT_MS, state: 'sent', words: 'On its way.' } };
  };
});

const sent = () => room.server.asked.filter(({ path }) => path.endsWith('/recipe'));

/** A plate of 3 dm² in Watts nickel at 3 A/dm², planned and taken as the recipe. */
async function takenFromPlan(page: Page): Promise<void> {
  await plannedPlate(page, '3');
  await page.getByLabel(/^Bath *Bright/).selectOption('watts-nickel');
  await page.getByLabel(/^Average thickness/).fill('25');
  await page.getByLabel(/^Current density/).fill('3');
  await page.getByRole('button', { name: 'Take this as the recipe' }).click();
}

describe('a plan taken as the recipe', () => {
  test('is filled in for the only bath, checked against its rig, and sent by a press alone', async () => {
    room.server.snapshot = cannedSnapshot({ controllers: [idle] });
    const page = await room.opened({ size: WIDE }, '/#part');
    await takenFromPlan(page);
    await page.getByRole('heading', { level: 1, name: 'Recipe for Copper 60 L' }).waitFor();
    await page.getByText(/of nickel\.$/).waitFor();
    await page.getByText(/^Watts nickel, 9\d(\.\d)?\s% cathode efficiency/).waitFor();
    expect(sent()).toEqual([]);
    await page.getByRole('button', { name: 'Send to the bath' }).click();
    await page.getByText(/^Recipe, /).waitFor();
    expect(sent()).toMatchObject([
      {
        path: '/api/controllers/north-bench/recipe',
        body: {
          ...{ partName: 'Part', areaDm2: 3, currentDensityAmpsPerDm2: 3, bath: 'watts-nickel' },
          // The plan goes along, for the record of the run.
          plan: { bath: 'watts-nickel', parts: [{ name: 'Part', areaDm2: 3 }] },
        },
      },
    ]);
    // The plan has been given away; what was sent still stands in the form.
    expect(await page.getByLabel(/^Surface area/).inputValue()).toBe('3');
    await page.getByRole('link', { name: 'To the bath' }).click();
    await page.getByRole('heading', { level: 1, name: /^Idle/ }).waitFor();
    await page.goto(`${room.server.address}/#recipe`);
    await page.getByText(/No plan is at hand/).waitFor();
  });

  test('asks which bath it is for where there are several, and is refused by a rig that is too small', async () => {
    room.server.snapshot = cannedSnapshot({ controllers: [cannedController(), other] });
    const page = await room.opened({ size: WIDE }, '/#part');
    await takenFromPlan(page);
    await page.getByRole('heading', { level: 1, name: 'Which bath is it for?' }).waitFor();
    await page.getByText('north-bench, a run is live').waitFor();
    await page.getByText('south-bench, not heard now').waitFor();
    await page.getByRole('main').getByRole('link', { name: 'Nickel 20 L' }).click();
    await page.getByRole('heading', { level: 1, name: 'Recipe for Nickel 20 L' }).waitFor();
    await page.getByText(/at most 5 A on this rig, got 9 A/).waitFor();
    expect(await page.getByRole('button', { name: 'Send to the bath' }).isDisabled()).toBe(true);
    await page.goBack();
    await page.getByRole('main').getByRole('link', { name: 'Copper 60 L' }).click();
    await page.getByText('A run is live.', { exact: false }).waitFor();
    expect(await page.getByLabel(/^Surface area/).inputValue()).toBe('3');
    expect(await page.getByRole('button', { name: 'Send to the bath' }).isDisabled()).toBe(true);
    expect(sent()).toEqual([]);
  });

  test('looks right on a phone and on a wide screen, by day and by night', async () => {
    room.server.snapshot = cannedSnapshot({ controllers: [idle] });
    await room.looksRight('recipe-from-plan', '/#part', async (page) => {
      await takenFromPlan(page);
      await page.getByRole('img', { name: /^The night ahead/ }).waitFor();
    });
  });
});
