/*
 * The folder into which the page's backups go: its names, what lies in it, whether there is room. Used by keeping.ts. It takes away only what a
 * person names, and what a backup that was cut off left behind.
 */
import { existsSync, mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { KeptBackup } from '@bathkeeper/shared-core/messages';
import { bytesWords, diskSpace } from '../house/disk-space.js';

const NAME = /^bathkeeper-(\d{4}-\d\d-\d\d)T(\d\d)-(\d\d)-(\d\d)Z\.sqlite$/;
/** Left by a process that was killed while it made one. */
const UNFINISHED = /^bathkeeper-[\dTZ-]+\.sqlite\.next(-journal)?$/;
/** Left free beside a backup, so that the store goes on. */
const LEFT_FREE_BYTES = 256e6;

/** None where there is no such folder, or its disk is not there. */
function namesIn(path: string): string[] {
  try {
    return readdirSync(path);
  } catch {
    return [];
  }
}

export interface BackupFolder {
  readonly path: string;
  /** The newest first. */
  kept(): KeptBackup[];
  /** Is it on the disk of another folder? One that is not there yet will be made beside the store. */
  sharesDiskWith(folder: string): boolean;
  /** Undefined: there is none of that name. */
  fileOf(name: string): string | undefined;
  /** False: there was none of that name. Throws where the system does not let it go. */
  takeAway(name: string): boolean;
  /** A name that is free, in a folder that has room for so many bytes; a problem in whole sentences. */
  place(nowMs: number, bytes: number): Promise<{ readonly file: string } | { readonly problem: string }>;
}

/** `isOwn`: within the data folder, and made where it is missing. Another one must be there, or its disk is not. */
export function openBackupFolder(path: string, isOwn: boolean): BackupFolder {
  const kept = (): KeptBackup[] =>
    namesIn(path)
      .flatMap((name) => {
        const [, day, hours, minutes, seconds] = NAME.exec(name) ?? [];
        if (day === undefined) return [];
        const madeAtMs = Date.parse(`${day}T${hours!}:${minutes!}:${seconds!}Z`);
        return [{ name, madeAtMs, bytes: statSync(join(path, name)).size }];
      })
      .sort((one, other) => other.madeAtMs - one.madeAtMs);
  const fileOf = (name: string): string | undefined =>
    NAME.test(name) && existsSync(join(path, name)) ? join(path, name) : undefined;
  return {
    path,
    kept,
    sharesDiskWith: (folder) => {
      const [own, other] = [path, folder].map((one) => statSync(one, { throwIfNoEntry: false })?.dev);
      return own === undefined ? isOwn : own === other;
    },
    fileOf,
    takeAway: (name) => {
      const file = fileOf(name);
      if (file !== undefined) rmSync(file);
      return file !== undefined;
    },
    place: async (nowMs, bytes) => {
      if (isOwn) mkdirSync(path, { recursive: true, mode: 0o700 });
      else if (!existsSync(path)) return { problem: `There is no folder ${path}. Expected the one that --backups (BATHKEEPER_BACKUPS) names: is its disk there?` }; // prettier-ignore
      for (const name of readdirSync(path)) if (UNFINISHED.test(name)) rmSync(join(path, name));
      const space = await diskSpace(path);
      if (space !== undefined && space.freeBytes < bytes + LEFT_FREE_BYTES)
        return {
          problem: `There is no room for it in ${path}: ${bytesWords(space.freeBytes)} are free, expected ${bytesWords(bytes + LEFT_FREE_BYTES)}. Download the older backups and delete them here, or name a folder on another disk with --backups.`,
        };
      const file = join(path, `bathkeeper-${new Date(nowMs).toISOString().slice(0, 19).replace(/:/g, '-')}Z.sqlite`);
      return existsSync(file) ? { problem: `${file} exists already. Try again in a second.` } : { file };
    },
  };
}
