/* The eyes of the browser tests see what they are for: a page with every fault on it is not passed. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { collidingWords, contrastFaults, drawnContrastFaults, overflowingElements, smallTargets } from './eyes.js';
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

const drawing = (inside: string): string =>
  `<body style="background:#fff"><svg viewBox="0 0 300 100" width="300" height="100" style="font:16px sans-serif">${inside}</svg>`;

test('they see words of a drawing that lie over each other or are cut off', async () => {
  await page.setContent(
    drawing('<text x="10" y="40">one</text><text x="20" y="44">two</text><text x="280" y="90">three</text>'),
  );
  expect(await collidingWords(page, 'svg')).toEqual(['"one" over "two"', '"three" is cut off']);
  await page.setContent(drawing('<text x="10" y="40">one</text><text x="10" y="60">two</text>'));
  expect(await collidingWords(page, 'svg')).toEqual([]);
});

test('they see words of a drawing without contrast against what is painted under them, whatever the page behind', async () => {
  await page.setContent(
    drawing(
      '<rect width="150" height="100" fill="#333"/><text x="10" y="40" fill="#000">dark</text><text x="10" y="80" fill="#fff">light</text><text x="170" y="40" fill="#000">paper</text>',
    ),
  );
  // #000 on #333 is 1.66 by the formula of WCAG.
  expect(await drawnContrastFaults(page, 'svg')).toEqual(['"dark" 1.66']);
});

test('they count a halo as ground, and a faint group as faint', async () => {
  const halo = 'style="paint-order:stroke;stroke:#fff;stroke-width:6px"';
  await page.setContent(
    drawing(
      `<rect width="300" height="100" fill="#333"/><text x="10" y="40" fill="#000" ${halo}>halo</text><g opacity="0.3"><text x="10" y="80" fill="#fff">faint</text></g>`,
    ),
  );
  const faults = await drawnContrastFaults(page, 'svg');
  expect(faults).toHaveLength(1);
  expect(faults[0]).toMatch(/^"faint"/);
});
