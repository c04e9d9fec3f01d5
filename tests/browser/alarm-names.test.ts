/*
 * Under which name a press on an alarm is kept: seen beside the buttons, changed there, never asked for. Against canned states; what the page sent is read, and what the
 * dashboard tells of it is shown by name.
 */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import type { AlarmView } from '@bathkeeper/shared-core/messages';
import { cannedSnapshot, NIGHT_MS, stalled, stalledSnapshot } from './canned-night.js';
import { eventually, looksRightNow, pageRoom, SCREENS } from './page-room.js';

const room = pageRoom();

const shelvable: AlarmView = {
  ...stalled,
  alarmId: 21,
  name: 'current-off-permitted',
  priority: 'medium',
  title: 'Current is not what it should be',
  mayBeShelved: true,
};
const LONG = 'Maximiliane-Friederike von und zu Hohenlohe-Schillingsfürst'.padEnd(60, 'x');
/** From right to left, as an entry of a studio in Haifa would be. */
const HEBREW = 'רובין';
const acknowledged = (by: string): AlarmView => ({
  ...stalled,
  state: 'acknowledged',
  acknowledgedAtMs: NIGHT_MS,
  acknowledgedBy: by,
});

/** On a device that knows this name already. */
async function openedAs(name: string, ...options: Parameters<typeof room.opened>): Promise<Page> {
  const page = await room.opened(...options);
  await page.evaluate((kept) => {
    localStorage.setItem('bathkeeper.who', kept);
  }, name);
  await page.reload();
  return page;
}

