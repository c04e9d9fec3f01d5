/* The run sheet as a web page in a real browser: printed it is one page of its paper, whatever the night was; on a phone and a wide screen, by day and by night, it can be read. */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { madeSheet, type SheetAsked } from '../../dashboard/server/sheet/made-sheet.js';
import { aRecord } from '../shared-core/trade/run-record/a-record.js';
import { crowdedRecord, noSeries, sheetAsked, WRITTEN_MS } from '../dashboard/server/sheet/a-sheet.js';
import { pagesOf } from '../dashboard/server/sheet/pdf-read.js';
import { contrastFaults, overflowingElements } from './eyes.js';
import { launchedBrowser, openPage, PHONE, shot, WIDE } from './open-page.js';

const nights: Readonly<Record<string, Partial<SheetAsked>>> = {
  night: {},
  crowded: { record: crowdedRecord() },
  'crowded, imperial': { record: crowdedRecord(), reader: { units: 'imperial', zone: 'America/New_York', writtenAtMs: WRITTEN_MS } }, // prettier-ignore
  nothing: { record: aRecord({ recipe: null, deposit: null, phases: [], alarms: [] }), series: noSeries() },
};

let browser: Browser;
let server: Server;
let address: string;
const htmlOf = async (night: string, paper: SheetAsked['paper']): Promise<string> =>
  Buffer.from(await madeSheet(sheetAsked({ ...nights[night], format: 'html', paper }))).toString('utf8');
beforeAll(async () => {
  browser = await launchedBrowser();
  server = createServer((request, response) => {
    const [, night, paper] = decodeURIComponent(request.url ?? '').split('/');
    if (nights[night ?? ''] === undefined) response.writeHead(404).end();
    else
      void htmlOf(night!, paper as SheetAsked['paper']).then((html) => {
        response.writeHead(200, { 'Content-Type': 'text/html; charset=utf-8', 'Content-Security-Policy': "default-src 'none'; style-src 'unsafe-inline'" }).end(html); // prettier-ignore
      });
  });
  await new Promise<void>((done) => void server.listen(0, '127.0.0.1', done));
  address = `http://127.0.0.1:${String((server.address() as AddressInfo).port)}`;
}, 120_000);
afterAll(async () => {
  await browser.close();
  server.close();
});

describe('printed', () => {
  test.each(
    Object.keys(nights).flatMap((night) => [
      [night, 'a4', 595.28, 841.89] as const,
      [night, 'letter', 612, 792] as const,
    ]),
  )('%s is one page of %s, with its foot on it', async (night, paper, width, height) => {
    const page = await browser.newPage();
    await page.goto(`${address}/${encodeURIComponent(night)}/${paper}`);
    const bytes = await page.pdf({ preferCSSPageSize: true, printBackground: true });
    await page.close();
    const folder = process.env.BATHKEEPER_SHOTS;
    if (folder !== undefined) {
      mkdirSync(folder, { recursive: true });
      writeFileSync(join(folder, `printed-${night.replace(/\W+/g, '-')}-${paper}.pdf`), bytes);
    }
    const { pages } = await pagesOf(bytes);
    expect(pages).toHaveLength(1);
    expect(pages[0]!.width).toBeCloseTo(width, 0);
    expect(pages[0]!.height).toBeCloseTo(height, 0);
    expect(pages[0]!.words).toContain('Signature');
    expect(pages[0]!.words).toContain('from what the controller told');
    expect(pages[0]!.words).not.toContain('Print it with the browser');
  });
});

test('looks right on a phone and on a wide screen, by day and by night', async () => {
  for (const [sizeName, size] of [
    ['phone', PHONE],
    ['wide', WIDE],
  ] as const)
    for (const look of ['light', 'dark'] as const) {
      const { page, errors } = await openPage(browser, `${address}/night/a4`, { size, look, isStill: true });
      await page.getByRole('heading', { level: 1, name: 'Fluted bell lampshade' }).waitFor();
      await shot(page, `run-sheet-${sizeName}-${look}`);
      const scene = `${sizeName}, ${look}`;
      expect(await overflowingElements(page), scene).toEqual([]);
      expect(await contrastFaults(page), scene).toEqual([]);
      expect(errors, scene).toEqual([]);
      await page.context().close();
    }
});

test('says the same as the PDF of what has no room', async () => {
  const { page } = await openPage(browser, `${address}/crowded/a4`, { size: WIDE });
  await page.getByText(/more alarms \(\d+ × Rotation stopped/).waitFor();
  await page.getByText('“Planned parts” is shortened here').waitFor();
  const html = (await page.locator('article').innerText()).replace(/\s+/g, ' ');
  const { pages } = await pagesOf(await madeSheet(sheetAsked(nights.crowded)));
  const left = /And \d+ more alarms [^]*? run 3 of/;
  expect(left.exec(html)?.[0]).toBe(left.exec(pages[0]!.words)?.[0]);
  expect(html.match(/Alarm \d+ ·/g)).toEqual(pages[0]!.words.match(/Alarm \d+ ·/g));
  await page.context().close();
});

test('says what its picture shows to whoever hears it', async () => {
  const { page } = await openPage(browser, `${address}/night/a4`, {});
  await page.getByRole('img', { name: /^Current from 0 to 21\.2 A over the run/ }).waitFor();
  await page.getByText('Alarm 2 · Rotation stopped').waitFor();
  await page.context().close();
});
