/* What is marked on the time axis of charts: alarms, notes and weighings of a window, none that was undone or whose run was deleted. Real store, real HTTP. */
import { expect, it } from 'vitest';
import type { ChartMarks } from '@bathkeeper/shared-core/messages';
import type { RunEntry } from '@bathkeeper/shared-core/trade';
import { openChartMarks } from '../../../../dashboard/server/logbook/chart-marks.js';
import { CONTROLLER } from '../dashboard-on-trial.js';
import { aNight, RUN } from './a-night.js';

it('are the alarms and notes of the window in order of time, and what was undone or deleted is not marked', async () => {
  const { page, session } = await aNight();
  const { dashboard, clock } = page.trial;
  const nowMs = clock.nowMs();
  const marks = async (fromMs: number, toMs: number): Promise<ChartMarks> =>
    (await page.ask('GET', `/api/series/marks?controllerId=${CONTROLLER}&fromMs=${String(fromMs)}&toMs=${String(toMs)}`, undefined, session)).body as never; // prettier-ignore
  const write = async (note: string, atMs: number): Promise<RunEntry> =>
    (await page.ask('POST', `${RUN}/entries`, { who: 'Robin', note, atMs, body: { kind: 'note' } }, session)).body as never; // prettier-ignore
  const alarmId = dashboard.alarms.raise(
    { controllerId: CONTROLLER, name: 'rotation-stalled', causeAtMs: nowMs - 5000, detail: 'No pulse.' },
    nowMs - 4000,
  );
  dashboard.alarms.returnToNormal(CONTROLLER, 'rotation-stalled', nowMs - 1000);
  const note = await write('The belt slipped', nowMs - 9000);
  const wrong = await write('Of another run', nowMs - 8000);
  await page.ask('POST', `${RUN}/entries/${String(wrong.entryId)}/undo`, { who: 'Ola', reason: 'x' }, session);
  const weighing = { kind: 'weighing', when: 'before', grams: 812.4, uncertaintyGrams: 0.1 };
  const weighed = await page.ask(
    'POST',
    `${RUN}/entries`,
    { who: 'Robin', note: 'Dry', atMs: nowMs - 9500, body: weighing },
    session,
  );
  const alarm = { kind: 'alarm', alarmId, name: 'rotation-stalled', atMs: nowMs - 4000, untilMs: nowMs - 1000 };
  const { incarnation, run } = (await page.ask('GET', RUN, undefined, session)).body as never as RunEntry & {
    incarnation: number;
    run: number;
  };
  const told = {
    kind: 'note', atMs: nowMs - 9000, incarnation, run, entryId: note.entryId, who: 'Robin', note: 'The belt slipped', weighing: null,
  }; // prettier-ignore
  const onTheBalance = {
    ...told,
    kind: 'weighing',
    atMs: nowMs - 9500,
    entryId: weighed.body.entryId,
    note: 'Dry',
    weighing,
  };
  expect(await marks(nowMs - 10_000, nowMs)).toEqual({ marks: [onTheBalance, told, alarm], count: 3 });
  expect(await marks(nowMs - 9200, nowMs - 8500)).toEqual({ marks: [told], count: 1 });
  expect(await marks(nowMs - 3000, nowMs)).toEqual({ marks: [], count: 0 });
  await page.ask('POST', `${RUN}/delete`, { who: 'Robin' }, session);
  expect(await marks(nowMs - 10_000, nowMs)).toEqual({ marks: [alarm], count: 1 });
});

it('are the newest where they are too many to be told apart, and say how many there are', async () => {
  const { page } = await aNight();
  const { store } = page.trial.dashboard;
  const insert = store.database.prepare(
    `INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms, latches, is_silent)
     VALUES (?, 'rotation-stalled', 'low', 'x', 'x', 'x', CAST(? AS INTEGER), CAST(? AS INTEGER), 0, 0)`,
  );
  for (let k = 0; k < 1200; k++) insert.run(CONTROLLER, k, k);
  const { marks, count } = openChartMarks(store)(CONTROLLER, 0, 1199);
  expect([marks.length, marks[0]?.atMs, marks.at(-1)?.atMs, count]).toEqual([1000, 200, 1199, 1200]);
});

it('are refused without a door, for nobody and for a window that is none', async () => {
  const { page, session } = await aNight();
  const asked = async (query: string, who: Record<string, string> | undefined = session): Promise<number> =>
    (await page.ask('GET', `/api/series/marks?${query}`, undefined, who)).status;
  expect(await asked(`controllerId=${CONTROLLER}&fromMs=0&toMs=1`, {})).toBe(401);
  expect(await asked('controllerId=nobody&fromMs=0&toMs=1')).toBe(404);
  expect(await asked(`controllerId=${CONTROLLER}&fromMs=5&toMs=5`)).toBe(400);
  expect(await asked(`controllerId=${CONTROLLER}&fromMs=0&toMs=1&points=5`)).toBe(400);
});
