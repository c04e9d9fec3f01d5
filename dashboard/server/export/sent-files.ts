/*
 * Where a file lies that somebody sent, until its run is in the store: in a folder of its own beside the store, where there is room for both. Used by the route of imports;
 * cleared at the start, since a process that is killed clears nothing.
 */
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Store } from '../store/store.js';

const BEGINS = 'import-';

const folderOf = ({ database: { name } }: Store): string => (name === ':memory:' ? tmpdir() : dirname(name));

/** An empty folder, to be removed by whoever asked. */
export function folderForSent(store: Store): string {
  return mkdtempSync(join(folderOf(store), BEGINS));
}

/** What a process before this one left. The store is locked: no other lives. */
export function clearSent(store: Store): void {
  if (store.database.memory) return;
  for (const entry of readdirSync(folderOf(store), { withFileTypes: true }))
    if (entry.isDirectory() && entry.name.startsWith(BEGINS))
      rmSync(join(folderOf(store), entry.name), { recursive: true, force: true });
}
