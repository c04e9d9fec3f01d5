/* Plans that are kept, and a plan's night that is rehearsed, in a real browser: what the page asks of the dashboard, and what stands on it afterwards. */
import type { Page } from 'playwright-core';
import type { PlanRequest, RehearsalDeskView, SavedPlan, SavedPlanEntry, SavePlanRequest } from '@bathkeeper/shared-core/trade'; // prettier-ignore
import { beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { rehearsalFaultChoices } from '../../dashboard/server/virtual-bath/rehearsal-faults.js';
import { nightOfPlan } from '../../dashboard/server/virtual-bath/rehearsal-night.js';
import { rehearsalResult } from '../../dashboard/server/virtual-bath/rehearsal-result.js';
import { rehearsedNight } from '../../dashboard/server/virtual-bath/rehearsed-night.js';
import { lampshade, planned } from '../shared-core/trade/plan/requests.js';
import { NIGHT_MS } from './canned-night.js';
import { WIDE } from './open-page.js';
import { pageRoom } from './page-room.js';
import { plannedPlate } from './planned-plate.js';

const room = pageRoom();

function saved(planId: number, name: string, request: PlanRequest, deletedAtMs: number | null = null): SavedPlan {
  const goneAtMs = deletedAtMs === null ? null : deletedAtMs + 30 * 86_400_000;
  const entry = { parts: request.parts.map((part) => part.name).join(', '), areaDm2: 12, bath: request.bath ?? null };
  return { planId, name, changedAtMs: NIGHT_MS - 3_600_000, deletedAtMs, goneAtMs, ...entry, request };
}

/** The dashboard's side of saved plans, as far as the page can see it. */
let kept: SavedPlan[];
beforeEach(() => {
  kept = [];
  room.server.shelves.set('/api/plans', (): SavedPlanEntry[] => kept);
  room.server.answer = ({ method, path, body }) => {
    const [, , , id = '', deed] = path.split('/');
    const at = kept.findIndex(({ planId }) => planId === Number(id));
    const put = (plan: SavedPlan): { body: SavedPlan } => {
      kept = at < 0 ? [...kept, plan] : kept.map((one, index) => (index === at ? plan : one));
      room.server.shelves.set(`/api/plans/${String(plan.planId)}`, plan);
      return { body: plan };
    };
    if (!path.startsWith('/api/plans')) return undefined;
    if (id === '') {
      const { name, request } = body as SavePlanRequest;
      return put(saved(kept.length + 1, name, request));
    }
    const plan = kept[at]!;
    if (method === 'PUT') return put({ ...plan, ...(body as Partial<SavePlanRequest>) });
    if (method === 'DELETE') return put(saved(plan.planId, plan.name, plan.request, NIGHT_MS));
    if (deed === 'bring-back') return put(saved(plan.planId, plan.name, plan.request));
    kept = [...kept, saved(kept.length + 1, `${plan.name}, copy`, plan.request)];
    return { body: kept.at(-1) };
  };
});

describe('a plan', () => {
  test('is saved under a name, says when it was changed since, and is saved over', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page.getByText('Save this plan').click();
    await page.getByLabel('Name of the plan').fill('Plate for the door');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByText('Saved as “Plate for the door”.').waitFor();
    expect(room.server.asked.at(-1)).toMatchObject({
      path: '/api/plans',
      body: { name: 'Plate for the door', request: { bath: 'bright-copper', parts: [{ name: 'Part', areaDm2: 12 }] } },
    });
    await page.getByLabel(/^Average thickness/).fill('200');
    await page.getByText('Changed since it was saved as “Plate for the door”.').waitFor();
    await page.getByRole('button', { name: 'Save the change' }).click();
    await page.getByText('Saved as “Plate for the door”.').waitFor();
    expect(kept).toMatchObject([{ name: 'Plate for the door', request: { averageThicknessMicrometres: 200 } }]);
  });

  test('is opened again with its parts and everything that was asked, after a second question where something would be lost', async () => {
    const nickel = { ...lampshade, bath: 'watts-nickel', averageThicknessMicrometres: 150 };
    kept = [saved(1, 'Bell in nickel', nickel)];
    room.server.shelves.set('/api/plans/1', kept[0]);
    const page = await room.opened({ size: WIDE }, '/#plans');
    await page.getByRole('button', { name: 'Open Bell in nickel' }).click();
    await page.getByRole('heading', { level: 1, name: 'Plan: Fluted bell lampshade' }).waitFor();
    expect(await page.getByLabel(/^Average thickness/).inputValue()).toBe('150');
    await page.getByText('Saved as “Bell in nickel”.').waitFor();
    await page.getByRole('link', { name: 'Part', exact: true }).click();
    await page.getByRole('heading', { level: 1, name: /12(\.0)? dm² to plate/ }).waitFor();
    await page.getByLabel('Pieces').fill('2');
    await page.goto(`${room.server.address}/#plans`);
    await page.getByRole('button', { name: 'Open Bell in nickel' }).click();
    await page.getByText('is not saved, and “Bell in nickel” takes its place').waitFor();
    await page.getByRole('button', { name: 'Open it all the same' }).click();
    await page.getByText('Saved as “Bell in nickel”.').waitFor();
    await page.getByRole('heading', { level: 1, name: 'Plan: Fluted bell lampshade' }).waitFor();
  });

  test('is renamed, copied, deleted and brought back in the list', async () => {
    kept = [saved(1, 'Bell', lampshade)];
    const page = await room.opened({}, '/#plans');
    await page.getByRole('button', { name: 'Rename Bell' }).click();
    await page.getByLabel('New name').fill('Large bell');
    await page.getByRole('button', { name: 'Rename', exact: true }).click();
    await page.getByRole('button', { name: 'Copy Large bell' }).click();
    await page.getByRole('heading', { level: 2, name: 'Large bell, copy' }).waitFor();
    await page.getByRole('button', { name: 'Delete Large bell', exact: true }).click();
    await page.getByText('“Large bell” is deleted. It can be brought back below.').waitFor();
    await page.getByText('can be brought back until Thu 12 Mar').waitFor();
    await page.getByRole('button', { name: 'Bring back Large bell' }).click();
    await page.getByRole('button', { name: 'Open Large bell', exact: true }).waitFor();
    expect(await page.getByRole('heading', { name: 'Deleted' }).count()).toBe(0);
  });

  test('the list looks right on a phone and on a wide screen, by day and by night', async () => {
    kept = [saved(1, 'Bell', lampshade), saved(2, 'Leaves for the gate', lampshade, NIGHT_MS)];
    await room.looksRight('saved-plans', '/#plans', async (page) => {
      await page.getByRole('button', { name: 'Rename Bell' }).waitFor();
    });
  });
});

