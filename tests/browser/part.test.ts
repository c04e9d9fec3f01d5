/* The part's room in a real browser: models are read in a worker, seen, pointed at; what it says stays right without a picture. */
import { expect, test } from 'vitest';
import { pageRoom } from './page-room.js';
import { shot } from './open-page.js';

const room = pageRoom();

test('scratch', async () => {
  for (const [n, size] of [['phone', { width: 390, height: 844 }], ['wide', { width: 1280, height: 900 }]] as const)
    for (const look of ['light', 'dark'] as const) {
      const page = await room.opened({ size, look }, '/#part');
      page.on('console', (m) => console.log('console', m.type(), m.text()));
      await page.getByRole('heading', { level: 1, name: 'Which part' }).waitFor();
      await shot(page, `part-empty-${n}-${look}`);
      await page.getByRole('button', { name: 'Try the demonstration bell' }).click();
      await page.getByRole('heading', { level: 1, name: /^The part: / }).waitFor();
      await page.locator('.part-canvas[data-drawn]').waitFor();
      await page.getByText('Recesses').waitFor();
      await page.waitForTimeout(1500);
      await shot(page, `part-bell-${n}-${look}`);
      console.log(await page.locator('.figures').innerText());
      console.log(await page.locator('.not-plated').innerText());
      console.log(await page.locator('.crowding').innerText());
    }
  expect(1).toBe(1);
});
