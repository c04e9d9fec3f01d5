/* Two runs laid over each other in a real browser: chosen from the record of one, by start and by charge, read side by side. */
import type { Series } from '@bathkeeper/shared-core/messages';
import type { RunRecord } from '@bathkeeper/shared-core/trade';
import { beforeEach, expect, test } from 'vitest';
import { aRecord, ENDED_MS, STARTED_MS } from '../shared-core/trade/run-record/a-record.js';
import { aSeries, type Logged } from '../dashboard/page/charts/a-series.js';
import { WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';
import { controlsHeard } from './unnamed-controls.js';

const room = pageRoom();
const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const [FIRST, SECOND] = ['/api/runs/north-bench/7/3', '/api/runs/north-bench/7/2'];
const ADDRESS = '/#compare/north-bench/7/3/north-bench/7/2';

/** The night before at half the current, for as long. */
const earlier = (): RunRecord => {
  const record = aRecord({
    run: 2,
    startedAtMs: STARTED_MS - DAY,
    endedAtMs: ENDED_MS - DAY,
    lastedUntilMs: ENDED_MS - DAY,
  });
  return { ...record, measures: { ...record.measures, chargeAmpereHours: 77.4 } };
};
const windows: { from: number; to: number }[] = [];
function series(query: URLSearchParams): Series {
  const [from, to] = [Number(query.get('fromMs')), Number(query.get('toMs'))];
  windows.push({ from, to });
  const isFirst = from >= STARTED_MS - HOUR;
  const began = isFirst ? STARTED_MS : STARTED_MS - DAY;
  const amps = isFirst ? 18 : 9;
  const bucketMs = 60_000;
  const logged: Logged[] = [];
  for (let startMs = Math.floor(from / bucketMs) * bucketMs; startMs < to; startMs += bucketMs) {
    const hours = (startMs + bucketMs - began) / HOUR;
    if (hours > 0 && hours <= 8.6)
      logged.push({ startMs, run: isFirst ? 3 : 2, mean: amps, ampereHours: amps * hours });
  }
  return { ...aSeries(bucketMs, logged), fromMs: from, toMs: to };
}

beforeEach(() => {
  windows.length = 0;
  room.server.shelves.set('/api/series', series);
  room.server.shelves.set(FIRST, aRecord());
  room.server.shelves.set(SECOND, earlier());
});

test('another run is chosen in the record of one, and both are laid over each other from their start', async () => {
  const listed = {
    controllerId: 'north-bench',
    incarnation: 7,
    bathName: 'Copper 60 L',
    isSimulated: false,
    partName: 'The back leaf',
    startedAtMs: STARTED_MS,
  } as const;
  room.server.shelves.set('/api/runs', [
    { ...listed, run: 3 },
    { ...listed, run: 2, startedAtMs: STARTED_MS - DAY },
  ] as unknown);
  const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
  await page.getByRole('button', { name: 'Lay another run over it…' }).click();
  const choice = page.getByLabel('Lay over it');
  await eventually(() => choice.getByRole('option').count()).toBe(2);
  await choice.selectOption({ label: 'The back leaf, Sun 8 Feb 2026, 22:04, Copper 60 L' });
  await page.getByRole('heading', { level: 1, name: 'Two runs' }).waitFor();
  expect(page.url()).toContain('#compare/north-bench/7/3/north-bench/7/2');
  await page
    .getByRole('img', {
      name: /^Fluted bell lampshade, Mon 9 Feb 2026 in ink and Fluted bell lampshade, Sun 8 Feb 2026 in copper, from 0\ss to 8\sh 36\smin after the start/,
    })
    .waitFor();
  await eventually(() => windows.slice(-2).sort((one, other) => one.from - other.from)).toEqual([
    { from: STARTED_MS - DAY, to: ENDED_MS - DAY },
    { from: STARTED_MS, to: ENDED_MS },
  ]);
});

test('both are read side by side, by start and by charge', async () => {
  const page = await room.opened({ size: WIDE }, ADDRESS);
  const canvas = page.locator('.chart-canvas canvas');
  await page.getByRole('img', { name: /after the start/ }).waitFor();
  await eventually(() => windows.length).toBeGreaterThan(1);
  const box = (await canvas.boundingBox())!;
  const point = (share: number) => page.mouse.click(box.x + 40 + (box.width - 48) * share, box.y + 100);
  const row = async (label: string): Promise<string[]> =>
    (await page.getByRole('row', { name: label }).getByRole('cell').allInnerTexts()).map((text) =>
      text.replaceAll('\u00a0', ' '),
    );
  await point(0.5);
  await page.getByText(/^4\sh 18\smin after the start|^04:1[78]:\d\d after the start/).waitFor();
  // The minute that ends 4 h 19 min after the start: at 18 A and at 9 A.
  await eventually(async () =>
    (await row('Charge of the run')).map((text) => Math.round(Number.parseFloat(text))),
  ).toEqual([78, 39]);
  await page.getByRole('button', { name: 'By charge' }).click();
  await page.getByRole('img', { name: /from 0\sAh to 154\.2\sAh of charge/ }).waitFor();
  await eventually(() => windows.length).toBeGreaterThan(5);
  await point(0.25);
  // A quarter of 154.2 Ah, to the nearest minute of each: 0.3 Ah of the first, 0.15 Ah of the second.
  const away = async (): Promise<number[]> =>
    (await row('Charge of the run')).map((text) => Math.abs(Number.parseFloat(text) - 154.2 / 4));
  await eventually(async () => Math.max(...(await away()))).toBeLessThan(0.35);
  // Beyond what the second run had: it is not there, and said not to be.
  await point(0.75);
  await eventually(async () => (await row('Charge of the run'))[1]).toBe('not logged');
});

test('a run of which nothing was logged, and a run beside itself, are told of in words and not drawn as an empty chart', async () => {
  const empty = { ...earlier().measures, recordedSeconds: 0, chargeAmpereHours: 0 };
  room.server.shelves.set(SECOND, { ...earlier(), measures: empty });
  const page = await room.opened({}, ADDRESS);
  await page.getByText('Of Fluted bell lampshade, Sun 8 Feb 2026 nothing was logged: it has no line here.').waitFor();
  // The other one has its lines all the same.
  await page.getByRole('img', { name: /after the start/ }).waitFor();
  const same = await room.opened({}, '/#compare/north-bench/7/3/north-bench/7/3');
  await same.getByText('Both are one run, and it would lie on itself.').waitFor();
  expect(await same.locator('.chart-canvas').count()).toBe(0);
});

test('a run that is not there is refused in words', async () => {
  room.server.shelves.delete(SECOND);
  const page = await room.opened({}, ADDRESS);
  await page.getByText('The fixture has nothing there.').waitFor();
  await page.getByRole('link', { name: 'Back to the logbook' }).waitFor();
});

test('looks right on a phone and on a wide screen, by day and by night, and has a name for every control', async () => {
  await room.looksRight('compare', ADDRESS, async (page) => {
    await page.getByRole('button', { name: 'By charge' }).click();
    await page.getByRole('img', { name: /of charge/ }).waitFor();
    const box = (await page.locator('.chart-canvas canvas').boundingBox())!;
    await page.mouse.click(box.x + box.width * 0.3, box.y + 80);
    await page.getByRole('row', { name: 'Resistance' }).waitFor();
  });
  const page = await room.opened({}, ADDRESS);
  await page.getByRole('slider', { name: 'Place to read' }).waitFor();
  const heard = await controlsHeard(page);
  expect(heard.faults).toEqual([]);
  expect(heard.count).toBeGreaterThan(15);
});
