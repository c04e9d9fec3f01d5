/* What the server keeps of a recipe: its bath, metal and cathode efficiency, through a restart and up to the press; recipes of earlier versions were for copper. */
import { describe, expect, it, test } from 'vitest';
import { Phase } from '@bathkeeper/shared-core/control';
import type { RecipeView, Snapshot } from '@bathkeeper/shared-core/messages';
import { bathProfiles, depositMassGrams } from '@bathkeeper/shared-core/trade';
import { CONTROLLER } from './dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from './page-on-trial.js';
import { liveMessage } from './quiet-bath.js';

const asked = { partName: 'leaf', areaDm2: 3, currentDensityAmpsPerDm2: 0.8, chargeAmpereHours: 4 };

async function hear(page: Page, recipeId: number): Promise<void> {
  page.trial.bath.say('live', liveMessage({ phase: Phase.ready, recipeId }));
  await page.trial.dashboard.settle();
}

describe('a recipe that was sent', () => {
  it('waits for the press with its bath, its metal and its efficiency, also after a restart', async () => {
    const page = await pageOnTrial();
    const session = await letIn(page);
    await hear(page, 0);
    // Silver, since its baths are those that this rig is warm enough for.
    const request = { ...asked, bath: 'silver-cyanide', cathodeEfficiency: 0.957 };
    expect((await page.ask('POST', `/api/controllers/${CONTROLLER}/recipe`, request, session)).status).toBe(200);
    await hear(page, 1);
    const silver = bathProfiles.find(({ key }) => key === 'silver-cyanide')!.metal;
    const expected = { partName: 'leaf', bath: 'silver-cyanide', metal: 'silver', cathodeEfficiency: 0.957 };
    const { controllers } = (await page.ask('GET', '/api/state', undefined, session)).body as unknown as Snapshot;
    expect(controllers[0]?.waitingRecipe).toMatchObject(expected);
    expect(controllers[0]?.waitingRecipe?.depositMassGrams).toBeCloseTo(depositMassGrams(4, silver, 0.957), 6);
    await page.trial.restart();
    expect(page.trial.dashboard.book.recipe(1)).toMatchObject(expected);
  });

  test.each(bathProfiles)('is previewed in the metal of its bath: $name', async ({ key, metal, cathodeEfficiency }) => {
    const page = await pageOnTrial();
    const session = await letIn(page);
    const path = `/api/controllers/${CONTROLLER}/recipe/preview`;
    const { recipe } = (await page.ask('POST', path, { ...asked, bath: key }, session)).body as unknown as {
      recipe: RecipeView;
    };
    expect(recipe).toMatchObject({ bath: key, metal: metal.name, cathodeEfficiency: cathodeEfficiency.usual });
    expect(recipe.depositMassGrams).toBeCloseTo(depositMassGrams(4, metal, cathodeEfficiency.usual), 6);
  });
});

test('a recipe that an earlier version kept is read as one for copper, all of whose charge deposits it', async () => {
  const page = await pageOnTrial();
  const { store } = page.trial.dashboard;
  const old = { recipeId: 7, partName: 'bell', areaDm2: 12, chargeAmpereHours: 272, depositMassGrams: 322 };
  store.database
    .prepare('INSERT INTO recipes VALUES (7, ?, 1, ?, ?)')
    .run(CONTROLLER, JSON.stringify(old), JSON.stringify([7, 12, 3.6, 600, 1800, 19.2, 1, 1.8, 3600, 3.6]));
  expect(page.trial.dashboard.book.recipe(7)).toEqual({
    ...old,
    holdAmps: 3.6,
    bath: null,
    metal: 'copper',
    cathodeEfficiency: 1,
  });
});
