/*
 * Alarms on the page in a real browser: in words with the action first, acknowledged, silenced with reason and end, their story, the
 * journal with its filters, a night in figures. Against canned states; everything is found by its accessible role and name.
 */
import { describe, expect, test } from 'vitest';
import type { AlarmFigures, AlarmView, JournalEntry } from '@bathkeeper/shared-core/messages';
import { cannedNight, cannedSnapshot, earlierWarm, NIGHT_MS, stalled, stalledSnapshot } from './canned-night.js';
import { shot, WIDE } from './open-page.js';
import { eventually, pageRoom } from './page-room.js';

const room = pageRoom();

const SILENCES = '/api/controllers/north-bench/alarms/silences';

/** May be silent: of medium priority, and nothing that latches. */
const offPermitted: AlarmView = {
  ...stalled,
  alarmId: 21,
  name: 'current-off-permitted',
  priority: 'medium',
  title: 'Current is not what it should be',
  detail: '17.9 A measured, 19.2 A permitted, for 11 s',
  checkFirst: "Compare the supply's own ammeter. Then look at the clip and the leads.",
  mayBeShelved: true,
};

const shelved = {
  kind: 'shelved',
  who: 'page',
  reason: 'the supply is being swapped',
  sinceMs: NIGHT_MS,
  untilMs: NIGHT_MS + 3_600_000,
} as const;

describe('an alarm in words', () => {
  test('says what to do first, then what happened and since when', async () => {
    room.server.snapshot = stalledSnapshot();
    const page = await room.opened();
    const alarm = page.getByRole('listitem', { name: 'Rotation stopped' });
    await alarm.getByRole('heading', { name: 'Look whether the part still turns.' }).waitFor();
    const words = await alarm.innerText();
    const order = ['Look whether', 'Stop the motor', 'Rotation stopped since 02:03', 'No pulse for 23 s'];
    const places = order.map((part) => words.indexOf(part));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places.every((place) => place >= 0)).toBe(true);
  });

  test('what one cause brought with it stands under its first, each to be acknowledged by itself', async () => {
    const first = { ...stalled, isFirstOut: true };
    const second = { ...offPermitted, causedByAlarmId: stalled.alarmId };
    room.server.snapshot = { ...stalledSnapshot(), alarms: [second, first] };
    room.server.answer = () => ({ body: second });
    const page = await room.opened();
    const top = page.getByRole('listitem', { name: 'Rotation stopped' });
    await top.getByText('Came with it, likely from the same cause').waitFor();
    await top.getByRole('button', { name: 'Acknowledge: Current is not what it should be' }).click();
    await eventually(() => room.server.asked[0]?.path).toBe('/api/alarms/21/acknowledge');
  });

  test('a trip that was acknowledged stays until it is reset at the bath, and cannot be silenced', async () => {
    const latched = { ...stalled, name: 'trip', title: 'Tripped', state: 'latched', isLatched: true } as const;
    room.server.snapshot = { ...stalledSnapshot(), alarms: [latched] };
    const page = await room.opened();
    const alarm = page.getByRole('listitem', { name: 'Tripped' });
    await alarm.getByText(/latched until it is reset at the bath/).waitFor();
    expect(await alarm.getByRole('button', { name: /^Silence/ }).count()).toBe(0);
    expect(await alarm.getByRole('button', { name: /^Acknowledge/ }).count()).toBe(0);
  });

  test('what is wrong with the house itself stands at every bath, and is silenced under its own address', async () => {
    const disk = {
      ...offPermitted,
      controllerId: '',
      name: 'disk-nearly-full',
      title: 'The disk is nearly full',
    } as const;
    room.server.snapshot = cannedSnapshot({ alarms: [disk] });
    room.server.answer = () => ({ body: {} });
    const page = await room.opened();
    await page.getByRole('listitem', { name: 'The disk is nearly full' }).waitFor();
    await page.getByRole('button', { name: 'Silence: The disk is nearly full' }).click();
    await page.getByLabel('Reason').fill('a larger disk comes tomorrow');
    await page.getByRole('button', { name: 'Shelve' }).click();
    await eventually(() => room.server.asked[0]?.path).toBe('/api/controllers/-/alarms/disk-nearly-full/shelve');
  });
});

