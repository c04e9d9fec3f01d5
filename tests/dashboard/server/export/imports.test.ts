/* A run from a file enters the store in steps: nothing shows it before the last of them, whatever stops it half-way leaves nothing, and one comes after the other. */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { expect, it, test } from 'vitest';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { importedRun } from '../../../../dashboard/server/export/imported-runs.js';
import { type Imports, openImports, UnkeptRun } from '../../../../dashboard/server/export/imports.js';
import { ROWS_A_STEP } from '../../../../dashboard/server/export/keep-logged.js';
import { beyondFile, ROWS_MAX } from '../../../../dashboard/server/export/run-bounds.js';
import { setAside } from '../../../../dashboard/server/export/set-aside.js';
import { storeGrowth } from '../../../../dashboard/server/keeping/store-room.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';
import { letIn, pageOnTrial } from '../page-on-trial.js';
import { tellLong } from './long-run.js';
import { contentOf, EVENING_MS, fileOf, fullNight, fullTold, RUN, runOf, tell, tellMore } from './run-on-trial.js';

const SECONDS = 10 * ROWS_A_STEP + 1;
const TABLES = [
  'raw_records', 'minutes', 'ten_minutes', 'memories', 'events', 'queues', 'runs', 'recipes', 'imported_runs', 'begun_imports', 'imported_alarms',
  'run_entries', 'run_entries_undone', 'raw_ends',
]; // prettier-ignore
const counted = ({ database }: Store): unknown =>
  TABLES.map((table) => [table, database.prepare(`SELECT count(*) FROM ${table}`).pluck().get()]);
const begun = ({ database }: Store): unknown =>
  database.prepare('SELECT controller_id FROM begun_imports').pluck().all();

async function longFile(folder: string): Promise<string> {
  const store = openStore(':memory:');
  tellLong(store, RUN, SECONDS, EVENING_MS);
  tellMore(store, fullTold);
  const path = join(folder, 'long');
  writeFileSync(path, await fileOf(runOf(store), 'json'));
  store.close();
  return path;
}

interface Opened {
  readonly imports: Imports;
  readonly failures: string[];
  readonly keep: () => Promise<unknown>;
}
async function opened(store: Store, between?: () => Promise<unknown>): Promise<Opened> {
  const failures: string[] = [];
  const imports = openImports({
    store,
    failed: (what) => failures.push(what),
    read: setAside,
    ...(between && { between }),
  });
  const path = await longFile(folderOnTrial());
  return { imports, failures, keep: () => imports.keep({ path, fileName: 'long.json', importedBy: 'Mara', nowMs: EVENING_MS + 9 }) }; // prettier-ignore
}

/** Lets everything else go on until it is so. */
async function until(so: () => boolean): Promise<void> {
  while (!so()) await setImmediate();
}
const isNothingBegun = (store: Store) => (): boolean => (begun(store) as unknown[]).length === 0;
const isHalfWay = (store: Store) => (): boolean =>
  Number(store.database.prepare('SELECT count(*) FROM raw_records').pluck().get()) >= 2 * ROWS_A_STEP;

it('gives the loop back between its steps, and until the last one no list, series or sum shows anything of it', async () => {
  const { page, session } = await pageOnTrial().then(async (page) => ({ page, session: await letIn(page) }));
  const { store } = page.trial.dashboard;
  let goOn = (): void => undefined;
  const held = new Promise<void>((done) => {
    goOn = done;
  });
  const { keep } = await opened(store, () => (isHalfWay(store)() ? held : setImmediate()));
  const growth = storeGrowth(store.database, EVENING_MS);
  const kept = keep();
  await until(isHalfWay(store));
  expect(begun(store)).toEqual(['imported:1']);
  for (const [path, answer] of [
    ['/api/runs', { status: 200, body: [] }],
    ['/api/run-imports', { status: 200, body: [] }],
    [`/api/series?controllerId=imported%3A1&fromMs=0&toMs=${String(EVENING_MS * 2)}`, { status: 404 }],
    [`/api/series/marks?controllerId=imported%3A1&fromMs=0&toMs=${String(EVENING_MS * 2)}`, { status: 404 }],
    [`/api/runs/imported%3A1/${String(RUN.incarnation)}/1`, { status: 404 }],
  ] as const)
    expect(await page.ask('GET', path, undefined, session), path).toMatchObject(answer);
  expect(storeGrowth(store.database, EVENING_MS).controllers).toEqual(growth.controllers);
  goOn();
  expect(await kept).toMatchObject({ controllerId: 'imported:1', recordCount: SECONDS });
  expect(begun(store)).toEqual([]);
  expect((await page.ask('GET', '/api/runs', undefined, session)).body).toHaveLength(1);
});

test('samples are acknowledged between two steps, and none of them is mistaken for a row of the file', async () => {
  const store = openStore(':memory:');
  const { keep } = await opened(store);
  const kept = keep();
  await until(isHalfWay(store));
  tell(store, fullNight);
  const left = await contentOf(runOf(store));
  const { controllerId } = (await kept) as ImportedRun;
  expect(await contentOf(runOf(store))).toEqual(left);
  expect((await contentOf(runOf(store, { ...RUN, controllerId }))).records).toHaveLength(SECONDS);
});

it('takes a file that comes twice at once a single time', async () => {
  const store = openStore(':memory:');
  const { keep } = await opened(store);
  const [one, other] = await Promise.all([keep(), keep()]);
  expect(one).toMatchObject({ controllerId: 'imported:1' });
  expect(other).toEqual({ knownAs: one, isDeleted: false });
});

