/*
 * Alarms, their journal and what people wrote leave with a run and come back as they were, in words that no program takes for anything but words. What comes with a file
 * calls nobody and stands nowhere. Files of version 1, as that version wrote them, are taken as before.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { unzipSync } from 'fflate';
import { describe, expect, it, test } from 'vitest';
import type { AlarmView, ChartMarks, ImportedRun, JournalEntry } from '@bathkeeper/shared-core/messages';
import type { RunListEntry, RunRecord } from '@bathkeeper/shared-core/trade';
import { alarmTable, entryTable, journalTable } from '../../../../dashboard/server/export/told-columns.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial, rowsOf } from '../dashboard-on-trial.js';
import { letIn, pageOnTrial } from '../page-on-trial.js';
import {
  contentOf, drawnTold, endings, EVENING_MS, fileOf, fullNight, fullTold, imported, RUN, runOf, tell, tellMore,
} from './run-on-trial.js'; // prettier-ignore

describe.each(endings)('as %s', (ending) => {
  it('everything that was told comes back as it was, and leaves again as it came', async () => {
    const folder = folderOnTrial();
    await fc.assert(
      fc.asyncProperty(drawnTold, async (told) => {
        const here = openStore(':memory:');
        const there = openStore(':memory:');
        tell(here, fullNight);
        tellMore(here, told);
        const left = await contentOf(runOf(here));
        const kept = (await imported(there, folder, await fileOf(runOf(here), ending))) as ImportedRun;
        expect(kept).toMatchObject({ alarmCount: told.alarms.length, entryCount: told.entries.length });
        const back = await contentOf(runOf(there, kept));
        expect(back).toEqual(left);
        expect(left.alarms).toHaveLength(told.alarms.length);
        expect(left.entries).toHaveLength(told.entries.length);
        here.close();
        there.close();
      }),
      { numRuns: 25 },
    );
  });

  it('a run of version 1 is taken as before, with nothing told', async () => {
    const store = openStore(':memory:');
    const file = readFileSync(join(import.meta.dirname, 'run-of-version-1', `run.${ending}`));
    const kept = (await imported(store, folderOnTrial(), file)) as ImportedRun;
    expect(kept).toMatchObject({ recordCount: fullNight.records.length, alarmCount: 0, entryCount: 0 });
    const told = openStore(':memory:');
    tell(told, fullNight);
    expect(await contentOf(runOf(store, kept))).toEqual(await contentOf(runOf(told)));
    // One that an older version brought in has that version's head in the store.
    store.database.exec(`UPDATE imported_runs SET header = json_set(json_remove(header, '$.alarmCount', '$.alarmJournalCount', '$.entryCount'), '$.formatVersion', 1)`); // prettier-ignore
    const again = openStore(':memory:');
    const file2 = await fileOf(runOf(store, kept), ending);
    expect(await imported(again, folderOnTrial(), file2)).toMatchObject({ recordCount: fullNight.records.length });
  });
});

test('a spreadsheet finds words and no formula, in lines as RFC 4180 has them, each column with its meaning', async () => {
  const store = openStore(':memory:');
  tell(store, fullNight);
  tellMore(store, {
    ...fullTold,
    entries: [{ ...fullTold.entries[1]!, who: '@Ola', note: '=HYPERLINK("http://example.org"),\r\n"x"' }],
  });
  const files = unzipSync(new Uint8Array(await fileOf(runOf(store), 'zip')));
  const text = (name: string): string => Buffer.from(files[name]!).toString('utf8');
  const [entry] = parse<Record<string, string>>(text('entries.csv'), { columns: true });
  expect(entry).toMatchObject({ who: "'@Ola", note: `'=HYPERLINK("http://example.org"),\r\n"x"`, undoneBy: 'Mara' });
  const alarms = parse<Record<string, string>>(text('alarms.csv'), { columns: true });
  expect(alarms).toMatchObject([
    { name: 'rotation-stalled', acknowledgedBy: 'Robin', acknowledgedAtUtc: '2026-01-10T20:00:24.000Z' },
    { name: 'trip', acknowledgedBy: '', returnedAtMs: '', causedByAlarmNumber: '1' },
  ]);
  const { tables } = JSON.parse(text('csv-metadata.json')) as {
    tables: { url: string; tableSchema: { columns: { name: string; 'dc:description': string }[] } }[];
  };
  for (const table of [alarmTable, journalTable, entryTable]) {
    const { columns } = tables.find(({ url }) => url === `${table.name}.csv`)!.tableSchema;
    expect(columns.map(({ name }) => name)).toEqual(table.columns.map(({ name }) => name));
    for (const column of columns) expect(column['dc:description']).toMatch(/\. Unit: .+\.$/);
  }
});

test('alarms of a file stand in the record, the list and the chart of their run, and never call, stand or can be acknowledged', async () => {
  const elsewhere = openStore(':memory:');
  tell(elsewhere, fullNight);
  tellMore(elsewhere, fullTold);
  const file = await fileOf(runOf(elsewhere), 'json');
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { trial } = page;
  const get = async (address: string): Promise<unknown> => (await page.ask('GET', address, undefined, session)).body;
  const live = (): unknown =>
    ['alarms', 'alarm_transitions', 'calls', 'notifications', 'deliveries', 'told_before'].map((table) =>
      rowsOf(trial.dashboard, `SELECT * FROM ${table}`),
    );
  const before = live();
  const kept = (await imported(trial.dashboard.store, folderOnTrial(), file)) as ImportedRun;
  expect(kept.controllerId).toBe('imported:1');
  expect(live()).toEqual(before);

  const address = `/api/runs/imported%3A1/${String(RUN.incarnation)}/1`;
  const record = (await get(address)) as RunRecord;
  expect(record.alarms.map(({ alarm }) => alarm)).toMatchObject([
    { title: 'Rotation stopped', acknowledgedBy: 'Robin', acknowledgedAtMs: EVENING_MS + 24_000, state: 'normal' },
    { title: 'Tripped', acknowledgedBy: null, isImported: true, causedByAlarmId: record.alarms[0]!.alarm.alarmId },
  ]);
  expect(record.alarms[0]!.journal).toMatchObject([
    { what: 'raised', who: 'bath' },
    { what: 'acknowledged', who: 'Robin', reason: 'on my way' },
  ]);
  expect(record.entries).toMatchObject([
    { who: 'Robin', body: { kind: 'weighing', when: 'before', grams: 812.4 }, undone: null },
    { who: 'Ola', note: fullTold.entries[1]!.note, undone: { who: 'Mara', reason: 'of another run' } },
    { note: 'the hooks', body: { kind: 'photograph', isElsewhere: true } },
  ]);
  const { alarmId } = record.alarms[1]!.alarm;
  expect(alarmId).toBeLessThan(0);
  expect((await get('/api/runs')) as RunListEntry[]).toMatchObject([{ controllerId: 'imported:1', alarmCount: 2 }]);
  const marks = (await get(
    `/api/series/marks?controllerId=imported%3A1&fromMs=${String(EVENING_MS)}&toMs=${String(EVENING_MS + 3_600_000)}`,
  )) as ChartMarks;
  // Two alarms, the weighing and the photograph; what was undone is not marked.
  expect(marks.count).toBe(4);
  expect(marks.marks).toContainEqual({ kind: 'alarm', atMs: EVENING_MS + 28_000, alarmId, name: 'trip', untilMs: record.endedAtMs }); // prettier-ignore
  expect((await get(`/api/alarms/${String(alarmId)}`)) as AlarmView).toMatchObject({
    title: 'Tripped',
    isImported: true,
  });
  const journal = (await get(`/api/alarms/journal?alarm=${String(alarmId)}`)) as JournalEntry[];
  expect(journal).toMatchObject([{ what: 'raised', alarmId }]);

  expect((await page.ask('POST', `/api/alarms/${String(alarmId)}/acknowledge`, {}, session)).status).toBe(404);
  await trial.pass(60);
  await trial.restart(600);
  await trial.pass(60);
  expect(rowsOf(trial.dashboard, `SELECT * FROM alarms WHERE controller_id LIKE 'imported:%'`)).toEqual([]);
  expect(rowsOf(trial.dashboard, `SELECT * FROM calls WHERE controller_id LIKE 'imported:%'`)).toEqual([]);
  expect(trial.dashboard.alarms.views(trial.clock.nowMs()).filter(({ alarmId: id }) => id < 0)).toEqual([]);
});
