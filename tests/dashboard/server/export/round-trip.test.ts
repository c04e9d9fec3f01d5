/* A run leaves as CSV, JSON or Parquet and comes back: nothing is lost or changed, other programs can read it, and nobody takes it for a run of this store. */
import { tableFromIPC } from 'apache-arrow';
import fc from 'fast-check';
import { unzipSync } from 'fflate';
import { readParquet } from 'parquet-wasm/node';
import { describe, expect, it, test } from 'vitest';
import { EventKind, Phase } from '@bathkeeper/shared-core/control';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { importedRuns } from '../../../../dashboard/server/export/imported-runs.js';
import { eventTable, recordTable } from '../../../../dashboard/server/export/run-columns.js';
import { openStore } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';
import { eventRow, recordRow } from '../quiet-bath.js';
import { tellLong } from './long-run.js';
import {
  contentOf,
  drawnNight,
  endings,
  EVENING_MS,
  fileOf,
  fullNight,
  imported,
  RUN,
  runOf,
  tell,
} from './run-on-trial.js';

describe.each(endings)('a run as %s', (ending) => {
  it('comes back with every whole number as it was, whatever the night', async () => {
    const folder = folderOnTrial();
    await fc.assert(
      fc.asyncProperty(drawnNight, async (night) => {
        const here = openStore(':memory:');
        const there = openStore(':memory:');
        tell(here, night);
        const left = await contentOf(runOf(here));
        const kept = (await imported(there, folder, await fileOf(runOf(here), ending))) as ImportedRun;
        const back = await contentOf(runOf(there, kept));
        expect(back).toEqual(left);
        expect(left.records).toHaveLength(night.records.length);
        expect(left.events).toHaveLength(night.events.length);
        here.close();
        there.close();
      }),
      { numRuns: 25 },
    );
  });
});

function storeWithNight() {
  const store = openStore(':memory:');
  tell(store, fullNight);
  return store;
}

test('another reader of Parquet sees the rows, their types, and the meaning of the columns', async () => {
  const run = runOf(storeWithNight());
  const { records } = await contentOf(run);
  const table = tableFromIPC(readParquet(new Uint8Array(await fileOf(run, 'parquet'))).intoIPCStream());
  expect(table.schema.fields.map(({ name }) => name)).toEqual(recordTable.columns.map(({ name }) => name));
  const read = table.toArray().map((row) => row!.toJSON() as Record<string, unknown>);
  for (const [index, row] of (records as Record<string, number>[]).entries())
    for (const [name, value] of Object.entries(row)) expect(Number(read[index]![name])).toBe(value);
  expect(typeof read[0]!.chargeMillicoulombs).toBe('bigint');
  const columns = JSON.parse(table.schema.metadata.get('bathkeeper.columns') ?? '[]') as {
    name: string;
    unit: string;
  }[];
  expect(columns.find(({ name }) => name === 'chargeMillicoulombs')).toMatchObject({ unit: 'mC' });
  expect(JSON.parse(table.schema.metadata.get('bathkeeper.events') ?? '[]')).toHaveLength(fullNight.events.length);
});

test('the CSV tables stand beside a description of each column, and any JSON reader takes the document', async () => {
  const run = runOf(storeWithNight());
  const files = unzipSync(new Uint8Array(await fileOf(run, 'zip')));
  const text = (name: string): string => Buffer.from(files[name]!).toString('utf8');
  expect(Object.keys(files).sort()).toEqual([
    'alarmJournal.csv',
    'alarms.csv',
    'csv-metadata.json',
    'entries.csv',
    'events.csv',
    'records.csv',
    'run.json',
  ]);
  const [headings, ...lines] = text('records.csv').trimEnd().split('\r\n');
  expect(lines).toHaveLength(fullNight.records.length);
  const metadata = JSON.parse(text('csv-metadata.json')) as {
    tables: { url: string; tableSchema: { columns: { titles: string; 'dc:description': string }[] } }[];
  };
  const described = metadata.tables.find(({ url }) => url === 'records.csv')!.tableSchema.columns;
  expect(described.map(({ titles }) => titles).join(',')).toBe(headings);
  for (const column of described) expect(column['dc:description']).toMatch(/\. Unit: .+\.$/);

  const document = JSON.parse(String(await fileOf(run, 'json'))) as Record<string, unknown[]>;
  expect(document.records).toHaveLength(fullNight.records.length);
  expect(document.eventsColumns).toHaveLength(eventTable.columns.length);
});

