/* The plans that somebody keeps: through the page's routes, through a restart, and out of the store of the version before. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, test } from 'vitest';
import type { SavedPlan, SavedPlanEntry } from '@bathkeeper/shared-core/trade';
import {
  copyName,
  KEPT_AFTER_DELETION_MS,
  openSavedPlans,
  PLANS_MAX,
} from '../../../../dashboard/server/plans/saved-plans.js';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { lampshade } from '../../../shared-core/trade/plan/requests.js';
import { EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { letIn, type Page, pageOnTrial } from '../page-on-trial.js';

const nickel = { ...lampshade, bath: 'watts-nickel' };

async function plansOnTrial(): Promise<{
  page: Page;
  ask: (method: string, path: string, body?: unknown) => Promise<{ status: number; body: unknown }>;
  list: () => Promise<SavedPlanEntry[]>;
}> {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const ask = (method: string, path: string, body?: unknown) =>
    page.ask(method, `/api/plans${path}`, method === 'POST' ? (body ?? {}) : body, session);
  return { page, ask, list: async () => (await ask('GET', '')).body as unknown as SavedPlanEntry[] };
}

describe('saved plans', () => {
  it('are kept with their parts’ figures, listed with what is in them, and read again as they were saved', async () => {
    const { ask, list } = await plansOnTrial();
    expect(await list()).toEqual([]);
    const saved = (await ask('POST', '', { name: ' Bell for Anna ', request: lampshade })).body as SavedPlan;
    expect(saved).toMatchObject({ name: 'Bell for Anna', changedAtMs: EVENING_MS, deletedAtMs: null, request: lampshade }); // prettier-ignore
    expect(await list()).toEqual([
      {
        planId: saved.planId,
        name: 'Bell for Anna',
        changedAtMs: EVENING_MS,
        deletedAtMs: null,
        goneAtMs: null,
        parts: 'Fluted bell lampshade',
        areaDm2: 12,
        bath: 'bright-copper',
      },
    ]);
    expect((await ask('GET', `/${String(saved.planId)}`)).body).toEqual(saved);
  });

  it('are renamed, saved over and copied, the newest change first', async () => {
    const { page, ask, list } = await plansOnTrial();
    const { planId } = (await ask('POST', '', { name: 'bell', request: lampshade })).body as SavedPlan;
    await page.trial.pass(60);
    const copy = (await ask('POST', `/${String(planId)}/copy`)).body as SavedPlan;
    expect(copy).toMatchObject({ name: 'bell, copy', request: lampshade, changedAtMs: EVENING_MS + 60_000 });
    await page.trial.pass(60);
    expect((await ask('PUT', `/${String(planId)}`, { name: 'large bell' })).body).toMatchObject({ name: 'large bell', request: lampshade }); // prettier-ignore
    expect((await ask('PUT', `/${String(copy.planId)}`, { request: nickel })).body).toMatchObject({ name: 'bell, copy', request: nickel }); // prettier-ignore
    expect((await list()).map(({ name, bath }) => [name, bath])).toEqual([
      ['bell, copy', 'watts-nickel'],
      ['large bell', 'bright-copper'],
    ]);
  });

  it('can be brought back after they were deleted, and until then are only listed', async () => {
    const { ask, list } = await plansOnTrial();
    const { planId } = (await ask('POST', '', { name: 'bell', request: lampshade })).body as SavedPlan;
    const path = `/${String(planId)}`;
    const deleted = { deletedAtMs: EVENING_MS, goneAtMs: EVENING_MS + KEPT_AFTER_DELETION_MS };
    expect((await ask('DELETE', path)).body).toMatchObject(deleted);
    expect(await list()).toMatchObject([deleted]);
    expect((await ask('GET', path)).status).toBe(404);
    expect((await ask('DELETE', path)).status).toBe(404);
    expect((await ask('POST', `${path}/copy`)).status).toBe(404);
    expect((await ask('PUT', path, { name: 'leaf' })).status).toBe(404);
    expect((await ask('POST', `${path}/bring-back`)).body).toMatchObject({ deletedAtMs: null, goneAtMs: null });
    expect((await ask('POST', `${path}/bring-back`)).body).toMatchObject({
      error: expect.stringMatching(/no such plan: \d+\. Look/) as string,
    });
    expect((await ask('GET', path)).body).toMatchObject({ name: 'bell', request: lampshade });
  });

  it('are gone thirty days after they were deleted', () => {
    const store = openStore(':memory:');
    const plans = openSavedPlans(store);
    const { planId } = plans.add({ name: 'bell', request: lampshade }, 1)!;
    plans.remove(planId, 2);
    expect(plans.list(2 + KEPT_AFTER_DELETION_MS - 1)).toMatchObject([{ name: 'bell' }]);
    expect(plans.bringBack(planId, 2 + KEPT_AFTER_DELETION_MS)).toBeUndefined();
    expect(plans.list(2)).toEqual([]);
    store.close();
  });

  it('take nothing that does not fit, and say what and what to do', async () => {
    const { ask, list } = await plansOnTrial();
    const { status, body } = await ask('POST', '', { name: 'bell', request: { ...lampshade, mesh: 'AAAA' } });
    expect(status).toBe(400);
    expect(body).toMatchObject({
      error: expect.stringMatching(/Correct what is listed and send it again/) as string,
      problems: ['The plan: expected no field that is not known, got "mesh".'],
    });
    expect((await ask('POST', '', { name: '', request: lampshade })).status).toBe(400);
    expect((await ask('POST', '', { name: 'x'.repeat(81), request: lampshade })).status).toBe(400);
    expect((await ask('GET', '/1e3')).status).toBe(404);
    expect((await ask('GET', '/7')).status).toBe(404);
    expect(await list()).toEqual([]);
  });

  it('stay behind the door', async () => {
    const { page } = await plansOnTrial();
    expect((await page.ask('GET', '/api/plans')).status).toBe(401);
    expect((await page.ask('POST', '/api/plans', { name: 'bell', request: lampshade })).status).toBe(401);
  });

  it('have an end', () => {
    const store = openStore(':memory:');
    const plans = openSavedPlans(store);
    store.together(() => {
      for (let kept = 0; kept < PLANS_MAX; kept++)
        expect(plans.add({ name: 'bell', request: lampshade }, 1)).toBeDefined();
    });
    expect(plans.add({ name: 'one too many', request: lampshade }, 1)).toBeUndefined();
    store.close();
  });
});

test('the store of the version before gets a place for plans, and keeps what it has', () => {
  const file = join(folderOnTrial(), 'bathkeeper.sqlite');
  const old = new Database(file);
  const before = migrations.findIndex((text) => text.includes('CREATE TABLE plans'));
  for (const text of migrations.slice(0, before)) old.exec(text);
  old.pragma(`user_version = ${String(before)}`);
  old.exec(`INSERT INTO settings VALUES ('kept', 'yes')`);
  old.close();
  for (const name of ['bell', 'leaf']) {
    const store = openStore(file);
    expect(store.setting('kept')).toBe('yes');
    openSavedPlans(store).add({ name, request: nickel }, EVENING_MS);
    store.close();
  }
  const store = openStore(file);
  expect(
    openSavedPlans(store)
      .list(EVENING_MS)
      .map(({ name }) => name),
  ).toEqual(['leaf', 'bell']);
  store.close();
});

test.each([
  ['bell', 'bell, copy'],
  ['bell, copy', 'bell, copy 2'],
  ['bell, copy 9', 'bell, copy 10'],
  ['x'.repeat(80), `${'x'.repeat(74)}, copy`],
])('a copy of %s is called %s', (name, copy) => {
  expect(copyName(name)).toBe(copy);
});
