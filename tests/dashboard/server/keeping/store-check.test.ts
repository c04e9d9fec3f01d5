/* What is wrong with the store's file is told before it is opened for use, or by a look at all of it, and nothing of it is changed by that. */
import { closeSync, copyFileSync, openSync, readFileSync, statSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, describe, expect, it } from 'vitest';
import { manualClock } from '@bathkeeper/dashboard';
import { openBackupFolder } from '../../../../dashboard/server/keeping/backup-folder.js';
import { openKeeping, type Keeping } from '../../../../dashboard/server/keeping/keeping.js';
import { openReading } from '../../../../dashboard/server/keeping/reading.js';
import { storeFaults } from '../../../../dashboard/server/keeping/store-check.js';
import { startFaultWords } from '../../../../dashboard/server/settings/start-fault.js';
import { openStore, type Store, STORE_FILE } from '../../../../dashboard/server/store/store.js';
import { DamagedStore } from '../../../../dashboard/server/store/store-file.js';
import { CONTROLLER, dashboardOnTrial, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

const closings: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closings.splice(0).reverse()) await close();
});

function filledStore(file: string, records = 2000): Store {
  const store = openStore(file);
  for (let first = 1; first <= records; first += 100)
    store.takeOutbox({
      controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: first * 10, receivedAtMs: EVENING_MS + first * 1000, events: [],
      records: Array.from({ length: 100 }, (_, index) => recordRow({ first: first + index, uptime: (first + index) * 10 })),
    }); // prettier-ignore
  return store;
}
/** Writes nonsense over a page of raw records that is not the first of its tree, as a failing disk does. */
function damaged(file: string): void {
  const store = new Database(file);
  const pageBytes = store.pragma('page_size', { simple: true }) as number;
  const pages = store.prepare<[], number>("SELECT pageno FROM dbstat WHERE name = 'raw_records' AND pagetype = 'leaf' ORDER BY pageno").pluck().all(); // prettier-ignore
  store.close();
  const handle = openSync(file, 'r+');
  writeSync(handle, Buffer.alloc(pageBytes, 0x5a), 0, pageBytes, (pages[2]! - 1) * pageBytes);
  closeSync(handle);
}
const faultOf = (file: string): unknown => {
  try {
    openStore(file).close();
  } catch (fault) {
    return fault;
  }
  return undefined;
};

describe('a file that is no sound store', () => {
  const refused: readonly [string, (file: string) => void, RegExp][] = [
    ['is a letter', (file) => { writeFileSync(file, 'Dear reader, this is no store. '.repeat(300)); }, /no SQLite file: expected .*got "Dear reader, thi"/],
    ['was emptied while changes to it lie beside it', (file) => { writeFileSync(file, ''); writeFileSync(`${file}-wal`, 'changes'); }, /empty, but changes to it lie beside/],
    ['belongs to another program', (file) => { new Database(file).exec('CREATE TABLE recipes_of_cakes (a)').close(); }, /no store of Bathkeeper, but holds table recipes_of_cakes/],
    ['lost a table', (file) => { filledStore(file, 100).close(); new Database(file).exec('DROP TABLE minutes').close(); }, /the table minutes is missing/],
    ['lost a column', (file) => { filledStore(file, 100).close(); new Database(file).exec('ALTER TABLE commands DROP COLUMN words').close(); }, /the table commands has no words/],
    ['lost what keeps a ledger from being changed', (file) => { filledStore(file, 100).close(); new Database(file).exec('DROP TRIGGER ledger_entries_stay').close(); }, /the trigger ledger_entries_stay is missing/],
  ]; // prettier-ignore
  it.each(refused)('because it %s is refused with what was found and the way back, and stays as it is', (_why, made, words) => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    made(file);
    const before = readFileSync(file);
    const fault = faultOf(file);
    expect(fault).toBeInstanceOf(DamagedStore);
    expect((fault as Error).message).toMatch(words);
    expect(startFaultWords(fault, '/data')).toMatch(/store in \/data is damaged \(.*npm run restore -- BACKUP.*nobody is called/);
    expect(readFileSync(file).equals(before)).toBe(true);
  }); // prettier-ignore

  it('is not one whose process was killed before it had a log: what was half written is put back', () => {
    const [folder, killed] = [folderOnTrial(), folderOnTrial()];
    const store = openStore(join(folder, STORE_FILE));
    store.setSetting('house', 'north');
    store.database.pragma('journal_mode = DELETE');
    // So little memory that the change reaches the file, and its journal the disk, before it is committed.
    store.database.pragma('cache_size = 1');
    store.database.exec(`BEGIN; UPDATE settings SET value = 'south';
      WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 5000) INSERT INTO settings SELECT 'more ' || i, hex(zeroblob(200)) FROM n`);
    for (const name of [STORE_FILE, `${STORE_FILE}-journal`]) copyFileSync(join(folder, name), join(killed, name));
    store.database.exec('ROLLBACK');
    store.close();
    const opened = openStore(join(killed, STORE_FILE));
    expect(opened.setting('house')).toBe('north');
    expect(opened.database.prepare('SELECT count(*) FROM settings').pluck().get()).toBe(1);
    opened.close();
  });

  it('is not one that is missing, that nothing was put into, or that holds a table more', () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    expect(faultOf(file)).toBeUndefined();
    new Database(file).exec('CREATE TABLE notes_of_mine (a)').close();
    expect(faultOf(file)).toBeUndefined();
    const empty = join(folderOnTrial(), 'bathkeeper.sqlite');
    writeFileSync(empty, '');
    expect(faultOf(empty)).toBeUndefined();
    expect(statSync(empty).size).toBeGreaterThan(0);
  });
});

