/*
 * Writes a small file that only the owner of the program may read (mode 0600), whole or not at all: a cut in the middle leaves the old one
 * or the new one. For keys and secrets in the data folder. It never reads.
 */
import { chmodSync, closeSync, fsyncSync, openSync, renameSync, writeSync } from 'node:fs';

export const OWNER_ONLY = 0o600;

/** On disk when this returns. Throws when it cannot be written. */
export function writeForOwner(file: string, text: string): void {
  const next = `${file}.next`;
  const handle = openSync(next, 'w', OWNER_ONLY);
  try {
    writeSync(handle, text);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  // `w` keeps the mode of a file that was left over.
  chmodSync(next, OWNER_ONLY);
  renameSync(next, file);
}
