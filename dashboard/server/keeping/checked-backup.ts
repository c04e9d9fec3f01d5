/* Reads all of a backup and tells what it holds. Asked before one is restored, and of each one that was just made. It only reads. */
import Database from 'better-sqlite3';
import { existsSync } from 'node:fs';
import { migrations } from '../store/schema.js';
import { schemaFaults } from '../store/store-file.js';

export interface WhatItHolds {
  readonly controllers: readonly string[];
  readonly runs: number;
  /** The newest record that was logged, milliseconds; undefined: none was. */
  readonly newestAtMs: number | undefined;
}

/** Throws, in a whole sentence, when it cannot be put in. `ifDamaged`: what to do then. */
export function checkedBackup(file: string, ifDamaged = 'Take an older backup.'): WhatItHolds {
  if (!existsSync(file)) throw new Error(`There is no file ${file}. Say which backup is to be put in.`);
  const backup = new Database(file, { readonly: true });
  try {
    const found = said(() => backup.pragma('integrity_check(1)', { simple: true }) as string);
    if (found !== 'ok') throw new Error(`${file} is damaged (${found}). ${ifDamaged}`);
    const version = backup.pragma('user_version', { simple: true }) as number;
    const tables = backup.prepare("SELECT count(*) FROM sqlite_schema WHERE name IN ('settings', 'queues')").pluck();
    if (version === 0 || tables.get() !== 2)
      throw new Error(`${file} is no store of Bathkeeper. Expected what \`npm run backup\` wrote.`);
    if (version > migrations.length)
      throw new Error(
        `${file} was written by a newer Bathkeeper (schema ${String(version)}, this one knows up to ${String(migrations.length)}). Update this one first.`,
      );
    const [fault] = schemaFaults(backup);
    if (fault !== undefined) throw new Error(`${file} is damaged (${fault}). ${ifDamaged}`);
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

/** What SQLite threw, as what it found. */
function said(check: () => string): string {
  try {
    return check();
  } catch (fault) {
    return (fault as Error).message;
  }
}
