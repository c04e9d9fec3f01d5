/* The part's room in a browser that cannot draw in three dimensions: it says so, and everything else is there. */
import { expect, test } from 'vitest';
import { pageRoom } from './page-room.js';
import { shot } from './open-page.js';

const room = pageRoom(['--disable-gpu', '--disable-software-rasterizer']);

test('without WebGL the room says so, gives all figures, and lets the list choose what is not plated', async () => {
  const page = await room.opened({}, '/#part');
  await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
  await page.getByText('No picture here:').waitFor();
  await page.getByRole('heading', { level: 1, name: /^The part: 9\.\d+ dm² to plate$/ }).waitFor();
  await page.getByLabel(/^Inside, mostly down/).check();
  await page.getByRole('heading', { level: 1, name: /^The part: 4\.\d+ dm² to plate$/ }).waitFor();
  await page.getByText(/^Recesses: /).waitFor();
  expect(await page.locator('canvas').count()).toBe(0);
  await shot(page, 'part-without-webgl');
});