describe('a rehearsal', () => {
  const nobody: RehearsalDeskView = { choices: rehearsalFaultChoices, newest: null };
  const newest = { rehearsalId: 1, parts: 'Part', share: 0.4, result: null, problem: null };

  const asked = {
    request: {
      bath: 'bright-copper',
      averageThicknessMicrometres: 300,
      currentDensityAmpsPerDm2: 2,
      parts: [{ name: 'Part', pieces: 1, areaDm2: 12 }],
    },
    faults: [{ name: 'contact-loss' as const, afterMinutes: 90 }],
  };
  /** What the virtual bath really makes of it. Played before a browser waits for it: it holds this process up for seconds. */
  let played: RehearsalDeskView;
  beforeAll(() => {
    const night = nightOfPlan(planned(asked.request), null, asked.faults);
    if ('refusals' in night) throw new Error(night.refusals.join(' '));
    const result = rehearsalResult(
      night,
      rehearsedNight(night.night, () => undefined),
    );
    played = { ...nobody, newest: { ...newest, state: 'done', share: 1, result } };
  }, 120_000);

  async function rehearsed(page: Page): Promise<void> {
    room.server.shelves.set('/api/rehearsal', nobody);
    room.server.answer = ({ method, path }) => {
      if (path !== '/api/rehearsal') return undefined;
      if (method === 'DELETE') return { body: { ...nobody, newest: { ...newest, state: 'cancelled' } } };
      room.server.shelves.set('/api/rehearsal', played);
      return { body: { ...nobody, newest: { ...newest, state: 'running' } } };
    };
    await plannedPlate(page);
    await page.getByLabel(/^Current density/).fill('2');
    await page.getByRole('link', { name: 'Rehearse this night' }).click();
    await page.getByRole('button', { name: 'Let something go wrong' }).click();
    await page.getByRole('combobox', { name: 'Fault 1' }).selectOption('A clip lets go of the part');
    await page.getByLabel(/^After/).fill('1,5');
    await page.getByRole('button', { name: 'Play the night' }).click();
    await page.getByText(/^It is held: contact lost/).waitFor();
  }

  test('plays the plan on the page with a fault in plain words, and shows what came of it', async () => {
    const page = await room.opened({ size: WIDE }, '/#part');
    await rehearsed(page);
    expect(room.server.asked.at(-1)?.body).toMatchObject({ ...asked, controllerId: 'north-bench' });
    await page.getByRole('img', { name: /^The night as it was played\. It is held/ }).waitFor();
    await page.getByText('A clip lets go of the part, after 1 h 30 min').waitFor();
    await page.getByText(/^1:3\d Held: a keep-alive/).waitFor();
    await page.getByText(/planned 272\sAh/).waitFor();
    await page.getByText('60 L are taken').waitFor();
    await page.getByLabel('Units').selectOption('Imperial');
    await page.getByText('15.9 US gal are taken').waitFor();
    await page.getByText(/planned 11\.8\smil/).waitFor();
  });

  test('is shown while it goes on, and cancelled', async () => {
    room.server.shelves.set('/api/rehearsal', { ...nobody, newest: { ...newest, state: 'running' } });
    room.server.answer = () => {
      room.server.shelves.set('/api/rehearsal', { ...nobody, newest: { ...newest, state: 'cancelled' } });
      return { body: { ...nobody, newest: { ...newest, state: 'cancelled' } } };
    };
    const page = await room.opened({}, '/#rehearsal');
    await page.getByText('There is no plan on this page.').waitFor();
    await page.getByRole('progressbar', { name: 'How much of the night is played' }).waitFor();
    await page.getByRole('button', { name: 'Cancel the rehearsal' }).click();
    await page.getByText('The rehearsal was cancelled.').waitFor();
    expect(room.server.asked).toMatchObject([{ method: 'DELETE', path: '/api/rehearsal' }]);
  });

  test('takes no time that is no number, and says so at its field', async () => {
    room.server.shelves.set('/api/rehearsal', nobody);
    const page = await room.opened({ size: WIDE }, '/#part');
    await plannedPlate(page);
    await page.getByRole('link', { name: 'Rehearse this night' }).click();
    await page.getByRole('button', { name: 'Let something go wrong' }).click();
    await page.getByLabel(/^After/).fill('soon');
    await page.getByText('Type hours from 0 to 160, such as 1.5; got “soon”.').waitFor();
    expect(await page.getByRole('button', { name: 'Play the night' }).isDisabled()).toBe(true);
  });

  test('looks right on a phone and on a wide screen, by day and by night', async () => {
    await room.looksRight('rehearsal', '/#part', rehearsed);
  });
});
