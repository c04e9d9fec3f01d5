/*
 * Reads and checks a run from a file, and sets its rows aside. In the program it runs in a thread of its own (aside-thread.ts): a week takes a minute, in which
 * every sample is acknowledged as ever.
 */
import { openRowsToBe, type LastRows } from './rows-aside.js';
import { readRunFile } from './read-run-file.js';
import type { RunHeader } from './run-header.js';
import { takenRun } from './taken-run.js';

export interface SetAside {
  readonly header: RunHeader;
  readonly last: LastRows;
}

/** From the file `path` into the new file `aside`. Rejects with UnreadableRun where the file cannot be taken. */
export async function setAside(path: string, aside: string): Promise<SetAside> {
  const rows = openRowsToBe(aside);
  try {
    const taken = takenRun(rows);
    await readRunFile(path, taken);
    const header = taken.whole();
    return { header, last: rows.last() };
  } finally {
    rows.close();
  }
}
