/* Every control of Calls, Alarms, saved plans, rehearsals and the leave-alone check has a role and a name for whoever hears the page instead of seeing it. */
import { describe, expect, test } from 'vitest';
import type { LeaveAloneView } from '@bathkeeper/shared-core/messages';
import { first, second, shelveContacts } from './canned-calls.js';
import { cannedSnapshot, NIGHT_MS, stalled } from './canned-night.js';
import { pageRoom } from './page-room.js';
import { typedPlate } from './planned-plate.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();

describe('every control has a role and a name', () => {
  test('under Calls, with every form and every second question open', async () => {
    shelveContacts(room.server, first, second);
    const page = await room.opened({}, '/#calls');
    await page.getByRole('button', { name: 'Add a person' }).click();
    await page.getByLabel('only within these hours').check();
    await page.getByRole('button', { name: 'Add a way to reach First watch' }).click();
    await page.getByLabel('Webhook', { exact: true }).check();
    await page.getByText('Body and headers').click();
    await page.getByRole('button', { name: 'Remove Second watch' }).click();
    await page.getByRole('button', { name: 'Remove Web Push push.example' }).first().click();
    await page.getByRole('form', { name: 'Mail server' }).waitFor();
    await page.getByRole('form', { name: 'When nobody acknowledges' }).waitFor();
    const heard = await controlsHeard(page);
    expect(heard.faults).toEqual([]);
    expect(heard.count).toBeGreaterThan(30);
  });

  test('of the alarms, with a silence being asked for', async () => {
    const shelvable = { ...stalled, alarmId: 21, priority: 'medium', mayBeShelved: true } as const;
    room.server.snapshot = cannedSnapshot({ alarms: [stalled, shelvable] });
    const page = await room.opened();
    await page.getByRole('button', { name: /^Acknowledge/ }).first().waitFor(); // prettier-ignore
    const standing = await controlsHeard(page);
    expect(standing.faults).toEqual([]);
    expect(standing.count).toBeGreaterThan(10);
    await page.getByRole('button', { name: 'Silence an alarm…' }).click();
    await page.getByRole('dialog').waitFor();
    expect((await controlsHeard(page)).faults).toEqual([]);
  });

  test('of the leave-alone check', async () => {
    shelveContacts(room.server, first, second);
    const check: LeaveAloneView = {
      controllerId: 'north-bench',
      checkedAtMs: NIGHT_MS,
      plannedFinishAtMs: null,
      items: [{ name: 'disk', state: 'good', words: '41 GB free: enough for years.' }],
    };
    room.server.shelves.set('/api/controllers/north-bench/leave-alone', check);
    const page = await room.opened({}, '/#leave-alone/north-bench');
    await page.getByRole('button', { name: 'Test call to First watch' }).waitFor();
    const heard = await controlsHeard(page);
    expect(heard.faults).toEqual([]);
    expect(heard.count).toBeGreaterThan(6);
  });

  test('of saved plans and a recipe from a plan', async () => {
    const entry = { planId: 1, name: 'Bell', parts: 'bell', areaDm2: 12, bath: null, changedAtMs: NIGHT_MS };
    room.server.shelves.set('/api/plans', [
      { ...entry, deletedAtMs: null, goneAtMs: null },
      { ...entry, planId: 2, name: 'Leaf', deletedAtMs: NIGHT_MS, goneAtMs: NIGHT_MS },
    ]);
    const page = await room.opened({}, '/#plans');
    await page.getByRole('button', { name: 'Bring back Leaf' }).waitFor();
    await page.getByRole('button', { name: 'Rename Bell' }).click();
    const kept = await controlsHeard(page);
    expect(kept.faults).toEqual([]);
    expect(kept.count).toBeGreaterThan(8);
    await page.goto(`${room.server.address}/#recipe`);
    await page.getByRole('button', { name: 'Send to the bath' }).waitFor();
    const asked = await controlsHeard(page);
    expect(asked.faults).toEqual([]);
    expect(asked.count).toBeGreaterThan(15);
  });

  test('of a rehearsal with something that goes wrong', async () => {
    const choices = [{ name: 'leak', words: 'The tank leaks', isMomentary: false }];
    room.server.shelves.set('/api/rehearsal', { choices, newest: null });
    const page = await room.opened({}, '/#part');
    await typedPlate(page, '12');
    await page.goto(`${room.server.address}/#rehearsal`);
    await page.getByRole('button', { name: 'Let something go wrong' }).click();
    await page.getByRole('button', { name: 'Leave fault 1 out' }).waitFor();
    const heard = await controlsHeard(page);
    expect(heard.faults).toEqual([]);
    expect(heard.count).toBeGreaterThan(12);
  });

  test('and one without a name, or without a role, is found', async () => {
    const page = await room.opened();
    await page.getByRole('button', { name: 'Silence an alarm…' }).waitFor();
    await page.evaluate(() => {
      const nameless = document.createElement('button');
      const roleless = document.createElement('div');
      roleless.tabIndex = 0;
      roleless.textContent = 'press me';
      document.body.append(nameless, roleless);
    });
    const { faults } = await controlsHeard(page);
    expect(faults).toHaveLength(2);
    expect(faults[0]).toBe('button ""');
  });
});
