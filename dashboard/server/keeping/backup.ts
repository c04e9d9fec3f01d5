/*
 * A copy of the store while the dashboard runs: one consistent instant of it, in one file. Called by the command `npm run backup`. It never writes
 * into the store, never over a file that exists, and leaves nothing half written under the name that was asked.
 */
import Database from 'better-sqlite3';
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { OWNER_ONLY } from '../settings/owner-file.js';

/** On disk and checked when this returns. Throws, in a whole sentence, when it cannot be made. */
export function backUp(storeFile: string, to: string): void {
  if (!existsSync(storeFile))
    throw new Error(`There is no store at ${storeFile}. Say where the data lies with BATHKEEPER_DATA.`);
  if (existsSync(to)) throw new Error(`${to} exists already. Choose another name: a backup is never written over.`);
  const next = `${to}.next`;
  rmSync(next, { force: true });
  // Of the owner alone before anything is in it; SQLite fills a file that is empty.
  writeFileSync(next, '', { mode: OWNER_ONLY });
  try {
    const store = new Database(storeFile, { readonly: true });
    try {
      // One reading of one instant: unlike copying page by page it need not begin anew whenever a record is written.
      store.prepare('VACUUM INTO ?').run(next);
    } finally {
      store.close();
    }
    const copy = new Database(next, { readonly: true });
    const found = copy.pragma('quick_check(1)', { simple: true });
    copy.close();
    if (found !== 'ok') throw new Error(`The copy is not sound (${String(found)}). The store itself may be damaged.`);
    const handle = openSync(next, 'r+');
    fsyncSync(handle);
    closeSync(handle);
    renameSync(next, to);
  } catch (fault) {
    rmSync(next, { force: true });
    throw fault;
  }
}
