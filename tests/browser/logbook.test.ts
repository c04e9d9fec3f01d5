/* The logbook in a real browser: the list of runs, and one run with its figures, its story and its alarms. */
import { type DeletedRun, runCost, type RunListEntry, type RunRecord } from '@bathkeeper/shared-core/trade';
import { beforeEach, describe, expect, test } from 'vitest';
import { aRecord, ENDED_MS, STARTED_MS } from '../shared-core/trade/run-record/a-record.js';
import { cannedMarks } from './canned-marks.js';
import { cannedSeries } from './canned-series.js';
import { WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();
const HOUR = 3_600_000;
const PATH = '/api/runs/north-bench/7/3';

const listed = (run: number, change: Partial<RunListEntry> = {}): RunListEntry => ({
  controllerId: 'north-bench',
  incarnation: 7,
  run,
  bathName: 'Copper 60 L',
  isSimulated: false,
  partName: 'Fluted bell lampshade',
  startedAtMs: STARTED_MS,
  endedAtMs: ENDED_MS,
  endedBecause: 'the charge was reached',
  chargeAmpereHours: 154.2,
  askedChargeAmpereHours: 154.2,
  averageThicknessMicrometres: 170.1,
  alarmCount: 2,
  goesOn: false,
  ...change,
});

const costed = runCost({
  run: aRecord(),
  bath: { bathId: 1, entries: [] },
  stock: {
    entries: [{ entryId: 1, atMs: STARTED_MS - HOUR, writtenAtMs: 0, who: 'Kim', note: '', body: { kind: 'bought', of: 'brightener', amount: 5000, price: 100 }, undone: null }],
    uses: [{ bathId: 1, of: 'brightener', amount: 90, atMs: ENDED_MS }, { bathId: 1, of: 'water', amount: 3000, atMs: ENDED_MS }],
  },
}); // prettier-ignore

const aDeleted: DeletedRun = {
  controllerId: 'north-bench',
  incarnation: 7,
  run: 9,
  bathName: 'Copper 60 L',
  partName: 'The back leaf',
  startedAtMs: STARTED_MS,
  deleted: { atMs: ENDED_MS, who: 'Ola', goneAtMs: ENDED_MS + 30 * 86_400_000 },
};

let record: RunRecord;
let runs: RunListEntry[];
let deleted: DeletedRun[];
beforeEach(() => {
  deleted = [];
  record = aRecord();
  runs = [
    listed(4, {
      startedAtMs: ENDED_MS + 3_600_000,
      endedAtMs: null,
      endedBecause: null,
      isSimulated: true,
      alarmCount: 0,
    }),
    listed(3),
    listed(2, { partName: null, averageThicknessMicrometres: null, alarmCount: 1 }),
  ];
  room.server.shelves.set('/api/runs', (): RunListEntry[] => runs);
  room.server.shelves.set('/api/series', cannedSeries);
  room.server.shelves.set('/api/series/marks', cannedMarks);
  room.server.shelves.set(PATH, (): RunRecord => record);
  room.server.shelves.set('/api/deleted-runs', (): DeletedRun[] => deleted);
});

describe('the list of runs', () => {
  test('says of a run under way that it goes on', async () => {
    runs = [listed(4, { endedAtMs: null, endedBecause: null, goesOn: true })];
    const page = await room.opened({ size: WIDE }, '/#logbook');
    await page.getByText(/2 alarms\. It goes on\.$/).waitFor();
  });

  test('says of each what it gave and how it ended, and leads to it', async () => {
    const page = await room.opened({ size: WIDE });
    await page.getByRole('link', { name: 'Logbook' }).click();
    await page
      .getByText('Copper 60 L, 8 h 36 min, 154 Ah, 170 µm on average, 2 alarms. Ended because the charge was reached.')
      .waitFor();
    await page
      .getByText('Copper 60 L (simulated), 154 Ah, 170 µm on average, no alarm. Its end was not told.')
      .waitFor();
    await page.getByRole('link', { name: /^Run 2/ }).waitFor();
    await page.getByRole('link', { name: /^Fluted bell lampshade.*Mon 9 Feb 2026/ }).click();
    await page.getByRole('heading', { level: 1, name: 'Fluted bell lampshade' }).waitFor();
  });

  test('fetches earlier runs when asked', async () => {
    runs = Array.from({ length: 50 }, (_, index) =>
      listed(99 - index, { startedAtMs: STARTED_MS - index * 86_400_000 }),
    );
    const page = await room.opened({}, '/#logbook');
    const earlier = page.getByRole('button', { name: 'Show earlier runs' });
    await earlier.waitFor();
    runs = [listed(1, { partName: 'The first leaf', startedAtMs: STARTED_MS - 99 * 86_400_000 })];
    await earlier.click();
    await page.getByText('The first leaf').waitFor();
    expect(room.server.read.at(-1)).toBe(`/api/runs?count=50&before=${String(STARTED_MS - 49 * 86_400_000)}`);
    expect(await earlier.count()).toBe(0);
  });

  test('says so when there is none', async () => {
    runs = [];
    const page = await room.opened({}, '/#logbook');
    await page.getByText('No run yet. The first one appears here with the press at the bath.').waitFor();
  });

  test('has below it what was deleted, with who and until when, and brings it back', async () => {
    deleted = [aDeleted];
    room.server.answer = ({ path }) => {
      if (path !== '/api/runs/north-bench/7/9/bring-back') return undefined;
      [deleted, runs] = [[], [listed(9, { partName: 'The back leaf' }), ...runs]];
      return { body: {} };
    };
    const page = await room.opened({ size: WIDE }, '/#logbook');
    await page
      .getByText('Copper 60 L. Deleted by Ola, Tue 10 Feb 2026; can be brought back until Thu 12 Mar 2026.')
      .waitFor();
    await page.getByRole('button', { name: 'Bring back The back leaf, Mon 9 Feb 2026, 22:04' }).click();
    await page.getByRole('link', { name: /^The back leaf/ }).waitFor();
    expect(await page.getByRole('heading', { name: 'Deleted runs' }).count()).toBe(0);
  });

  test('looks right on a phone and on a wide screen, by day and by night', async () => {
    deleted = [aDeleted, { ...aDeleted, run: 10, partName: null }];
    await room.looksRight('logbook', '/#logbook', (page) => page.getByRole('link', { name: /^Run 2/ }).waitFor());
  });
});

describe('one run', () => {
  test('tells its figures, what happened, and the story of an alarm', async () => {
    const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
    await page.getByText('154.2 Ah of 154.2 Ah asked').waitFor();
    await page.getByText('17.9 A on average, 0.1 to 21.2 A').waitFor();
    await page.getByText('2210 Ah, 37.8 Ah/L').waitFor();
    const ledger = page.getByRole('link', { name: 'The ledger of this bath' });
    expect(await ledger.getAttribute('href')).toBe('#ledger/4');
    await page.getByText(/Without current for 80\ss, until Tue 01:05\. Long enough/).waitFor();
    await page.getByRole('button', { name: 'Story of the alarm: Rotation stopped' }).click();
    await page
      .getByRole('dialog')
      .getByText(/No pulse for 23 s/)
      .waitFor();
  });

  test('has what was logged of it from start to end, with its marks, and the whole again after a closer look', async () => {
    const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
    const asked = (): number[] => {
      const query = new URLSearchParams(
        room.server.read.findLast((path) => path.startsWith('/api/series?'))?.split('?')[1],
      );
      return [Number(query.get('fromMs')), Number(query.get('toMs'))];
    };
    await page.getByRole('img', { name: /^From Mon 9 Feb, 21:53:40 to Tue 10 Feb, 06:50:19, a point every/ }).waitFor();
    const air = (ENDED_MS - STARTED_MS) * 0.02;
    expect(asked()).toEqual([STARTED_MS - air, ENDED_MS + air]);
    await page.getByRole('button', { name: 'Note by Robin, Tue 10 Feb, 00:04' }).waitFor();
    await page.getByRole('button', { name: 'Closer' }).click();
    await eventually(() => asked()[0]).toBeGreaterThan(STARTED_MS + HOUR);
    await page.getByRole('button', { name: 'The whole run' }).click();
    await eventually(asked).toEqual([STARTED_MS - air, ENDED_MS + air]);
    await page.getByRole('link', { name: 'The same in the charts of the bath' }).click();
    await page.getByRole('heading', { level: 1, name: 'Charts: Copper 60 L' }).waitFor();
  });

  test('is deleted after asking, by somebody, and not while it goes on', async () => {
    room.server.answer = () => ({ body: {} });
    const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
    const asks = page.getByRole('button', { name: 'Delete this run…' });
    await asks.click();
    await page.getByText('can be brought back from there for 30 days', { exact: false }).waitFor();
    await page.getByRole('button', { name: 'Leave it' }).click();
    await asks.click();
    await page.getByRole('button', { name: 'Delete it' }).click();
    await page.getByText('Who did it? It stands with the entry.').waitFor();
    expect(room.server.asked).toEqual([]);
    await page.getByLabel('Your name').fill('Robin');
    await page.getByRole('button', { name: 'Delete it' }).click();
    await page.getByRole('heading', { level: 1, name: 'Logbook' }).waitFor();
    expect(room.server.asked).toEqual([{ method: 'POST', path: `${PATH}/delete`, body: { who: 'Robin' } }]);
    record = { ...record, goesOn: true, endedAtMs: null };
    await page.goto(`${room.server.address}/#run/north-bench/7/3`);
    await page.getByRole('button', { name: 'Write a note' }).waitFor();
    expect(await asks.count()).toBe(0);
  });

  test('says what it used up and what that cost, each figure with its formula, and where nothing has a price how it gets one', async () => {
    const page = await room.opened({ size: WIDE }, '/#run/north-bench/7/3');
    const used = page.locator('section').filter({ has: page.getByRole('heading', { name: 'What it used up' }) });
    await used.getByText('not known: no price of it was written down.').waitFor();
    record = { ...record, cost: costed };
    await page.reload();
    await used.getByText('183 g; its price is not known').click();
    await used.getByText('charge × metal for an ampere-hour, anodes at 100 %').waitFor();
    await used.getByText('90 mL of brightener for 1.80; 3 L of water, no price known').waitFor();
    await used.getByText('1.80, of what has a price').waitFor();
  });

  test('that is not there is refused in words', async () => {
    const page = await room.opened({}, '/#run/north-bench/7/99');
    await page.getByRole('alert').waitFor();
    await page.getByRole('link', { name: 'Back to the logbook' }).click();
    await page.getByRole('heading', { level: 1, name: 'Logbook' }).waitFor();
  });

  test('looks right on a phone and on a wide screen, by day and by night', async () => {
    record = { ...record, cost: costed };
    await room.looksRight('run', '/#run/north-bench/7/3', (page) => page.getByText('Rotation stopped:').waitFor());
  });
});
