/*
 * The store of a process that was killed (SIGKILL) while it wrote and summed, let old records go, imported runs, backed up or migrated, at instants of a seed,
 * again and again. Ten kills; BATHKEEPER_STORE_KILLS says how many.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { migrations } from '../../../../dashboard/server/store/schema.js';
import { openImports } from '../../../../dashboard/server/export/imports.js';
import { openStore, type Store } from '../../../../dashboard/server/store/store.js';
import { inexactMinutes, inexactTenMinutes } from '../../../benchmarks/year-store.js';
import { folderOnTrial } from '../dashboard-on-trial.js';
import { tellLong } from '../export/long-run.js';
import { EVENING_MS, fileOf, fullTold, RUN, runOf, tellMore } from '../export/run-on-trial.js';
import { drawn } from '../../../seeded-draws.js';

const KILLS = Number(process.env.BATHKEEPER_STORE_KILLS ?? 10);
const SEED = Number(process.env.BATHKEEPER_SEED ?? 5);
const OLD_RECORDS = 20_000;
const WORKS = ['write', 'let go', 'import', 'back up', 'migrate'] as const;
/** Of the run that is imported again and again, in some ten steps. */
const IMPORTED_RECORDS = 4500;
/** A migration of so many records takes some 100 ms, a backup and a transaction less: kills are spread over all of it. */
const WHILE_MS_MAX = 150;

/** Answers once it has begun; `said` grows. */
async function started(work: string, folder: string): Promise<{ child: ChildProcess; said: () => string }> {
  const program = fileURLToPath(new URL('keeper-to-kill.mjs', import.meta.url));
  const child = spawn(process.execPath, [program, work, folder], { stdio: ['ignore', 'pipe', 'inherit'] });
  let said = '';
  await new Promise<void>((done, failed) => {
    child.stdout.on('data', (bytes: Buffer) => {
      said += bytes.toString();
      done();
    });
    child.once('exit', () => {
      failed(new Error(`it ended before it began to ${work}`));
    });
  });
  return { child, said: () => said };
}
async function killed(child: ChildProcess): Promise<void> {
  const gone = once(child, 'close');
  expect(child.exitCode, 'it ended by itself').toBe(null);
  child.kill('SIGKILL');
  await gone;
}

/** The schema before records lay in order of time, with records in it. */
function olderStore(folder: string): void {
  const old = new Database(join(folder, 'bathkeeper.sqlite'));
  const version = migrations.findIndex((text) => text.includes('CREATE TABLE raw_records'));
  for (const text of migrations.slice(0, version)) old.exec(text);
  old.pragma(`user_version = ${String(version)}`);
  old.exec(`
    INSERT INTO queues VALUES ('north-bench', 7, ${String(OLD_RECORDS)}, 0, 0, 0, ${String(OLD_RECORDS)});
    INSERT INTO boots VALUES ('north-bench', 7, 1, 1768000000000);
    WITH RECURSIVE numbers(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM numbers WHERE n < ${String(OLD_RECORDS)})
    INSERT INTO records SELECT 'north-bench', 7, n, 1, 1, n * 10, 1768000000000 + n * 1000, 1, 4, 0, n * 19000, 1900, 1, 1900 + n % 13,
      1890 + n % 11, 1910 + n % 17, 2100, 1, 2400, 0, 0 FROM numbers`);
  old.close();
}

function opened(file: string, what: string): Store {
  try {
    return openStore(file);
  } catch (fault) {
    throw new Error(`${what}: ${String((fault as { code?: string }).code)}, beside it ${readdirSync(dirname(file)).join(', ')}`, { cause: fault });
  }
} // prettier-ignore

/** Its file in the folder. */
async function runToImport(folder: string): Promise<void> {
  const elsewhere = openStore(':memory:');
  tellLong(elsewhere, RUN, IMPORTED_RECORDS, EVENING_MS);
  tellMore(elsewhere, fullTold);
  writeFileSync(join(folder, 'run.json'), await fileOf(runOf(elsewhere), 'json'));
  elsewhere.close();
}

/** Whether one had to be cleared: then nothing is left of it, and all others are whole. */
async function importsAreWhole(store: Store, what: string): Promise<number> {
  const number = (sql: string): number => store.database.prepare<[], number>(sql).pluck().get()!;
  const begun = number('SELECT count(*) FROM begun_imports');
  expect(begun, what).toBeLessThanOrEqual(1);
  const imports = openImports({ store, failed: (fault) => expect.fail(fault) });
  while (imports.clearNext());
  await imports.close();
  expect(number('SELECT count(*) FROM begun_imports'), what).toBe(0);
  const runs = number('SELECT count(*) FROM imported_runs');
  expect(number("SELECT count(*) FROM memories WHERE controller_id <> 'north-bench'"), what).toBe(runs);
  for (const [table, rows] of [
    ['raw_records WHERE controller NOT IN (SELECT controller FROM memories WHERE controller_id = \'north-bench\')', IMPORTED_RECORDS],
    ['events', Math.ceil(IMPORTED_RECORDS / 3600)],
    ['imported_alarms', fullTold.alarms.length],
    ['run_entries', fullTold.entries.length],
    ['runs', 1],
    ["queues WHERE controller_id <> 'north-bench'", 1],
  ] as const)
    expect(number(`SELECT count(*) FROM ${table}`), `${table}, ${what}`).toBe(runs * rows);
  return begun;
} // prettier-ignore

