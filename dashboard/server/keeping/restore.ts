/*
 * Puts a backup in the place of the store. Called by the command `npm run restore`. The backup is checked first and stays as it is; the store that
 * it replaces is kept beside it under a name of its own; nothing is deleted, and nothing changes while a dashboard runs.
 */
import Database from 'better-sqlite3';
import {
  copyFileSync,
  chmodSync,
  closeSync,
  existsSync,
  fsyncSync,
  linkSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { join } from 'node:path';
import { OWNER_ONLY } from '../settings/owner-file.js';
import { lockedFolder } from '../settings/folder-lock.js';
import { STORE_FILE } from '../store/store.js';
import { checkedBackup, type WhatItHolds } from './checked-backup.js';

/** What SQLite keeps beside a store that was not closed: it belongs to that store and to no other. */
const BESIDE = ['', '-wal', '-shm'];

export interface Restored {
  readonly holds: WhatItHolds;
  /** Where the store lies that was replaced; undefined: there was none. */
  readonly keptAs: string | undefined;
}

/** `nowMs` names the store that is replaced. The whole copy is on disk before the old one is moved. */
export function restore(folder: string, backupFile: string, nowMs: number): Restored {
  const holds = checkedBackup(backupFile);
  const freeFolder = lockedFolder(folder);
  try {
    const store = join(folder, STORE_FILE);
    const next = `${store}.restoring`;
    rmSync(next, { force: true });
    copyFileSync(backupFile, next);
    chmodSync(next, OWNER_ONLY);
    const handle = openSync(next, 'r+');
    fsyncSync(handle);
    closeSync(handle);
    const keptAs = existsSync(store) ? freeName(folder, nowMs) : undefined;
    if (keptAs !== undefined) keepBeside(store, keptAs);
    renameSync(next, store);
    return { holds, keptAs };
  } finally {
    freeFolder();
  }
}

/** The store stays under its name until the copy takes it: cut off at any instant there is one store or the other. */
function keepBeside(store: string, keptAs: string): void {
  try {
    // Closed, it has no log beside it that could be parted from it.
    const old = new Database(store);
    old.pragma('wal_checkpoint(TRUNCATE)');
    old.close();
  } catch {
    // Damaged: kept as it is, with its log.
  }
  for (const ending of ['-shm', '-wal']) if (existsSync(store + ending)) renameSync(store + ending, keptAs + ending);
  try {
    linkSync(store, keptAs);
  } catch {
    // A file system without a second name for a file.
    renameSync(store, keptAs);
  }
}

function freeName(folder: string, nowMs: number): string {
  const stamp = new Date(nowMs).toISOString().replace(/[:.]/g, '-');
  const name = join(folder, `replaced-${stamp}.sqlite`);
  if (BESIDE.some((ending) => existsSync(name + ending))) return freeName(folder, nowMs + 1);
  return name;
}
