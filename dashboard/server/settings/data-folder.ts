/*
 * Makes the folder of the store, one level at a time, and says in words why it cannot. Called by main.ts at the start.
 * It never leaves that to mkdir's `recursive`, which in a place that takes no folders (/proc, some mounts) tries without end.
 */
import { accessSync, constants, mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/** What keeps the folder from being written, or undefined. Example: `dataFolderProblem('/proc/nope')` -> "… cannot be written (ENOENT …)". */
export function dataFolderProblem(folder: string): string | undefined {
  try {
    makeFolder(resolve(folder));
    accessSync(folder, constants.W_OK | constants.X_OK);
  } catch (fault) {
    return `The data folder ${folder} cannot be written (${(fault as Error).message}). Choose another with --data or BATHKEEPER_DATA.`;
  }
  return undefined;
}

function makeFolder(folder: string): void {
  const found = statSync(folder, { throwIfNoEntry: false });
  if (found?.isDirectory()) return;
  if (found !== undefined) throw new Error(`${folder} is a file, expected a folder`);
  makeFolder(dirname(folder));
  try {
    mkdirSync(folder, { mode: 0o700 });
  } catch (fault) {
    // Another start may have made it in between.
    if ((fault as NodeJS.ErrnoException).code !== 'EEXIST') throw fault;
  }
}