describe('the store of a killed process', () => {
  it(
    'opens, has everything that was acknowledged, and its minutes are those of its records',
    { timeout: 60_000 + KILLS * 10_000 },
    async () => {
      const random = drawn(SEED);
      let halfWay = 0;
      const folders = { usual: folderOnTrial(), ageing: folderOnTrial(), importing: folderOnTrial() };
      const acknowledged = { usual: 0, ageing: 0, importing: 0 };
      await runToImport(folders.importing);
      for (let turn = 0; turn < KILLS; turn++) {
        const work = WORKS[turn % WORKS.length]!;
        const kind = work === 'let go' ? 'ageing' : work === 'import' ? 'importing' : 'usual';
        const where = work === 'migrate' ? folderOnTrial() : folders[kind];
        if (work === 'migrate') olderStore(where);
        const writer = work === 'back up' ? await started('write', where) : undefined;
        const keeper = await started(work, where);
        // Not to wait for anything: the instant of the kill is drawn.
        await new Promise((done) => setTimeout(done, random() * WHILE_MS_MAX));
        await killed(keeper.child);
        if (writer !== undefined) await killed(writer.child);
        const told = [...(writer?.said() ?? keeper.said()).matchAll(/^(\d+)\n/gm)].map(([, number]) => Number(number));
        const through = Math.max(work === 'migrate' ? OLD_RECORDS : acknowledged[kind], ...told);
        if (work !== 'migrate') acknowledged[kind] = through;

        const what = `kill ${String(turn)} of seed ${String(SEED)}, while it was to ${work}`;
        const store = opened(join(where, 'bathkeeper.sqlite'), what);
        const number = (sql: string): number => store.database.prepare<[], number>(sql).pluck().get()!;
        // Of the controller that writes; what was imported has numbers of its own.
        const own = '(SELECT controller FROM memories WHERE controller_id = \'north-bench\')'; // prettier-ignore
        const goneBeforeMs = number('SELECT coalesce(max(gone_before_ms), 0) FROM raw_ends');
        // Each second is there, or was old enough to go; what is gone is in the minutes all the same.
        const oldest = number(`SELECT min(first) FROM raw_records WHERE controller = ${own}`);
        expect(
          number(`SELECT count(*) FROM raw_records WHERE controller = ${own} AND first <= ${String(through)}`),
          what,
        ).toBe(through - oldest + 1);
        expect(number('SELECT min(taken_at_ms) FROM raw_records'), what).toBeGreaterThanOrEqual(goneBeforeMs);
        if (work !== 'let go') expect(oldest, what).toBe(1);
        const newest = number(`SELECT max(first) FROM raw_records WHERE controller = ${own}`);
        expect(number(`SELECT sum(seconds) FROM minutes WHERE controller = ${own}`), what).toBe(newest);
        expect(number(`SELECT sum(charge_added) FROM minutes WHERE controller = ${own}`), what).toBe(
          number("SELECT newest_charge FROM memories WHERE controller_id = 'north-bench'"),
        );
        expect(store.database.pragma('integrity_check', { simple: true }), what).toBe('ok');
        if (work === 'import') halfWay += await importsAreWhole(store, what);
        store.close();
        const firstWholeMinuteMs = Math.ceil(goneBeforeMs / 60_000) * 60_000;
        expect(inexactMinutes(join(where, 'bathkeeper.sqlite'), firstWholeMinuteMs), what).toBe(0);
        expect(inexactTenMinutes(join(where, 'bathkeeper.sqlite')), what).toBe(0);
        for (const name of readdirSync(where).filter((one) => /^backup-.*\.sqlite$/.test(one))) {
          const backup = new Database(join(where, name), { readonly: true });
          expect(backup.pragma('integrity_check', { simple: true }), `${name}, ${what}`).toBe('ok');
          backup.close();
        }
      }
      expect(acknowledged.usual).toBeGreaterThan(0);
      expect(acknowledged.ageing).toBeGreaterThan(0);
      expect(acknowledged.importing).toBeGreaterThan(0);
      expect(halfWay, 'imports that were killed half-way').toBeGreaterThan(0);
    },
  );
});
