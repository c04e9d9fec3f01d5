/*
 * Room on the disk that holds the data folder, and how much is too little. Asked by house-watch.ts once a minute and by the leave-alone
 * check. It reads; it frees nothing.
 */
import { statfs } from 'node:fs/promises';

export interface DiskSpace {
  readonly freeBytes: number;
  readonly totalBytes: number;
}

/** A controller's records of a day: one a second of some 80 bytes in a store that is still small, and its minutes, rounded up (measured, see the tests). */
export const BYTES_PER_CONTROLLER_AND_DAY = 9e6;
const LEAST_BYTES = 512e6;
const DAYS_AHEAD = 3;
/** It must be freer than the limit by this much before the alarm is over. */
const DEADBAND = 1.1;

/** Undefined: this file system does not say, or does not answer. */
export async function diskSpace(folder: string): Promise<DiskSpace | undefined> {
  try {
    const { bavail, blocks, bsize } = await statfs(folder);
    // Some network file systems know no size.
    return blocks > 0 ? { freeBytes: bavail * bsize, totalBytes: blocks * bsize } : undefined;
  } catch {
    return undefined;
  }
}

/** Less than this is too little: three days of all controllers, and half a gigabyte at least. */
export function diskLimitBytes(controllerCount: number): number {
  return Math.max(LEAST_BYTES, controllerCount * DAYS_AHEAD * BYTES_PER_CONTROLLER_AND_DAY);
}

/** Example: 400 MB free with one controller is nearly full; 530 MB is so only while the alarm stands. */
export function isNearlyFull({ freeBytes }: DiskSpace, controllerCount: number, isStanding: boolean): boolean {
  return freeBytes < diskLimitBytes(controllerCount) * (isStanding ? DEADBAND : 1);
}

/** Example: `bytesWords(1.25e9)` is "1.3 GB". */
export function bytesWords(bytes: number): string {
  const gigabytes = bytes / 1e9;
  if (gigabytes >= 100) return `${gigabytes.toFixed(0)} GB`;
  return gigabytes >= 1 ? `${gigabytes.toFixed(1)} GB` : `${(bytes / 1e6).toFixed(0)} MB`;
}
