/* Every control of Calls, Alarms and the leave-alone check has a role and a name for whoever hears the page instead of seeing it. */
import { describe, expect, test } from 'vitest';
import type { LeaveAloneView } from '@bathkeeper/shared-core/messages';
import { first, second, shelveContacts } from './canned-calls.js';
import { cannedSnapshot, NIGHT_MS, stalled } from './canned-night.js';
import { pageRoom } from './page-room.js';
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
