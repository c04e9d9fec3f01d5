/* Whoever chose imperial units meets no metric figure: alarms, notices, checks, bring-up, reminders and rehearsals are written in metric by whoever does not know the reader. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import type { LeaveAloneView } from '@bathkeeper/shared-core/messages';
import { cannedController, cannedSnapshot, NIGHT_MS, stalled } from './canned-night.js';
import { pageRoom } from './page-room.js';
import { typedPlate } from './planned-plate.js';

const room = pageRoom();

/** A figure with a metric unit that has an imperial one; cables (mm²) are sold in metric everywhere. */
const METRIC = /\d\s?(?:°C|µm|mm|cm|dm²|A\/dm²|mL|L|g|kg|g\/L)(?![\p{L}\p{N}²³/])/gu;

/** Everything that is read or heard, without names, which stand in quotation marks or are the bath's own. */
async function metricFigures(page: Page): Promise<string[]> {
  const words = await page.evaluate(() => {
    const labels = [...document.querySelectorAll('[aria-label], [aria-valuetext], [placeholder]')].flatMap((element) =>
      ['aria-label', 'aria-valuetext', 'placeholder'].map((name) => element.getAttribute(name) ?? ''),
    );
    return [document.body.innerText, ...labels].join('\n');
  });
  return words.replaceAll('Copper 60 L', '').match(METRIC) ?? [];
}

async function inImperial(page: Page): Promise<void> {
  await page.getByLabel('Units').selectOption('Imperial');
}

const warm = {
  ...stalled,
  alarmId: 31,
  name: 'temperature-drifting',
  title: 'The bath temperature drifts towards its limit: 30.0 °C about 03:40',
  detail: 'The bath warms: 28.2 °C, 27.0 °C before. It will reach 30.0 °C about 03:40.',
  checkFirst: 'Ease the current while it is above 28 °C. Then look again below 27 °C.',
} as const;

test('at the bath: alarms with their titles and first steps, notices, and what the ledger wants', async () => {
  const late = { ...warm, alarmId: 32, state: 'normal', returnedAtMs: NIGHT_MS } as const;
  room.server.snapshot = { ...cannedSnapshot({ alarms: [warm, late] }), notices: ['It is 35.5 °C in the room.'] };
  room.server.shelves.set('/api/controllers/north-bench/ledger-reminders', [
    { bathId: 1, words: '“Copper 60 L” wants brightener: 300 Ah since the last dose have used up 90 mL.' },
  ]);
  const page = await room.opened();
  await page.getByText('have used up 90 mL').waitFor();
  expect((await metricFigures(page)).length).toBeGreaterThan(5);
  await inImperial(page);
  await page
    .getByText('“Copper 60 L” wants brightener: 300 Ah since the last dose have used up 3.04 US fl oz.')
    .waitFor();
  await page.getByRole('heading', { name: 'Ease the current while it is above 82.4 °F.' }).waitFor();
  await page.getByText('It is 95.9 °F in the room.').waitFor();
  await page.getByText('Earlier alarms (1)').click();
  expect(await metricFigures(page)).toEqual([]);
  await page.getByRole('button', { name: /^Story of the alarm.* 86 °F about 03:40/ }).click();
  await page.getByRole('dialog').getByText('28.2').waitFor({ state: 'detached' });
  expect(await metricFigures(page)).toEqual([]);
});

test('in the leave-alone check and in bring-up', async () => {
  const check: LeaveAloneView = {
    controllerId: 'north-bench',
    checkedAtMs: NIGHT_MS,
    plannedFinishAtMs: null,
    items: [{ name: 'rig-limits', state: 'good', words: 'The controller trips at 40 °C.' }],
  };
  room.server.shelves.set('/api/controllers/north-bench/leave-alone', check);
  const page = await room.opened({}, '/#leave-alone/north-bench');
  await inImperial(page);
  await page.getByText('The controller trips at 104 °F.').waitFor();
  expect(await metricFigures(page)).toEqual([]);
  await page.goto(`${room.server.address}/#bring-up/north-bench`);
  await page.getByText('°F in the bath').first().waitFor();
  expect(await metricFigures(page)).toEqual([]);
});

test('in a rehearsal, from the rig to what the controller told', async () => {
  const page = await room.opened({}, '/#part');
  await inImperial(page);
  await typedPlate(page, '1');
  room.server.shelves.set('/api/rehearsal', { choices: [], newest: null });
  await page.goto(`${room.server.address}/#rehearsal`);
  await page.getByRole('option', { name: 'a new rig: 35 A, 104 °F, 14 h' }).waitFor({ state: 'attached' });
  expect(await metricFigures(page)).toEqual([]);
});

test('in a refusal of the dashboard', async () => {
  room.server.answer = () => ({
    status: 409,
    body: { error: 'This rig trips at 40 °C.', problems: ['“3 mm” is 3 mm.'] },
  });
  room.server.snapshot = cannedSnapshot({ controllers: [cannedController({ isSimulated: true })] });
  const page = await room.opened();
  await inImperial(page);
  await page.getByRole('button', { name: 'Press start' }).click();
  await page.getByText('This rig trips at 104 °F.').waitFor();
  await page.getByText('“3 mm” is 0.118 in.').waitFor();
});