test('a run leaves with ten to twenty minutes of the bath that stands after it, not with the days until the next run', async () => {
  const store = openStore(':memory:');
  const SECONDS = 1000;
  tellLong(store, RUN, SECONDS, EVENING_MS);
  const standing = Array.from({ length: 3 * 3600 }, (_, index) => recordRow({ first: SECONDS + 1 + index, run: RUN.run, phase: Phase.done, charge: 19_000 * SECONDS })); // prettier-ignore
  const uptimeTenths = 10 * (SECONDS + standing.length);
  const at = (second: number): number[] => eventRow({ sequence: SECONDS + second, run: RUN.run, kind: EventKind.acknowledged, uptime: 10 * (SECONDS + second) }); // prettier-ignore
  store.takeOutbox({
    ...{ controllerId: RUN.controllerId, incarnation: RUN.incarnation, boot: 1, uptimeTenths },
    ...{ receivedAtMs: EVENING_MS + 100 * uptimeTenths, records: standing, events: [at(60), at(7200)] },
  });
  // Ended at 20:16:40: the file goes to 20:30.
  const run = runOf(store);
  expect(run.isWhole).toBe(true);
  const { records, events } = await contentOf(run);
  expect(run.header).toMatchObject({ recordCount: 1799, eventCount: 2 });
  expect(records).toHaveLength(1799);
  expect(records.at(-1)).toMatchObject({ takenAtMs: EVENING_MS + 1_799_000, phase: Phase.done });
  expect(events.map((event) => (event as { kind: number }).kind)).toEqual([
    EventKind.commandAnswered,
    EventKind.acknowledged,
  ]);
  const there = openStore(':memory:');
  const kept = (await imported(there, folderOnTrial(), await fileOf(run, 'json'))) as ImportedRun;
  expect((await contentOf(runOf(there, kept))).records).toEqual(records);
});

test('what is computed for people follows from the whole numbers', async () => {
  const store = openStore(':memory:');
  store.takeOutbox({
    controllerId: 'north-bench', incarnation: RUN.incarnation, boot: 1, uptimeTenths: 100, receivedAtMs: EVENING_MS,
    records: [recordRow({ first: 1, span: 2, currentSum: 3801, currentMin: 1890, currentMax: 1911, charge: 38_010, temperatureCount: 0, temperatureSum: 0, uptime: 100 })],
    events: [],
  }); // prettier-ignore
  store.database.exec(`INSERT INTO runs VALUES ('north-bench', 1, ${String(RUN.incarnation)}, 0, 1, NULL, NULL, 0)`);
  const document = JSON.parse(String(await fileOf(runOf(store), 'json'))) as {
    recordsColumns: { name: string }[];
    records: unknown[][];
  };
  const row = Object.fromEntries(document.recordsColumns.map(({ name }, at) => [name, document.records[0]![at]]));
  expect(row).toMatchObject({
    takenAtUtc: '2026-01-10T20:00:00.000Z',
    phaseName: 'plate',
    cathodeCurrentMeanAmps: 19.005,
    cathodeCurrentMinAmps: 18.9,
    cathodeCurrentMaxAmps: 19.11,
    bathTemperatureMeanCelsius: null,
    terminalVoltageMeanVolts: 2.1,
  });
  expect(row.chargeAmpereHours).toBeCloseTo(38.01 / 3600, 12);
});

test('an imported run stands under a name that no controller has, says who brought it, and is not taken twice', async () => {
  const store = storeWithNight();
  const folder = folderOnTrial();
  const file = await fileOf(runOf(store), 'json');
  const before = store.database
    .prepare(`SELECT count(*) FROM records WHERE controller_id = 'north-bench'`)
    .pluck()
    .get();
  const kept = (await imported(store, folder, file)) as ImportedRun;
  expect(kept).toMatchObject({
    controllerId: 'imported:1',
    importedBy: 'Mara',
    fileName: 'night.file',
    partName: 'fluted bell, “large” <b>',
    original: { controllerId: 'north-bench' },
  });
  expect(await imported(store, folder, file)).toEqual({ knownAs: kept, isDeleted: false });
  expect(importedRuns(store)).toEqual([kept]);
  expect(store.database.prepare(`SELECT count(*) FROM records WHERE controller_id = 'north-bench'`).pluck().get()).toBe(
    before,
  );
  // Its own export is the run as it was made, under the name that its controller gave it.
  expect(String(await fileOf(runOf(store, kept), 'json'))).toBe(String(file));
});
