/* The charts in a real browser: asked for what is seen, moved by wheel, drag, pinch, keys and buttons, read by pointing and by keys; gaps and spikes as they are drawn. */
import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { alarmTitle } from '../../dashboard/page/words/alarm-titles.js';
import { cannedMarks } from './canned-marks.js';
import { NIGHT_MS } from './canned-night.js';
import { cannedSeries, GAP_MS, SPIKE_MS } from './canned-series.js';
import { PHONE, WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();
const HOUR = 3_600_000;
const DAY = 24 * HOUR;

beforeEach(() => {
  room.server.shelves.set('/api/series', cannedSeries);
  room.server.shelves.set('/api/series/marks', cannedMarks);
});

interface Window {
  readonly from: number;
  readonly to: number;
  readonly points: number;
}
const windows = (): Window[] =>
  room.server.read
    .filter((path) => path.startsWith('/api/series?'))
    .map((path) => new URLSearchParams(path.slice('/api/series?'.length)))
    .map((query) => ({
      from: Number(query.get('fromMs')),
      to: Number(query.get('toMs')),
      points: Number(query.get('points')),
    }));
const newest = (): Window => windows().at(-1)!;
const lengthHours = (): number => (newest().to - newest().from) / HOUR;
const address = (from: number, to: number): string => `/#charts/north-bench/${String(from)}/${String(to)}`;
const canvas = (page: Page) => page.locator('.chart-canvas canvas');
const ready = (page: Page) => page.getByRole('img', { name: /a point every|nothing was logged/ }).waitFor();

async function opened(from: number, to: number, size = WIDE): Promise<Page> {
  const page = await room.opened({ size }, address(from, to));
  await ready(page);
  return page;
}

/** How many of a column of the canvas's pixels are inked: what stands at a share of the lanes, in the lane of the current. */
function inked(page: Page, share: number, heights: readonly [number, number]): Promise<number> {
  return canvas(page).evaluate(
    (element: HTMLCanvasElement, [across, [top, bottom]]) => {
      const scale = element.width / element.clientWidth;
      const x = Math.round((40 + across * (element.clientWidth - 48)) * scale);
      const from = Math.round(top * element.height);
      const column = element.getContext('2d')!.getImageData(x - 1, from, 3, Math.round((bottom - top) * element.height));
      let count = 0;
      // Ink of day on paper that shines through: dark and not faint. Rules of the grid are paler.
      for (let k = 0; k < column.data.length; k += 4) if (column.data[k + 3]! > 60 && column.data[k]! < 90) count++;
      return count;
    },
    [share, heights] as const,
  ); // prettier-ignore
}

describe('what is asked', () => {
  test('is the last day at first, about a point for each pixel, and then the year and ten minutes', async () => {
    const page = await room.opened({ size: WIDE });
    await page.getByRole('link', { name: 'Charts of what was logged' }).click();
    await page.getByRole('heading', { level: 1, name: 'Charts: Copper 60 L' }).waitFor();
    await ready(page);
    expect(lengthHours()).toBeCloseTo(24, 1);
    expect(windows().every(({ points }) => points > 500)).toBe(true);
    const wide = await canvas(page).evaluate((element) => element.clientWidth);
    expect(newest().points).toBeGreaterThan(wide * 0.9);
    expect(newest().points).toBeLessThan(wide * 1.1);
    await page.getByRole('button', { name: 'Year' }).click();
    await eventually(lengthHours).toBeCloseTo(366 * 24, 0);
    await page.getByRole('button', { name: '10 minutes' }).click();
    await eventually(lengthHours).toBeCloseTo(1 / 6, 3);
  });

  test('follows the address, and the address follows the hand', async () => {
    const page = await opened(NIGHT_MS - 8 * HOUR, NIGHT_MS - 6 * HOUR);
    expect(newest()).toMatchObject({ from: NIGHT_MS - 8 * HOUR, to: NIGHT_MS - 6 * HOUR });
    await page.getByRole('button', { name: 'Closer' }).click();
    await eventually(() => page.url()).toContain(
      `#charts/north-bench/${String(NIGHT_MS - 7.5 * HOUR)}/${String(NIGHT_MS - 6.5 * HOUR)}`,
    );
  });

  test('is one question at a time, and what is shown stays meanwhile', async () => {
    const page = await opened(NIGHT_MS - 26 * HOUR, NIGHT_MS - 24 * HOUR);
    const held: (() => void)[] = [];
    await page.route('**/api/series?*', async (route) => {
      await new Promise<void>((resolve) => held.push(resolve));
      await route.continue();
    });
    const closer = page.getByRole('button', { name: 'Closer' });
    for (let k = 0; k < 5; k++) await closer.click();
    await eventually(() => held.length).toBe(1);
    expect(await inked(page, 0.5, [0, 0.35])).toBeGreaterThan(0);
    held[0]!();
    await eventually(() => held.length).toBe(2);
    held[1]!();
    // Two hours, five times closer: the four in between were never asked for.
    await eventually(lengthHours).toBeCloseTo(2 / 32, 3);
    await page.unrouteAll({ behavior: 'ignoreErrors' });
  });

  test('that is refused is said, and what was shown stays', async () => {
    const page = await opened(NIGHT_MS - 8 * HOUR, NIGHT_MS - 6 * HOUR);
    room.server.shelves.delete('/api/series');
    await page.getByRole('button', { name: 'Earlier' }).click();
    await page.getByRole('alert').getByText('The fixture has nothing there.').waitFor();
  });
});

describe('a hand', () => {
  test('zooms with the wheel about the place under it, down to ten seconds and no closer', async () => {
    const page = await opened(NIGHT_MS - 8 * HOUR, NIGHT_MS - 6 * HOUR);
    const box = (await canvas(page).boundingBox())!;
    await page.mouse.move(box.x + 40 + (box.width - 48) * 0.25, box.y + 100);
    await page.mouse.wheel(0, -300);
    await eventually(lengthHours).toBeLessThan(1.5);
    const { from, to } = newest();
    // A quarter into the two hours is what stays.
    expect(from + 0.25 * (to - from)).toBeCloseTo(NIGHT_MS - 7.5 * HOUR, -4);
    for (let k = 0; k < 12; k++) await page.mouse.wheel(0, -500);
    await eventually(() => newest().to - newest().from).toBeLessThanOrEqual(10_001);
    await page.getByText('Nothing was logged here.').waitFor({ state: 'detached' });
  });

  test('pans by dragging, and leaves a click to reading', async () => {
    const page = await opened(NIGHT_MS - 9 * HOUR, NIGHT_MS - 7 * HOUR);
    const box = (await canvas(page).boundingBox())!;
    const middle = box.x + 40 + (box.width - 48) / 2;
    await page.mouse.click(middle, box.y + 100);
    await page.getByText('Cell voltage', { exact: true }).first().waitFor();
    await page.mouse.move(middle, box.y + 100);
    await page.mouse.down();
    await page.mouse.move(middle + (box.width - 48) / 4, box.y + 100, { steps: 4 });
    await page.mouse.up();
    await eventually(() => newest().from).toBeCloseTo(NIGHT_MS - 9.5 * HOUR, -5);
    expect(lengthHours()).toBeCloseTo(2, 3);
  });

  test('pinches with two fingers, and a finger that moves up scrolls the page', async () => {
    const page = await opened(NIGHT_MS - 8 * HOUR, NIGHT_MS - 6 * HOUR, PHONE);
    const line = await page.context().newCDPSession(page);
    const box = (await canvas(page).boundingBox())!;
    const at = (share: number, id: number) => ({ x: box.x + 40 + (box.width - 48) * share, y: box.y + 120, id });
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', points: object[]) =>
      line.send('Input.dispatchTouchEvent', { type, touchPoints: points as never });
    await touch('touchStart', [at(0.4, 0)]);
    await touch('touchStart', [at(0.4, 0), at(0.6, 1)]);
    await touch('touchMove', [at(0.3, 0), at(0.7, 1)]);
    await touch('touchMove', [at(0.1, 0), at(0.9, 1)]);
    await touch('touchEnd', []);
    await eventually(lengthHours).toBeCloseTo(0.5, 1);
    expect((newest().from + newest().to) / 2).toBeCloseTo(NIGHT_MS - 7 * HOUR, -6);
    expect(await canvas(page).evaluate((element) => getComputedStyle(element).touchAction)).toBe('pan-y');
  });

  test('needs no pointer: keys move the moment that is read, and what is looked at', async () => {
    const page = await opened(NIGHT_MS - 8 * HOUR, NIGHT_MS - 6 * HOUR);
    const slider = page.getByRole('slider', { name: 'Moment to read' });
    await slider.focus();
    await page.keyboard.press('Home');
    await page.getByText('Mon 9 Feb, 18:04:00').first().waitFor();
    await page.keyboard.press('ArrowRight');
    expect(await slider.getAttribute('aria-valuetext')).toMatch(/^Mon 9 Feb, 18:04:0/);
    await page.keyboard.press('+');
    await eventually(lengthHours).toBeCloseTo(1, 3);
    await page.keyboard.press('-');
    await eventually(lengthHours).toBeCloseTo(2, 3);
    const { from } = newest();
    await page.keyboard.press('Shift+ArrowLeft');
    await eventually(() => newest().from).toBeCloseTo(from - HOUR, -3);
  });
});

describe('what is drawn', () => {
  test('shows a second of 47 A in a year, and has the value in words', async () => {
    const page = await opened(NIGHT_MS - 365 * DAY, NIGHT_MS);
    const share = 165 / 365;
    // Nothing else reaches into the upper half of the lane, below its name.
    expect(await inked(page, share, [0.06, 0.12])).toBeGreaterThan(5);
    expect(await inked(page, share + 0.02, [0.06, 0.12])).toBe(0);
    const box = (await canvas(page).boundingBox())!;
    await page.mouse.move(box.x + 40 + (box.width - 48) * share, box.y + 60);
    await page.getByText(/to 47\.1\sA\)/).first().waitFor();
    await page.getByText(/to 5\.60\sV\)/).first().waitFor();
    expect(await page.getByRole('img', { name: /to 47\.1\sA/ }).count()).toBe(1);
  }); // prettier-ignore

  test('draws nothing across two hours in which nothing was logged', async () => {
    const page = await opened(NIGHT_MS - 4 * HOUR, NIGHT_MS);
    const shareOf = (at: number): number => (at - (NIGHT_MS - 4 * HOUR)) / (4 * HOUR);
    for (const at of [GAP_MS.from + HOUR / 2, GAP_MS.from + 0.8 * HOUR, GAP_MS.to - HOUR / 3])
      expect(await inked(page, shareOf(at), [0.08, 0.3])).toBe(0);
    expect(await inked(page, shareOf(GAP_MS.to + HOUR / 2), [0.05, 0.33])).toBeGreaterThan(0);
    const box = (await canvas(page).boundingBox())!;
    await page.mouse.move(box.x + 40 + (box.width - 48) * shareOf(GAP_MS.from + HOUR), box.y + 60);
    await page.getByText('Drag to move').waitFor();
  });

  test('is a table as well', async () => {
    const page = await opened(NIGHT_MS - 9 * HOUR, NIGHT_MS - 7 * HOUR);
    await page.getByText('What is seen as a table').click();
    expect(await page.getByRole('row').count()).toBe(13);
    await page.getByRole('columnheader', { name: 'Resistance' }).waitFor();
  });

  test('is fetched with its room only', async () => {
    const page = await room.opened();
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    expect(windows()).toEqual([]);
  });
});