describe('a look at all of the store', () => {
  it('finds nothing in a sound one, and the page that a failing disk spoilt, which the start cannot see', () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    filledStore(file).close();
    expect(storeFaults(file)).toEqual([]);
    damaged(file);
    openStore(file).close();
    expect(storeFaults(file).join('; ')).toMatch(/page|malformed/i);
  });

  async function keepingOf(file: string): Promise<{ keeping: Keeping; alarms: () => string[]; failures: string[] }> {
    const trial = await dashboardOnTrial({ connect: false });
    const failures: string[] = [];
    const reading = openReading(file, () => undefined);
    closings.push(() => reading.close());
    const { dashboard } = trial;
    const keeping = openKeeping({
      clock: manualClock(EVENING_MS), store: dashboard.store, dataFolder: trial.folder, folder: openBackupFolder(trial.folder, true),
      recordsKeptDays: 90, freeBytes: () => undefined, reading, alarms: dashboard.alarms, changed: () => undefined, failed: (what) => failures.push(what),
    }); // prettier-ignore
    return {
      keeping,
      failures,
      alarms: () => dashboard.alarms.views(EVENING_MS).map((one) => `${one.name} ${one.state}`),
    };
  }

  it('is taken in a thread, tells a damaged store as an alarm that calls, once, and ends it when a later look finds it sound', async () => {
    const file = join(folderOnTrial(), 'bathkeeper.sqlite');
    filledStore(file).close();
    const whole = readFileSync(file);
    damaged(file);
    const { keeping, alarms, failures } = await keepingOf(file);
    expect(keeping.view().check.state).toBe('not-yet');
    const looking = keeping.checkStore();
    expect(keeping.view().check.state).toBe('under-way');
    expect(keeping.checkStore()).toBe(looking);
    await looking;
    expect(keeping.view().check).toMatchObject({ state: 'damaged', atMs: EVENING_MS });
    await keeping.checkStore();
    expect(alarms()).toEqual(['store-damaged unacknowledged']);
    writeFileSync(file, whole);
    await keeping.checkStore();
    expect(keeping.view().check).toEqual({ state: 'sound', atMs: EVENING_MS, found: [] });
    expect(alarms()).toEqual(['store-damaged returned-unacknowledged']);
    expect(failures).toEqual([]);
  });

  it('that cannot be taken is said so, and is no alarm', async () => {
    const { keeping, alarms, failures } = await keepingOf(join(folderOnTrial(), 'elsewhere.sqlite'));
    await keeping.checkStore();
    expect(keeping.view().check).toMatchObject({
      state: 'unread',
      found: [expect.stringContaining('could not be read')],
    });
    expect(alarms()).toEqual([]);
    expect(failures).toEqual(['the store could not be checked']);
  });
});
