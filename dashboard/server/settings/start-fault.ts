/*
 * Why the dashboard cannot open its data folder, in words that say what to do. Called by main.ts when the start fails; pure.
 */

import { DamagedStore } from '../store/store-file.js';

const DAMAGED =
  'Put the newest backup in its place with `npm run restore -- BACKUP` (the damaged store is kept beside it), and start again. ' +
  'Without a backup move bathkeeper.sqlite and its -wal and -shm out of the folder and keep them: the dashboard then starts with an empty store, without contacts, recipes and past nights, and each controller is paired anew';

/** By SQLite's result code (sqlite.org/rescode.html), longer codes by their beginning: what is wrong, and what to do. */
const WORDS: readonly (readonly [code: string, what: string, whatToDo: string])[] = [
  ['SQLITE_FULL', 'has no room on its disk', 'Free space there (`df` shows it), then start again'],
  ['SQLITE_IOERR', 'cannot be read or written', 'Look whether the disk is full (`df` shows it) or fails (`dmesg` tells of it), then start again'], // prettier-ignore
  [
    'SQLITE_READONLY',
    'cannot be written',
    'Look whether the disk was mounted read-only, or the files belong to another user',
  ],
  [
    'SQLITE_CANTOPEN',
    'cannot be opened',
    'Look whether bathkeeper.sqlite there is a file that this user may read and write',
  ],
  ['SQLITE_CORRUPT', 'is damaged', DAMAGED],
  ['SQLITE_NOTADB', 'is damaged', DAMAGED],
];

/** Example: a full disk -> "The store in /data has no room on its disk (database or disk is full). Free space there …". */
export function startFaultWords(fault: unknown, folder: string): string {
  const { code, message } = fault as Error & { code?: string };
  if (fault instanceof DamagedStore) return told(folder, 'is damaged', message, DAMAGED);
  const words = WORDS.find(([beginning]) => code?.startsWith(beginning) === true);
  if (words === undefined) return message;
  const [, what, whatToDo] = words;
  return told(folder, what, message, whatToDo);
}

function told(folder: string, what: string, message: string, whatToDo: string): string {
  return `The store in ${folder} ${what} (${message}). ${whatToDo}. Until it starts nobody is called; the controllers go on by themselves.`;
}
