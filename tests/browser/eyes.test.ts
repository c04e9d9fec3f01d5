/* The eyes of the browser tests see what they are for: a page with every fault on it is not passed. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { contrastFaults, overflowingElements, smallTargets } from './eyes.js';
import { launchedBrowser, PHONE } from './open-page.js';

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchedBrowser();
  page = await browser.newPage({ viewport: PHONE });
}, 60_000);
afterAll(async () => {
  await browser.close();
});

test('they see words without contrast, by colour and by ground', async () => {
  await page.setContent('<body style="background:#fff"><p style="color:#888">grey</p><p style="color:#555">ink</p>');
  expect(await contrastFaults(page)).toEqual(['"grey" 3.54']);
});

test('they draw the line where WCAG draws it', async () => {
  await page.setContent(
    '<body style="background:#fff"><p style="color:#767676">least</p><p style="color:#777">below</p>',
  );
  // #767676 on white is known as the lightest grey that passes (4.54); #777777 is 4.48. From memory; recomputed here.
  expect(await contrastFaults(page)).toEqual(['"below" 4.48']);
});

test('they see what is wider than the screen', async () => {
  await page.setContent('<div style="width:500px">wide</div>');
  expect(await overflowingElements(page)).toHaveLength(1);
  await page.setContent('<div style="overflow-x:auto"><div style="width:500px">framed</div></div>');
  expect(await overflowingElements(page)).toEqual([]);
});

test('they see targets too small for a finger', async () => {
  await page.setContent(
    '<button style="width:30px;height:44px">a</button><button style="width:44px;height:44px">b</button>',
  );
  expect(await smallTargets(page)).toEqual(['BUTTON "a" 30 x 44']);
});
