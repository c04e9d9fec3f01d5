/*
 * Is the file that is to be opened a store of Bathkeeper, whole as far as its beginning and its schema tell? Asked by store.ts before anything is
 * written into it: opened as it is, a foreign file would be changed, and an emptied one would pass for a new store. It only reads. Damage deeper in
 * the file is found by store-check.ts, once the baths are watched.
 */
import Database from 'better-sqlite3';
import { closeSync, existsSync, openSync, readSync, statSync } from 'node:fs';
import { migrations } from './schema.js';

/** The first 16 bytes of every SQLite file (sqlite.org/fileformat2.html, 1.3). */
const MAGIC = 'SQLite format 3\0';
const NAMED_MAX = 5;

/** The message is a whole sentence without what to do. */
export class DamagedStore extends Error {}

/** Throws DamagedStore, or SQLite's own fault where the file cannot be read. A file that is missing, or that nothing was ever put into, is a new store. */
export function checkStoreFile(file: string): void {
  // What is no file at all SQLite refuses by itself.
  const found = statSync(file, { throwIfNoEntry: false });
  if (found?.isFile() !== true) return;
  if (found.size === 0) {
    // A store is never empty while it has a log: what was in it was cut off.
    if (existsSync(`${file}-wal`) && statSync(`${file}-wal`).size > 0)
      throw new DamagedStore('it is empty, but changes to it lie beside it');
    return;
  }
  const begins = beginningOf(file);
  if (begins !== MAGIC)
    throw new DamagedStore(`it is no SQLite file: expected it to begin with "SQLite format 3", got ${JSON.stringify(begins)}`); // prettier-ignore
  const store = openedToRead(file);
  try {
    const faults = schemaFaults(store);
    if (faults.length > 0)
      throw new DamagedStore(
        `${faults.slice(0, NAMED_MAX).join('; ')}${faults.length > NAMED_MAX ? `; and ${String(faults.length - NAMED_MAX)} more` : ''}`,
      );
  } finally {
    store.close();
  }
}

/** A process that was killed before its store had a log left a journal. To put back what was there before is for a connection that may write. */
function openedToRead(file: string): Database.Database {
  const store = new Database(file, { readonly: true });
  try {
    store.pragma('user_version');
    return store;
  } catch (fault) {
    store.close();
    if ((fault as { code?: string }).code !== 'SQLITE_READONLY_ROLLBACK') throw fault;
    return new Database(file, { fileMustExist: true });
  }
}

function beginningOf(file: string): string {
  const bytes = Buffer.alloc(MAGIC.length);
  const handle = openSync(file, 'r');
  try {
    return bytes.subarray(0, readSync(handle, bytes)).toString('latin1');
  } finally {
    closeSync(handle);
  }
}

/**
 * What is missing of what its version's migrations make: tables with their columns, views, indexes, triggers. More than that harms nobody. A version
 * that nobody knows yet is not judged here. Example: a store without its minutes is `['the table minutes is missing']`.
 */
export function schemaFaults(store: Database.Database): string[] {
  const version = store.pragma('user_version', { simple: true }) as number;
  const found = madeOf(store);
  if (version === 0)
    return found.size > 0 ? [`it is no store of Bathkeeper, but holds ${[...found.keys()].slice(0, NAMED_MAX).join(', ')}`] : []; // prettier-ignore
  if (version > migrations.length) return [];
  return [...madeBy(version)].flatMap(([what, columns]) => {
    const there = found.get(what);
    if (there === undefined) return [`the ${what} is missing`];
    const missing = columns.filter((column) => !there.includes(column));
    return missing.length === 0 ? [] : [`the ${what} has no ${missing.join(', ')}`];
  });
}

const known = new Map<number, Map<string, string[]>>();

/** What the migrations up to a version make of an empty store. */
function madeBy(version: number): Map<string, string[]> {
  let made = known.get(version);
  if (made === undefined) {
    const empty = new Database(':memory:');
    for (const text of migrations.slice(0, version)) empty.exec(text);
    made = madeOf(empty);
    empty.close();
    known.set(version, made);
  }
  return made;
}

/** Each table, view, index and trigger by kind and name, with the columns of a table. */
function madeOf(store: Database.Database): Map<string, string[]> {
  const columns = store.prepare<[string], string>('SELECT name FROM pragma_table_info(?)').pluck();
  return new Map(
    store
      .prepare<[], { type: string; name: string }>(
        "SELECT type, name FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%'",
      )
      .all()
      .map(({ type, name }) => [`${type} ${name}`, type === 'table' ? columns.all(name) : []]),
  );
}