describe('silence', () => {
  test('a shelf has a reason and an end, and is refused without a reason before anything is sent', async () => {
    room.server.snapshot = cannedSnapshot({ alarms: [offPermitted] });
    room.server.answer = (asked) => {
      if (!asked.path.endsWith('/shelve')) return undefined;
      const isEnded = asked.method === 'DELETE';
      const silences = isEnded ? [] : [shelved];
      room.server.shelves.set(
        SILENCES,
        isEnded ? [] : [{ controllerId: 'north-bench', name: offPermitted.name, title: offPermitted.title, silences }],
      );
      room.server.tell(cannedSnapshot({ alarms: [{ ...offPermitted, silences }] }));
      return { body: {} };
    };
    const page = await room.opened();
    await page.getByRole('button', { name: 'Silence: Current is not what it should be' }).click();
    const dialog = page.getByRole('dialog', { name: 'Silence: Current is not what it should be' });
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.getByRole('alert').getByText('Say in a few words why').waitFor();
    expect(room.server.asked).toEqual([]);
    await dialog.getByLabel('Reason').fill('the supply is being swapped');
    await dialog.getByLabel('For how long').selectOption({ label: '2\u00a0h, until 04:04' });
    await shot(page, 'phone-shelve', false);
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.waitFor({ state: 'detached' });
    expect(room.server.asked[0]).toMatchObject({
      method: 'POST',
      path: '/api/controllers/north-bench/alarms/current-off-permitted/shelve',
      body: { reason: 'the supply is being swapped', minutes: 120 },
    });
    await page.getByText('No alarms but the silent ones below.').waitFor();
    await page
      .getByRole('list', { name: 'Silent alarms' })
      .getByText(/Shelved on the page until 03:04: the supply is being swapped\. It calls nobody until then\./)
      .waitFor();
    await shot(page, 'phone-shelved');
    await page.getByRole('button', { name: 'End the shelf: Current is not what it should be' }).click();
    await page.getByText('None: every alarm calls.').waitFor();
    expect(room.server.asked[1]?.method).toBe('DELETE');
  });

  test('an alarm is taken out of service before it is raised, and put back', async () => {
    room.server.answer = (asked) => {
      const reason = (asked.body as { reason?: string }).reason ?? '';
      const out = { kind: 'out-of-service', who: 'page', reason, sinceMs: NIGHT_MS };
      room.server.shelves.set(
        SILENCES,
        asked.method === 'DELETE'
          ? []
          : [
              {
                controllerId: 'north-bench',
                name: 'filter-stopped',
                title: 'Filter stopped',
                silences: [out],
              },
            ],
      );
      return { body: {} };
    };
    const page = await room.opened();
    await page.getByRole('button', { name: 'Silence an alarm…' }).click();
    const dialog = page.getByRole('dialog', { name: 'Silence an alarm' });
    await dialog.getByLabel('Alarm').selectOption({ label: 'Filter stopped' });
    await dialog.getByLabel('Reason').fill('no filter is fitted');
    await dialog.getByLabel(/^Out of service/).check();
    await dialog.getByRole('button', { name: 'Take out of service' }).click();
    await page.getByText(/Out of service since 02:04, on the page: no filter is fitted/).waitFor();
    expect(room.server.asked[0]).toMatchObject({
      path: '/api/controllers/north-bench/alarms/filter-stopped/out-of-service',
      body: { reason: 'no filter is fitted' },
    });
    await page.getByRole('button', { name: 'Put back in service: Filter stopped' }).click();
    await page.getByText('None: every alarm calls.').waitFor();
  });

  test('a refusal of the dashboard is shown in its words, and nothing is silent', async () => {
    room.server.answer = () => ({
      status: 422,
      body: {
        error: 'It cannot be shelved.',
        problems: ['A trip or another alarm of high priority is never silent: remove its cause.'],
      },
    });
    const page = await room.opened();
    await page.getByRole('button', { name: 'Silence an alarm…' }).click();
    const dialog = page.getByRole('dialog');
    await dialog.getByLabel('Alarm').selectOption({ label: 'Tripped' });
    await dialog.getByLabel('Reason').fill('it annoys me');
    await dialog.getByRole('button', { name: 'Shelve' }).click();
    await dialog.getByText('never silent: remove its cause').waitFor();
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'detached' });
    await page.getByText('None: every alarm calls.').waitFor();
  });
});

