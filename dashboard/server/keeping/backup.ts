/*
 * A copy of the store while the dashboard runs: one consistent instant of it, in one file. Called by the command `npm run backup`, and for
 * the page in a thread of its own (questions.ts). It never writes into the store, never over a file that exists, and leaves nothing half written
 * under the name that was asked.
 */
import Database from 'better-sqlite3';
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { OWNER_ONLY } from '../settings/owner-file.js';
import { checkedBackup, type WhatItHolds } from './checked-backup.js';

/** Of the copy, as it was read back. */
export interface BackedUp {
  readonly holds: WhatItHolds;
  readonly bytes: number;
}

/** On disk and read back when this returns. Throws, in a whole sentence, when it cannot be made. */
export function backUp(storeFile: string, to: string): BackedUp {
  if (!existsSync(storeFile))
    throw new Error(
      `There is no store at ${storeFile}. Say where the data lies with --data FOLDER or BATHKEEPER_DATA.`,
    );
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
    const holds = checkedBackup(next, 'The store itself may be damaged: check it.');
    const handle = openSync(next, 'r+');
    fsyncSync(handle);
    closeSync(handle);
    const { size: bytes } = statSync(next);
    renameSync(next, to);
    return { holds, bytes };
  } catch (fault) {
    rmSync(next, { force: true });
    throw fault;
  }
}