describe('what happened meanwhile', () => {
  test('is marked at its moment, and each mark opens its story', async () => {
    const page = await opened(NIGHT_MS - 4 * HOUR, NIGHT_MS);
    const title = alarmTitle['current-off-permitted'];
    const marks = page.getByRole('group', { name: 'Alarms, notes and weighings on the axis' });
    const alarm = marks.getByRole('button', { name: `Alarm, Mon 9 Feb, 23:04: ${title}` });
    const [mark, lanes] = [(await alarm.boundingBox())!, (await canvas(page).boundingBox())!];
    // A quarter of the four hours.
    expect(mark.x + mark.width / 2 - lanes.x - 40).toBeCloseTo((lanes.width - 48) / 4, -0.5);
    await alarm.click();
    await page.getByRole('dialog', { name: `Story of the alarm: ${title}` }).waitFor();
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    await marks.getByRole('button', { name: 'Note by Robin, Tue 10 Feb, 00:04' }).click();
    await page.getByRole('dialog', { name: '1 note' }).getByText('The belt <b>slipped</b>.').waitFor();
    expect(await page.getByRole('link', { name: 'The record of run 3' }).getAttribute('href')).toBe(
      '#run/north-bench/7/3',
    );
  });

  test('is a weighing too, with what the balance said', async () => {
    const page = await opened(NIGHT_MS - 4 * HOUR, NIGHT_MS);
    await page.getByRole('button', { name: 'Weighed before the run by Robin, Mon 9 Feb, 22:10' }).click();
    const dialog = page.getByRole('dialog', { name: '1 weighing' });
    await dialog.getByText('Weighed before the run: 812.4 g, right within 0.1 g.').waitFor();
    await dialog.getByText('With both wires.').waitFor();
  });

  test('is one mark where a finger could not tell it apart, and none where nothing happened', async () => {
    const page = await opened(NIGHT_MS - 60 * DAY, NIGHT_MS);
    await page.getByRole('button', { name: '2 alarms, 1 note and 1 weighing from Mon 9 Feb, 22:10' }).click();
    const dialog = page.getByRole('dialog', { name: '2 alarms, 1 note and 1 weighing' });
    await dialog.getByText('The belt <b>slipped</b>.').waitFor();
    expect(await dialog.getByRole('article').count()).toBe(4);
    await page.getByRole('button', { name: 'Close', exact: true }).click();
    const before = await opened(NIGHT_MS - 9 * HOUR, NIGHT_MS - 7 * HOUR);
    expect(await before.locator('.band-mark').count()).toBe(0);
  });
});

test('looks right on a phone and on a wide screen, by day and by night', async () => {
  await room.looksRight('charts', address(NIGHT_MS - 30 * HOUR, NIGHT_MS), async (page) => {
    await ready(page);
    const box = (await canvas(page).boundingBox())!;
    await page.mouse.click(box.x + box.width * 0.7, box.y + 100);
    await page.locator('.chart-when').waitFor();
  });
  await room.looksRight('charts-year', address(SPIKE_MS - 165 * DAY, NIGHT_MS), ready);
});