const entry = (change: Partial<JournalEntry>): JournalEntry => ({
  entryId: 1,
  atMs: NIGHT_MS - 2 * 3_600_000,
  controllerId: 'north-bench',
  name: 'current-off-permitted',
  alarmId: 9,
  what: 'raised',
  state: 'unacknowledged',
  who: 'clock',
  reason: null,
  ...change,
});
const journal: readonly JournalEntry[] = [
  entry({ entryId: 5, atMs: NIGHT_MS - 3000, alarmId: 12, name: 'rotation-stalled' }),
  entry({ entryId: 4, atMs: NIGHT_MS - 7_000_000, what: 'acknowledged', state: 'normal', who: 'First watch' }),
  entry({
    entryId: 3,
    atMs: NIGHT_MS - 7_100_000,
    what: 'shelved',
    who: 'page',
    reason: 'supply swapped',
    alarmId: null,
  }),
  entry({ entryId: 2, atMs: NIGHT_MS - 7_140_000, what: 'returned', state: 'returned-unacknowledged' }),
  entry({ entryId: 1, atMs: NIGHT_MS - 7_190_000 }),
];

describe('the story of an alarm', () => {
  test('a mark on the night band opens it, told from the journal with who did what', async () => {
    room.server.night = cannedNight([stalled, earlierWarm]);
    room.server.snapshot = stalledSnapshot();
    room.server.shelves.set('/api/alarms/journal', (query: URLSearchParams) =>
      journal.filter((one) => String(one.alarmId) === query.get('alarm')),
    );
    const page = await room.opened({ size: WIDE });
    await page.getByRole('button', { name: /^Alarm at .*: Current off its permitted value/ }).click();
    const story = page.getByRole('dialog', { name: /^Story of the alarm/ });
    await story.getByText('acknowledged by First watch').waitFor();
    await story.getByRole('heading', { name: "Compare the supply's own ammeter." }).waitFor();
    await shot(page, 'wide-story-from-journal', false);
    expect(room.server.read).toContain('/api/alarms/journal?alarm=9&count=200');
  });

  test('of an alarm that only its mark still tells of nothing is made up', async () => {
    room.server.night = cannedNight([earlierWarm]);
    room.server.snapshot = cannedSnapshot({ alarms: [] });
    const page = await room.opened();
    await page.getByRole('button', { name: /^Alarm at / }).click();
    const story = page.getByRole('dialog', { name: /^Story of the alarm/ });
    await story.getByText('An older alarm').waitFor();
    expect(await story.innerText()).not.toMatch(/phone was called|medium|acknowledged/);
  });

  test('a mark of an alarm that is too old for the state is told from the store', async () => {
    room.server.night = cannedNight([earlierWarm]);
    room.server.snapshot = cannedSnapshot({ alarms: [] });
    room.server.shelves.set(`/api/alarms/${String(earlierWarm.alarmId)}`, earlierWarm);
    const page = await room.opened();
    await page.getByRole('button', { name: /^Alarm at / }).click();
    const story = page.getByRole('dialog', { name: /^Story of the alarm/ });
    await story.getByText('returned to normal, acknowledged').waitFor();
    expect(await story.innerText()).not.toContain('An older alarm');
  });

  test('begins with what to do, then says what it is', async () => {
    room.server.snapshot = stalledSnapshot();
    const page = await room.opened({}, `/#alarm/${String(stalled.alarmId)}`);
    const story = page.getByRole('dialog', { name: 'Story of the alarm: Rotation stopped' });
    await story.getByRole('heading', { name: 'Look whether the part still turns.' }).waitFor();
    const words = await story.getByRole('article').innerText();
    const places = ['Look whether', 'Stop the motor', 'Rotation stopped', 'No pulse for 23 s', 'Acknowledge'].map(
      (part) => words.indexOf(part),
    );
    expect(places[0]).toBe(0);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  test('the address of a notification opens the bath and the story, and closing it leads to the bath', async () => {
    room.server.snapshot = stalledSnapshot();
    const page = await room.opened({}, `/#alarm/${String(stalled.alarmId)}`);
    const story = page.getByRole('dialog', { name: 'Story of the alarm: Rotation stopped' });
    await story.getByText('the cause began at the bath').waitFor();
    await story.getByRole('button', { name: 'Close' }).click();
    await story.waitFor({ state: 'detached' });
    await page.waitForURL(/#bath\/north-bench$/);
  });

  test('who came from a notification acknowledges in the story, without looking for the alarm behind it', async () => {
    room.server.snapshot = stalledSnapshot();
    let isRefused = true;
    room.server.answer = () => {
      if (isRefused) return { status: 503, body: { error: 'The store takes nothing now.', problems: [] } };
      const acknowledged = {
        ...stalled,
        state: 'acknowledged',
        acknowledgedAtMs: NIGHT_MS,
        acknowledgedBy: 'page',
      } as const;
      room.server.tell({ ...stalledSnapshot(), alarms: [acknowledged] });
      return { body: acknowledged };
    };
    const page = await room.opened({}, `/#alarm/${String(stalled.alarmId)}`);
    const story = page.getByRole('dialog', { name: 'Story of the alarm: Rotation stopped' });
    const button = story.getByRole('button', { name: 'Acknowledge: Rotation stopped' });
    await shot(page, 'phone-story', false);
    await button.click();
    await story.getByText('The store takes nothing now.').waitFor();
    isRefused = false;
    await button.click();
    await story.getByText('active, acknowledged').waitFor();
    await button.waitFor({ state: 'detached' });
    await story.getByText('The store takes nothing now.').waitFor({ state: 'detached' });
    expect(room.server.asked.at(-1)?.path).toBe(`/api/alarms/${String(stalled.alarmId)}/acknowledge`);
  });

  test('an address of an alarm that is too old for the state opens its story from the store', async () => {
    room.server.shelves.set('/api/alarms/9', earlierWarm);
    const page = await room.opened({}, '/#alarm/9');
    const story = page.getByRole('dialog', { name: `Story of the alarm: ${earlierWarm.title}` });
    await story.getByRole('button', { name: 'Close' }).click();
    await story.waitFor({ state: 'detached' });
    await page.waitForURL(/#bath\/north-bench$/);
  });

  test('an address of an alarm that nobody knows says so over the bath, and leads to the journal', async () => {
    const page = await room.opened({}, '/#alarm/999');
    await page.getByRole('heading', { level: 1, name: /^Plating/ }).waitFor();
    const dialog = page.getByRole('dialog', { name: 'The story of this alarm cannot be told' });
    await dialog.getByRole('alert').getByText('The fixture has nothing there.').waitFor();
    await dialog.getByRole('link', { name: 'Look in the journal' }).click();
    await page.getByRole('heading', { level: 1, name: 'Journal of alarms' }).waitFor();
  });
});

const figures: AlarmFigures = {
  controllerId: 'north-bench',
  fromMs: 0,
  toMs: 0,
  raisedCount: 14,
  raisedPerHour: 1.02,
  raisedIn10MinutesMax: 12,
  byPriority: { high: 1, medium: 12, low: 1 },
  longestStanding: { alarmId: 9, name: 'current-off-permitted', seconds: 190 },
  chattering: [{ name: 'contact-weak', raisedCount: 11 }],
  secondsToAcknowledgeMedian: 95,
  secondsToAcknowledgeMax: 400,
  unacknowledgedCount: 1,
  silentCount: 2,
  stale: [],
};
const withFigures = (): void => {
  room.server.shelves.set('/api/controllers/north-bench/alarms/figures', (query: URLSearchParams) => ({
    ...figures,
    fromMs: Number(query.get('from')),
    toMs: Number(query.get('to')),
  }));
  room.server.shelves.set('/api/alarms/journal', (query: URLSearchParams) =>
    journal.filter((one) => query.get('alarm') === null || one.name === query.get('alarm')),
  );
};

describe('the journal', () => {
  test('lists every change with who and why, is filtered by alarm, and leads to the story', async () => {
    withFigures();
    room.server.snapshot = stalledSnapshot();
    const page = await room.opened();
    await page.getByRole('link', { name: 'Journal' }).click();
    await page.getByRole('heading', { level: 1, name: 'Journal of alarms' }).waitFor();
    const day = page.getByRole('region', { name: /^Today/ });
    await day.getByText('shelved on the page: supply swapped').waitFor();
    expect(await day.getByRole('listitem').count()).toBe(5);
    await page.getByLabel('Alarm').selectOption({ label: 'Rotation stopped' });
    await eventually(() => day.getByRole('listitem').count()).toBe(1);
    await page.getByRole('combobox', { name: 'Bath' }).selectOption({ label: 'Copper 60 L (north-bench)' });
    await eventually(() => room.server.read).toContain(
      '/api/alarms/journal?controller=north-bench&alarm=rotation-stalled&count=100',
    );
    await day.getByRole('link', { name: 'Rotation stopped' }).click();
    await page.getByRole('dialog', { name: 'Story of the alarm: Rotation stopped' }).waitFor();
  });

  test('older entries are asked for from the last one that is shown', async () => {
    withFigures();
    const many = Array.from({ length: 100 }, (_, k) => entry({ entryId: 200 - k, atMs: NIGHT_MS - k * 1000 }));
    room.server.shelves.set('/api/alarms/journal', (query: URLSearchParams) =>
      query.get('before') === '101' ? [entry({ entryId: 100, what: 'returned' })] : many,
    );
    const page = await room.opened({}, '/#journal');
    await page.getByRole('button', { name: 'Older entries' }).click();
    await page.getByText('returned to normal').waitFor();
    expect(await page.getByRole('button', { name: 'Older entries' }).count()).toBe(0);
  });

  test('a night in figures runs from noon to noon, and says what a flood and a chattering alarm are', async () => {
    withFigures();
    const page = await room.opened({}, '/#journal');
    const night = page.getByRole('region', { name: 'A night in figures: Copper 60 L' });
    await night.getByText('14 (high 1, medium 12, low 1), 1.0 an hour').waitFor();
    await night.getByText('12: a flood, more than anybody can follow').waitFor();
    await night.getByText('Contact is weak: raised 11 times').waitFor();
    const noon = Date.UTC(2026, 1, 9, 12);
    expect(room.server.read.some((path) => path.includes(`figures?from=${String(noon)}&`))).toBe(true);
    await night.getByLabel('Night').selectOption({ index: 1 });
    await eventually(() => room.server.read).toContain(
      `/api/controllers/north-bench/alarms/figures?from=${String(noon - 86_400_000)}&to=${String(noon)}`,
    );
  });

  test('a journal that is refused says why', async () => {
    room.server.shelves.delete('/api/alarms/journal');
    const page = await room.opened({}, '/#journal');
    await page.getByRole('alert').getByText('The fixture has nothing there.').first().waitFor();
  });
});

test('a line of the journal is a target of at least 44 px, old alarms among them', async () => {
  withFigures();
  room.server.snapshot = cannedSnapshot({ alarms: [] });
  const page = await room.opened({}, '/#journal');
  const lines = page.getByRole('link', { name: /Current off its permitted value/ });
  await lines.first().waitFor();
  // Of the five one is a shelf set before anything was raised: it has no story.
  expect(await lines.count()).toBe(3);
  for (const line of await lines.all()) expect((await line.boundingBox())!.height).toBeGreaterThanOrEqual(44);
});

describe('the look', () => {
  test('of alarms with everything at once', async () => {
    const second = { ...offPermitted, causedByAlarmId: stalled.alarmId };
    const silent = { ...offPermitted, alarmId: 22, title: 'Anodes are passivating', silences: [shelved] };
    const latched = { ...stalled, alarmId: 23, title: 'Tripped', state: 'latched', isLatched: true } as const;
    const returned = { ...offPermitted, alarmId: 24, state: 'returned-unacknowledged' } as const;
    room.server.shelves.set(SILENCES, [
      { controllerId: 'north-bench', name: 'anode-passivating', title: 'Anodes are passivating', silences: [shelved] },
      {
        controllerId: 'north-bench',
        name: 'current-off-permitted',
        title: 'Current off its permitted value',
        silences: [{ kind: 'suppressed-by-design', reason: 'A finished run has no low-current alarm.' }],
      },
    ]);
    const alarms = [{ ...stalled, isFirstOut: true }, second, silent, latched, returned, earlierWarm];
    room.server.snapshot = { ...stalledSnapshot(), alarms };
    room.server.night = cannedNight([stalled, earlierWarm]);
    await room.looksRight('alarms', '/', async (page) => {
      await page.getByRole('img', { name: /^Night from/ }).waitFor();
      await page.getByText('Silent by design').waitFor();
    });
  });

  test('of the journal', async () => {
    withFigures();
    room.server.snapshot = stalledSnapshot();
    await room.looksRight('journal', '/#journal', async (page) => {
      await page.getByText('shelved on the page').waitFor();
      await page.getByText('1.0 an hour').waitFor();
    });
  });
});
