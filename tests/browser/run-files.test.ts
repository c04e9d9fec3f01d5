/* What of a run is taken away and brought in on the page: sheet links that follow units and paper, files that are saved whole or refused in words, and an import that tells what came of it. */
import { readFileSync } from 'node:fs';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { aRecord, STARTED_MS } from '../shared-core/trade/run-record/a-record.js';
import { contrastFaults, overflowingElements, smallTargets } from './eyes.js';
import { PHONE, shot, WIDE } from './open-page.js';
import { pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();
const PATH = '/api/runs/north-bench/7/3';
const imported: ImportedRun = { controllerId: 'imported:1', incarnation: 7, run: 3, startedAtMs: STARTED_MS, partName: 'Fluted bell lampshade', recordCount: 36_000, eventCount: 24, alarmCount: 1, entryCount: 2, importedAtMs: STARTED_MS, importedBy: 'Mara', fileName: 'night.zip', original: { controllerId: 'south-bench', bathName: 'Copper 60 L', isSimulated: false } }; // prettier-ignore

beforeEach(() => {
  room.server.shelves.set(PATH, aRecord());
  room.server.shelves.set('/api/runs', []);
  room.server.shelves.set('/api/deleted-runs', []);
});

describe('what is taken away of a run', () => {
  test('is a sheet on the paper, in the units and by the clocks of whoever asks', async () => {
    const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
    const link = page.getByRole('link', { name: 'Sheet as PDF' });
    expect(await link.getAttribute('href')).toBe(`${PATH}/sheet.pdf?paper=a4&units=metric&zone=UTC`);
    await page.getByLabel('Paper').selectOption('Letter');
    expect(await link.getAttribute('href')).toBe(`${PATH}/sheet.pdf?paper=letter&units=metric&zone=UTC`);
    const html = page.getByRole('link', { name: 'Sheet as a page to print' });
    expect(await html.getAttribute('href')).toBe(`${PATH}/sheet.html?paper=letter&units=metric&zone=UTC`);
    await page.reload();
    await page.getByLabel('Paper').waitFor();
    expect(await page.getByLabel('Paper').inputValue()).toBe('letter');
  });

  test('begins with Letter where that is usual', async () => {
    const page = await room.opened({ size: WIDE, locale: 'en-US' }, '/#run/north-bench/7/3');
    expect(await page.getByLabel('Paper').inputValue()).toBe('letter');
  });

  test('is a file as the dashboard wrote it', async () => {
    room.server.shelves.set(`${PATH}/export.json`, { format: 'bathkeeper-run' });
    const page = await room.opened({}, '/#run/north-bench/7/3');
    const begun = page.waitForEvent('download');
    await page.getByRole('button', { name: 'JSON', exact: true }).click();
    const download = await begun;
    expect(download.suggestedFilename()).toBe('export.json');
    expect(readFileSync(await download.path(), 'utf8')).toBe('{"format":"bathkeeper-run"}');
  });

  test('or is refused in words, and then nothing is saved', async () => {
    const page = await room.opened({}, '/#run/north-bench/7/3');
    let saved = 0;
    page.on('download', () => saved++);
    await page.getByRole('button', { name: 'Parquet' }).click();
    const files = page.locator('section').filter({ has: page.getByRole('button', { name: 'Parquet' }) });
    await files.getByRole('alert').getByText('The fixture has nothing there.').waitFor();
    expect(saved).toBe(0);
  });
});

async function withForm(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Bring in a run from a file…' }).click();
  await page.getByRole('form', { name: 'Bring in a run from a file' }).waitFor();
}

describe('a run that is brought in', () => {
  test('is told with what stands in the logbook now', async () => {
    room.server.answer = () => ({ status: 201, body: imported });
    const page = await room.opened({}, '/#logbook');
    await withForm(page);
    await page.getByRole('button', { name: 'Bring it in' }).click();
    await page.getByText('Choose a file first.').waitFor();
    expect(room.server.asked).toEqual([]);
    await page.locator('input[type=file]').setInputFiles({ name: 'night.zip', mimeType: 'application/zip', buffer: Buffer.from('PK-night') }); // prettier-ignore
    await page.getByLabel('Your name').fill('Mara');
    await page.getByRole('button', { name: 'Bring it in' }).click();
    await page
      .getByRole('status')
      .getByText('night.zip was brought in: run 3 of south-bench, Fluted bell lampshade, with 36000 records, 24 events, 1 alarm and 2 entries by people.')
      .waitFor();
    expect(room.server.asked).toMatchObject([
      { path: '/api/run-imports', body: { query: { fileName: 'night.zip', importedBy: 'Mara' }, bytes: Buffer.from('PK-night') } },
    ]);
    expect(await page.getByRole('link', { name: 'Open it' }).getAttribute('href')).toBe('#run/imported%3A1/7/3');
  }); // prettier-ignore

  test('has its alarms told as of a file, with nothing to acknowledge, and says of a photograph that it stayed elsewhere', async () => {
    const record = aRecord();
    const alarm = { ...record.alarms[1]!.alarm, alarmId: -2, state: 'unacknowledged' as const, acknowledgedAtMs: null, acknowledgedBy: null, returnedAtMs: null }; // prettier-ignore
    const photograph = { kind: 'photograph' as const, type: 'image/jpeg' as const, widthPixels: 800, heightPixels: 600, byteCount: 9 }; // prettier-ignore
    const entry = { entryId: 1, atMs: STARTED_MS, writtenAtMs: STARTED_MS, who: 'Ola', note: 'the <b>hooks</b>', undone: null }; // prettier-ignore
    const opened = async (isImported: boolean): Promise<Page> => {
      room.server.shelves.set(PATH, {
        ...record,
        alarms: [{ alarm: isImported ? { ...alarm, isImported } : alarm, journal: [] }],
        entries: [{ ...entry, body: isImported ? { ...photograph, isElsewhere: true } : photograph }],
      });
      const page = await room.opened({}, '/#run/north-bench/7/3');
      await page.getByRole('button', { name: /^Story of the alarm/ }).click();
      await page.getByRole('dialog').waitFor();
      return page;
    };
    const own = await opened(false);
    expect(
      await own
        .getByRole('dialog')
        .getByRole('button', { name: /^Acknowledge/ })
        .count(),
    ).toBe(1);
    expect(await own.locator('.photograph img').count()).toBe(1);
    const page = await opened(true);
    const dialog = page.getByRole('dialog');
    await dialog.getByText('from a file, as it was when that was written').waitFor();
    expect(await dialog.getByRole('button', { name: /^Acknowledge/ }).count()).toBe(0);
    await shot(page, 'imported-alarm');
    await dialog.getByRole('button', { name: 'Close' }).click();
    await page.getByText('Photograph, which stayed where the run was made: the <b>hooks</b>').waitFor();
    expect(await page.locator('.photograph img').count()).toBe(0);
    expect(await overflowingElements(page)).toEqual([]);
    await shot(page, 'imported-record');
  });

  test('is refused with its line and reason, and the form stays as it was', async () => {
    const problem = 'records.csv, line 17: secondsCovered: expected a whole number, got "one".';
    room.server.answer = () => ({ status: 422, body: { error: 'night.zip was not imported, and nothing was changed.', problems: [problem] } }); // prettier-ignore
    const page = await room.opened({}, '/#logbook');
    await withForm(page);
    await page.locator('input[type=file]').setInputFiles({ name: 'night.zip', mimeType: 'application/zip', buffer: Buffer.from('x') }); // prettier-ignore
    await page.getByLabel('Your name').fill('Mara');
    await page.getByRole('button', { name: 'Bring it in' }).click();
    await page.getByRole('alert').getByText(problem).waitFor();
    await page.getByText('night.zip was not imported, and nothing was changed.').waitFor();
    expect(await page.getByRole('button', { name: 'Bring it in' }).isEnabled()).toBe(true);
  });

  test('its form looks right on a phone and on a wide screen, by day and by night, and each control has a name', async () => {
    for (const [name, size] of Object.entries({ phone: PHONE, wide: WIDE }))
      for (const look of ['light', 'dark'] as const) {
        const page = await room.opened({ size, look, isStill: true }, '/#logbook');
        await withForm(page);
        await shot(page, `import-run-${name}-${look}`);
        expect(await overflowingElements(page)).toEqual([]);
        expect(await contrastFaults(page)).toEqual([]);
        expect(await smallTargets(page)).toEqual([]);
        expect((await controlsHeard(page)).faults).toEqual([]);
        await page.context().close();
      }
  });
});

test('the room of a run with its sheet and files looks right, and each control has a name', async () => {
  await room.looksRight('run-files', '/#run/north-bench/7/3', (page) => page.getByRole('link', { name: 'Sheet as PDF' }).waitFor()); // prettier-ignore
  const page = await room.opened({}, '/#run/north-bench/7/3');
  await page.getByRole('link', { name: 'Sheet as PDF' }).waitFor();
  expect((await controlsHeard(page)).faults).toEqual([]);
});
