/*
 * Which backup was made last, kept beside the store: the store that a backup copies cannot know of it, and the command writes nothing into the store.
 * Written by the command and by keeping.ts, read for the page.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import type { MadeBackup } from '@bathkeeper/shared-core/messages';
import { writeForOwner } from '../settings/owner-file.js';
import type { BackedUp } from './backup.js';

const FILE = 'newest-backup.json';
const shape = z.object({
  madeAtMs: z.number(),
  file: z.string(),
  bytes: z.number(),
  runs: z.number(),
  newestRecordAtMs: z.number().nullable(),
});

/** False: it could not be written. The backup is there all the same. */
export function noteBackup(
  dataFolder: string,
  made: BackedUp & { readonly madeAtMs: number; readonly file: string },
): boolean {
  const { madeAtMs, file, bytes, holds } = made;
  const note: z.infer<typeof shape> = {
    madeAtMs,
    file,
    bytes,
    runs: holds.runs,
    newestRecordAtMs: holds.newestAtMs ?? null,
  };
  try {
    writeForOwner(join(dataFolder, FILE), JSON.stringify(note));
    return true;
  } catch {
    return false;
  }
}

/** null: none was made here, or its note cannot be read. */
export function newestBackup(dataFolder: string): MadeBackup | null {
  try {
    const note = shape.parse(JSON.parse(readFileSync(join(dataFolder, FILE), 'utf8')));
    return { ...note, isThere: existsSync(note.file) };
  } catch {
    return null;
  }
}
