/* A backup put in the place of the store, and every way in which it is refused. */
import { copyFileSync, existsSync, readdirSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { backUp } from '../../../../dashboard/server/keeping/backup.js';
import { restore } from '../../../../dashboard/server/keeping/restore.js';
import { lockedFolder } from '../../../../dashboard/server/settings/folder-lock.js';
import { openStore, type Store, STORE_FILE } from '../../../../dashboard/server/store/store.js';
import { CONTROLLER, EVENING_MS, folderOnTrial } from '../dashboard-on-trial.js';
import { recordRow } from '../quiet-bath.js';

function take(store: Store, first: number): void {
  store.takeOutbox({ controllerId: CONTROLLER, incarnation: 7, boot: 1, uptimeTenths: first * 10, receivedAtMs: EVENING_MS + first * 1000, records: [recordRow({ first })], events: [] }); // prettier-ignore
}
const recordsIn = (file: string): unknown => {
  const store = openStore(file);
  const count = store.database.prepare('SELECT count(*) FROM records').pluck().get();
  store.close();
  return count;
};
/** A folder with a store of 200 records, a backup of it, and 300 in the store by now. */
function folderWithBackup(): { folder: string; store: string; backup: string } {
  const folder = folderOnTrial();
  const [store, backup] = [join(folder, STORE_FILE), join(folder, 'backup.sqlite')];
  const open = openStore(store);
  for (let first = 1; first <= 200; first++) take(open, first);
  backUp(store, backup);
  for (let first = 201; first <= 300; first++) take(open, first);
  open.close();
  return { folder, store, backup };
}

describe('a restored backup', () => {
  it('is the store of its instant, tells what it holds, and the one before stays beside it whole', () => {
    const { folder, store, backup } = folderWithBackup();
    const { holds, keptAs } = restore(folder, backup, EVENING_MS);
    expect(holds).toMatchObject({ controllers: [], runs: 0 });
    expect(holds.newestAtMs).toBe(EVENING_MS + 200_000);
    expect(keptAs).toBe(join(folder, 'replaced-2026-01-10T20-00-00-000Z.sqlite'));
    expect(recordsIn(store)).toBe(200);
    expect(recordsIn(keptAs!)).toBe(300);
    expect(statSync(store).mode & 0o777).toBe(0o600);
    // Back again, and the backup itself is untouched.
    expect(restore(folder, keptAs!, EVENING_MS).keptAs).not.toBe(keptAs);
    expect(recordsIn(store)).toBe(300);
    expect(recordsIn(backup)).toBe(200);
  });

  it('takes along what a store that was not closed has in its log, and leaves none of it to the new one', () => {
    const { folder, store, backup } = folderWithBackup();
    const open = openStore(store);
    take(open, 301);
    const log = folderOnTrial();
    for (const ending of ['', '-wal']) copyFileSync(store + ending, join(log, `cut${ending}`));
    open.close();
    // As after a power cut: the newest record is in the log alone.
    for (const ending of ['', '-wal']) copyFileSync(join(log, `cut${ending}`), store + ending);
    const { keptAs } = restore(folder, backup, EVENING_MS);
    expect(existsSync(`${store}-wal`)).toBe(false);
    expect(recordsIn(store)).toBe(200);
    expect(recordsIn(keptAs!)).toBe(301);
  });

  it('starts a folder that has no store', () => {
    const { backup } = folderWithBackup();
    const folder = folderOnTrial();
    expect(restore(folder, backup, EVENING_MS).keptAs).toBeUndefined();
    expect(recordsIn(join(folder, STORE_FILE))).toBe(200);
  });

  it('is refused, and nothing changes, where it is missing, damaged, foreign or newer, or a dashboard runs', () => {
    const { folder, store, backup } = folderWithBackup();
    const bad = (name: string): string => join(folder, name);
    copyFileSync(backup, bad('cut.sqlite'));
    truncateSync(bad('cut.sqlite'), 40_000);
    writeFileSync(bad('text.sqlite'), 'this is no store, and long enough to be read as a page'.repeat(40));
    new Database(bad('foreign.sqlite')).exec('CREATE TABLE t (x)').close();
    copyFileSync(backup, bad('newer.sqlite'));
    const newer = new Database(bad('newer.sqlite'));
    newer.pragma('user_version = 999');
    newer.close();
    const before = readFileSync(store);
    const files = readdirSync(folder).filter((name) => name !== 'in-use.lock');
    for (const [name, why] of [
      ['none.sqlite', /There is no file/],
      ['cut.sqlite', /damaged.*older backup/],
      ['text.sqlite', /damaged \(file is not a database\)/],
      ['foreign.sqlite', /no store of Bathkeeper.*npm run backup/],
      ['newer.sqlite', /newer Bathkeeper \(schema 999.*Update/],
    ] as const)
      expect(() => restore(folder, bad(name), EVENING_MS), name).toThrow(why);
    const free = lockedFolder(folder);
    expect(() => restore(folder, backup, EVENING_MS)).toThrow(/Another Bathkeeper is running.*Stop that one first/);
    free();
    expect(readFileSync(store).equals(before)).toBe(true);
    expect(readdirSync(folder).filter((name) => !/in-use|-shm|-wal/.test(name))).toEqual(files.filter((name) => !/-shm|-wal/.test(name))); // prettier-ignore
  });
});
