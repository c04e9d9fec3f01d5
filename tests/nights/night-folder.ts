/*
 * Where a rehearsed night keeps its store: in memory where the system offers that, since a rehearsal that is over is thrown away
 * and a disk's fsync would only be timed by it. The store itself still asks for every one of them.
 */
import { existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export function nightFolder(): string {
  return mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'bathkeeper-night-'));
}