describe('acknowledging', () => {
  test('is one press on a device that knows no name, and is kept without one', async () => {
    room.server.snapshot = stalledSnapshot();
    room.server.answer = () => ({ body: acknowledged('page') });
    const page = await room.opened();
    await page.getByText('Acknowledging is kept without a name: “on the page”.').waitFor();
    await page.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await eventually(() => room.server.asked.length).toBe(1);
    expect(room.server.asked[0]).toMatchObject({ path: '/api/alarms/12/acknowledge', body: {} });
    expect(room.server.asked[0]?.body).toEqual({});
  });

  test('carries the name that the device knows, seen before the press, and told after it', async () => {
    room.server.snapshot = stalledSnapshot();
    room.server.answer = () => {
      room.server.tell({ ...stalledSnapshot(), alarms: [acknowledged('Robin')] });
      return { body: acknowledged('Robin') };
    };
    const page = await openedAs('Robin');
    await page.getByText('Acknowledging is kept under the name Robin.').waitFor();
    await page.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await page.getByText('active, acknowledged by Robin').waitFor();
    expect(room.server.asked[0]?.body).toEqual({ by: 'Robin' });
    await page.getByText(/Acknowledging is kept/).waitFor({ state: 'detached' });
  });

  test('takes the name that is written beside it, by keyboard alone, and keeps it on the device', async () => {
    room.server.snapshot = stalledSnapshot();
    room.server.answer = () => ({ body: acknowledged('Robin') });
    const page = await room.opened();
    await page.getByRole('button', { name: 'Say who you are' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('form', { name: 'Your name' }).getByRole('textbox', { name: 'Your name' }).focus();
    await page.keyboard.type('Robin');
    await page.keyboard.press('Enter');
    await page.getByText('Acknowledging is kept under the name Robin.').waitFor();
    await page.reload();
    await page.getByText('Acknowledging is kept under the name Robin.').waitFor();
    await page.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await eventually(() => room.server.asked[0]?.body).toEqual({ by: 'Robin' });
  });

  test('leaves a name out that stands for the program, says so, and is not held up by it', async () => {
    room.server.snapshot = stalledSnapshot();
    room.server.answer = () => ({ body: acknowledged('page') });
    const page = await openedAs('Robin');
    await page.getByRole('button', { name: 'Change the name' }).click();
    await page.getByRole('textbox', { name: 'Your name' }).fill('the Page');
    await page.getByText('Kept without it: expected the name of a person, not a word').waitFor();
    await page.getByRole('button', { name: 'Acknowledge: Rotation stopped' }).click();
    await eventually(() => room.server.asked[0]?.body).toEqual({});
  });

  test('shows the name once, at the first alarm that waits for it, and in the story as well', async () => {
    room.server.snapshot = cannedSnapshot({ alarms: [{ ...stalled, isFirstOut: true }, shelvable] });
    const page = await openedAs('Robin');
    const kept = page.getByText('Acknowledging is kept under the name Robin.');
    await page.getByRole('listitem', { name: 'Rotation stopped' }).filter({ has: kept }).waitFor();
    expect(await kept.count()).toBe(1);
    await page.getByRole('button', { name: 'Story of the alarm: Rotation stopped' }).click();
    await page.getByRole('dialog').getByText('Acknowledging is kept under the name Robin.').waitFor();
  });
});

describe('a silence', () => {
  test('carries the name, which is asked for beside the reason and may be left empty', async () => {
    room.server.snapshot = cannedSnapshot({ alarms: [shelvable] });
    room.server.answer = () => ({ body: {} });
    const page = await room.opened();
    const silence = page.getByRole('button', { name: 'Silence: Current is not what it should be' });
    await silence.click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Reason').fill('the supply is being swapped');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(room.server.asked[0]?.body).toEqual({ reason: 'the supply is being swapped', minutes: 60 });
    await silence.click();
    await dialog.getByLabel('Reason').fill('the probe is away');
    await dialog.getByLabel('Your name').fill('Robin');
    await dialog.getByLabel(/^Out of service/).check();
    await dialog.getByRole('button', { name: 'Take out of service' }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(room.server.asked[1]?.body).toEqual({ reason: 'the probe is away', by: 'Robin' });
  });

  test('is ended under the name that stands beside its end', async () => {
    const { name, title } = shelvable;
    const shelf = { kind: 'shelved', who: HEBREW, reason: 'the supply is being swapped', sinceMs: NIGHT_MS, untilMs: NIGHT_MS + 3_600_000 } as const; // prettier-ignore
    const out = { kind: 'out-of-service', who: 'page', reason: 'no filter', sinceMs: NIGHT_MS } as const;
    const address = '/api/controllers/north-bench/alarms/silences';
    room.server.shelves.set(address, [{ controllerId: 'north-bench', name, title, silences: [shelf, out] }]);
    room.server.answer = () => ({ body: {} });
    const page = await openedAs('Robin');
    await page.getByText('Ending a silence is kept under the name Robin.').waitFor();
    await page.getByRole('button', { name: `End the shelf: ${title}` }).click();
    await eventually(() => room.server.asked[0]?.body).toEqual({ by: 'Robin' });
    await page.getByRole('button', { name: `Put back in service: ${title}` }).click();
    await eventually(() => room.server.asked[1]?.body).toEqual({ by: 'Robin' });
  });
});

test.each([
  ['a long name', LONG],
  ['a name from right to left', HEBREW],
  ['no name', ''],
])('looks right with %s, on a phone and wide, by day and by night', async (what, name) => {
  room.server.snapshot = cannedSnapshot({ alarms: [stalled, { ...shelvable, ...acknowledged(name || 'page'), alarmId: 21 }] });
  for (const { scene, ...screen } of SCREENS) {
    const page = await openedAs(name, { ...screen, isStill: true });
    await page.getByText(/^Acknowledging is kept/).waitFor();
    await looksRightNow(page, `names-${what.replaceAll(' ', '-')}-${scene}`);
    await page.getByRole('button', { name: /^(Change the name|Say who you are)$/ }).click();
    await page.getByRole('textbox', { name: 'Your name' }).fill('page');
    await page.getByText(/^Kept without it/).waitFor();
    await looksRightNow(page, `names-typed-${what.replaceAll(' ', '-')}-${scene}`);
    await page.context().close();
  }
}); // prettier-ignore