it('exports no run that has more in it than a file may hold', async () => {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { store } = page.trial.dashboard;
  tell(store, fullNight);
  tellMore(store, fullTold);
  const more = store.database.prepare(
    `WITH RECURSIVE counted(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM counted WHERE n < CAST(? AS INTEGER))
     INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms)
     SELECT controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms FROM alarms CROSS JOIN counted WHERE alarm_id = 1`,
  );
  more.run(ROWS_MAX.alarms - 2);
  const path = `/api/runs/${RUN.controllerId}/${String(RUN.incarnation)}/1/export.json`;
  expect(beyondFile(runOf(store).header)).toBe(undefined);
  more.run(1);
  expect(await page.ask('GET', path, undefined, session)).toMatchObject({
    status: 413,
    body: { error: expect.stringContaining('it has 20001 rows of alarms, and a file holds at most 20000') as string },
  });
});

it('refuses a sixth file while five are there, and takes it afterwards', async () => {
  const store = openStore(':memory:');
  const { keep } = await opened(store);
  const taken = Array.from({ length: 5 }, keep);
  await expect(keep()).rejects.toThrow(/Several files are being imported\. Nothing was changed; send it again/);
  await Promise.all(taken);
  expect(await keep()).toHaveProperty('knownAs');
});

it.each([
  ['while its records enter', 'raw_records', 'SELECT RAISE(ABORT, \'no page left\') WHERE new.first = 3500'],
  ['while its alarms enter', 'imported_alarms', 'SELECT RAISE(ABORT, \'no page left\')'],
  ['in its last step', 'runs', 'SELECT RAISE(ABORT, \'no page left\')'],
])('leaves nothing behind of what failed %s, says so, and takes the file when the fault is gone', async (_when, table, fault) => {
  const store = openStore(':memory:');
  const { keep, failures } = await opened(store);
  const before = counted(store);
  store.database.exec(`CREATE TRIGGER broken BEFORE INSERT ON ${table} BEGIN ${fault}; END`);
  await expect(keep()).rejects.toThrow(/^The run could not be imported \(no page left\)\. Import it again; .* Nothing of it is in the logbook\.$/);
  await until(isNothingBegun(store));
  expect(counted(store)).toEqual(before);
  expect(failures).toEqual(['a run could not be imported']);
  store.database.exec('DROP TRIGGER broken');
  expect(await keep()).toMatchObject({ controllerId: 'imported:1', recordCount: SECONDS });
}); // prettier-ignore

it('says that the disk is full, and clears what it wrote', async () => {
  const store = openStore(join(folderOnTrial(), 'bathkeeper.sqlite'));
  const { imports, keep } = await opened(store);
  const before = counted(store);
  // SQLite says the same of a database that may not grow as of a disk that is full (sqlite.org/rescode.html, SQLITE_FULL).
  const pages = Number(store.database.pragma('page_count', { simple: true }));
  store.database.pragma(`max_page_count = ${String(pages + 40)}`);
  await expect(keep()).rejects.toThrow(/^The disk is full, .* Make room on it/);
  await until(isNothingBegun(store));
  expect(counted(store)).toEqual(before);
  await imports.close();
  store.close();
});

it('stops when the dashboard is closed, and what was left is cleared at the next start', async () => {
  const file = join(folderOnTrial(), 'bathkeeper.sqlite');
  const store = openStore(file);
  const { imports, keep } = await opened(store);
  const before = counted(store);
  const kept = keep();
  const refused = expect(kept).rejects.toThrow(UnkeptRun);
  await until(isHalfWay(store));
  await imports.close();
  await refused;
  expect(begun(store)).toEqual(['imported:1']);
  store.close();
  const next = openStore(file);
  const again = await opened(next);
  await until(isNothingBegun(next));
  expect(counted(next)).toEqual(before);
  expect(await again.keep()).toMatchObject({ controllerId: 'imported:1', recordCount: SECONDS });
  next.close();
});

it('removes at its start what a killed process left of a file that was sent, and nothing else', async () => {
  const page = await pageOnTrial();
  const { folder } = page.trial;
  mkdirSync(join(folder, 'import-abcdef'));
  writeFileSync(join(folder, 'import-abcdef', 'run'), 'half of it');
  writeFileSync(join(folder, 'import-notes.txt'), 'mine');
  await page.trial.restart();
  expect(readdirSync(folder).filter((name) => name.startsWith('import'))).toEqual(['import-notes.txt']);
});

it('goes on when whoever sent the file has gone', async () => {
  const page = await pageOnTrial();
  const session = await letIn(page);
  const { store } = page.trial.dashboard;
  const folder = folderOnTrial();
  const path = await longFile(folder);
  const gone = new AbortController();
  const answer = fetch(`${page.address}/api/run-imports?fileName=long.json&importedBy=Mara`, {
    method: 'POST',
    headers: { ...session, 'content-type': 'application/octet-stream' },
    body: readFileSync(path),
    signal: gone.signal,
  });
  const refused = expect(answer).rejects.toThrow();
  await until(isHalfWay(store));
  gone.abort();
  await refused;
  await until(isNothingBegun(store));
  expect(importedRun(store, 'imported:1')).toMatchObject({ recordCount: SECONDS, importedBy: 'Mara' });
});
