/*
 * Reads every page of the store and tells what of it is damaged. Asked in a thread of its own (questions.ts): a year takes many seconds. It mends
 * nothing.
 */
import Database from 'better-sqlite3';

/** Of so many faults each is named; one is enough to restore a backup. */
const FAULTS_MAX = 5;

/** What SQLite finds (`PRAGMA quick_check`: all but whether an index holds what its table holds); none: the store is sound. */
export function storeFaults(file: string): string[] {
  // Opened for it: a connection that was used before would answer from the pages that it remembers.
  const database = new Database(file, { readonly: true, fileMustExist: true });
  try {
    const found = database.pragma(`quick_check(${String(FAULTS_MAX)})`) as { quick_check: string }[];
    return found.map((row) => row.quick_check).filter((words) => words !== 'ok');
  } catch (fault) {
    // What is damaged enough cannot even be walked through.
    const { code, message } = fault as Error & { code?: string };
    if (code?.startsWith('SQLITE_CORRUPT') === true || code === 'SQLITE_NOTADB') return [message];
    throw fault;
  } finally {
    database.close();
  }
}
