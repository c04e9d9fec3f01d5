/* The heading on a phone: two lines, whatever rooms there are; each room can be reached, and the open one is seen. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { contrastFaults, overflowingElements, smallTargets } from './eyes.js';
import { PHONE, shot } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();

/** The least height of a target (WCAG 2.2, 2.5.5: Target Size, Enhanced). */
const TARGET = 44;

const rooms = (page: Page) => page.getByRole('navigation', { name: 'Baths and settings' });

async function isSeen(page: Page, name: string): Promise<boolean> {
  const box = await rooms(page).getByRole('link', { name }).boundingBox();
  return box !== null && box.x >= 0 && box.x + box.width <= PHONE.width;
}

for (const look of ['light', 'dark'] as const) {
  test(`is two lines of targets at 360 px, ${look}`, async () => {
    const page = await room.opened({ look, isStill: true });
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    const { height } = (await page.getByRole('banner').boundingBox())!;
    expect(height).toBeGreaterThan(2 * TARGET - 1);
    expect(height).toBeLessThan(2.5 * TARGET);
    await shot(page, `heading-${look}`, false);
    expect(await overflowingElements(page)).toEqual([]);
    expect(await contrastFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
  });
}

test('shows the open room, and each of them to the keyboard', async () => {
  const page = await room.opened({ isStill: true });
  await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
  expect(await isSeen(page, 'Settings')).toBe(false);
  await page.goto(`${room.server.address}/#settings`);
  await eventually(() => isSeen(page, 'Settings')).toBe(true);
  await shot(page, 'heading-at-its-end', false);
  const names = await rooms(page).getByRole('link').allTextContents();
  expect(names.length).toBeGreaterThanOrEqual(8);
  await page.getByRole('link', { name: 'Bathkeeper' }).focus();
  for (const name of names) {
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe(name);
    await eventually(() => isSeen(page, name)).toBe(true);
  }
});

test('opens each room by a press, wherever it stands in the line', async () => {
  const page = await room.opened({ isStill: true });
  await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
  for (const name of ['Calls', 'Journal', 'Part', 'Settings']) {
    await rooms(page).getByRole('link', { name }).click();
    await eventually(() => rooms(page).getByRole('link', { name }).getAttribute('aria-current')).toBe('page');
  }
});
