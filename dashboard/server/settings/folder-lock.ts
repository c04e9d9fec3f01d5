/*
 * One dashboard for each data folder: two would both send commands, both call, and disagree about what is on disk. Held by the
 * composition root as long as it runs. The operating system frees it with the process, so a killed one leaves nothing behind.
 */
import Database from 'better-sqlite3';
import { join } from 'node:path';

const LOCK_FILE = 'in-use.lock';

/** Takes the folder; answers what frees it again. Throws, in a whole sentence, when another dashboard holds it. */
export function lockedFolder(folder: string): () => void {
  // SQLite's own lock: every system that can run the store can keep it.
  const lock = new Database(join(folder, LOCK_FILE), { timeout: 0 });
  try {
    lock.pragma('journal_mode = MEMORY');
    lock.exec('BEGIN EXCLUSIVE');
  } catch (fault) {
    lock.close();
    if ((fault as { code?: string }).code?.startsWith('SQLITE_BUSY') !== true) throw fault;
    throw new Error(
      `Another Bathkeeper is running on the data folder ${folder}. Stop that one first, or choose another folder with --data or BATHKEEPER_DATA.`,
      { cause: fault },
    );
  }
  return () => {
    lock.close();
  };
}
