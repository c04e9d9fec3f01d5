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
import { migrations } from '../store/schema.js';
import { STORE_FILE } from '../store/store.js';

/** What SQLite keeps beside a store that was not closed: it belongs to that store and to no other. */
const BESIDE = ['', '-wal', '-shm'];

export interface WhatItHolds {
  readonly controllers: readonly string[];
  readonly runs: number;
  /** The newest record that was logged, milliseconds; undefined: none was. */
  readonly newestAtMs: number | undefined;
}

export interface Restored {
  readonly holds: WhatItHolds;
  /** Where the store lies that was replaced; undefined: there was none. */
  readonly keptAs: string | undefined;
}

/** Reads all of the backup. Throws, in a whole sentence, when it cannot be put in. */
export function checkedBackup(file: string): WhatItHolds {
  if (!existsSync(file)) throw new Error(`There is no file ${file}. Say which backup is to be put in.`);
  const backup = opened(file);
  try {
    const found = said(() => backup.pragma('integrity_check(1)', { simple: true }) as string);
    if (found !== 'ok') throw new Error(`${file} is damaged (${found}). Take an older backup.`);
    const version = backup.pragma('user_version', { simple: true }) as number;
    const tables = backup.prepare("SELECT count(*) FROM sqlite_schema WHERE name IN ('settings', 'queues')").pluck();
    if (version === 0 || tables.get() !== 2)
      throw new Error(`${file} is no store of Bathkeeper. Expected what \`npm run backup\` wrote.`);
    if (version > migrations.length)
      throw new Error(
        `${file} was written by a newer Bathkeeper (schema ${String(version)}, this one knows up to ${String(migrations.length)}). Update this one first.`,
      );
    return {
      controllers: backup.prepare<[], string>('SELECT controller_id FROM controllers ORDER BY 1').pluck().all(),
      runs: backup.prepare<[], number>('SELECT count(*) FROM runs').pluck().get()!,
      newestAtMs: newestRecordAtMs(backup),
    };
  } finally {
    backup.close();
  }
}

function newestRecordAtMs(backup: Database.Database): number | undefined {
  const hasMemories = backup.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'memories'").pluck().get() === 1;
  const sql = hasMemories ? 'SELECT max(newest_at_ms) FROM memories' : 'SELECT max(taken_at_ms) FROM records';
  return backup.prepare<[], number | null>(sql).pluck().get() ?? undefined;
}

function opened(file: string): Database.Database {
  return new Database(file, { readonly: true });
}

/** What SQLite threw, as what it found. */
function said(check: () => string): string {
  try {
    return check();
  } catch (fault) {
    return (fault as Error).message;
  }
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
