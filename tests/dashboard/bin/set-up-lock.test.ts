/* Two set-ups of one working copy never work at the same time, and a dead one never stands in the way. */
import { execFile, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';

interface SetUpLock {
  readonly release?: () => void;
  readonly refusal?: string;
}
type TakeSetUpLock = (path: string, patienceSeconds?: number, announce?: (words: string) => void) => SetUpLock;

const lockModule = new URL('../../../dashboard/bin/set-up-lock.mjs', import.meta.url).href;
const { takeSetUpLock } = (await import(lockModule)) as { takeSetUpLock: TakeSetUpLock };
const silently = () => undefined;

let folder: string;
let path: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bathkeeper-lock-'));
  path = join(folder, '.set-up.lock');
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** The number of a process that has ended. */
function endedProcess(): number {
  return spawnSync(process.execPath, ['-e', '']).pid;
}

describe('the lock of the set-up', () => {
  test('is taken, names its owner, and is gone after its release', () => {
    const lock = takeSetUpLock(path);
    expect(readFileSync(path, 'utf8')).toBe(String(process.pid));
    lock.release?.();
    expect(existsSync(path)).toBe(false);
  });

  test('is refused while its owner is at work, and the refusal says whose it is and what to do', () => {
    takeSetUpLock(path);
    const second = takeSetUpLock(path, 0, silently);
    expect(second.release).toBeUndefined();
    expect(second.refusal).toContain(`process ${String(process.pid)}`);
    expect(second.refusal).toContain('delete the file');
  });

  test('of a process that has ended is taken over', () => {
    writeFileSync(path, String(endedProcess()));
    expect(takeSetUpLock(path, 0, silently).refusal).toBeUndefined();
    expect(readFileSync(path, 'utf8')).toBe(String(process.pid));
  });

  test('from before the machine started is taken over, whatever process has its number today', () => {
    writeFileSync(path, String(process.pid));
    utimesSync(path, new Date(1000), new Date(1000));
    expect(takeSetUpLock(path, 0, silently).refusal).toBeUndefined();
  });

  test('of another one is not released', () => {
    const lock = takeSetUpLock(path);
    writeFileSync(path, String(process.ppid));
    lock.release?.();
    expect(existsSync(path)).toBe(true);
  });

  test('that cannot be made in a folder that is not there says so', () => {
    expect(takeSetUpLock(join(folder, 'nowhere', '.set-up.lock')).refusal).toContain('cannot be written');
  });

  test('lets one of several in at a time, also where all find the lock of a dead one', async () => {
    writeFileSync(path, String(endedProcess()));
    const log = join(folder, 'log');
    const program = `
      import { appendFileSync } from 'node:fs';
      import { takeSetUpLock } from ${JSON.stringify(lockModule)};
      const lock = takeSetUpLock(${JSON.stringify(path)}, 60, () => {});
      if (lock.refusal) throw new Error(lock.refusal);
      appendFileSync(${JSON.stringify(log)}, process.pid + ' in\\n');
      for (let turn = 0; turn < 2e6; turn += 1) Math.sqrt(turn);
      appendFileSync(${JSON.stringify(log)}, process.pid + ' out\\n');
      lock.release();`;
    const args = ['--input-type=module', '-e', program];
    await Promise.all(Array.from({ length: 5 }, async () => promisify(execFile)(process.execPath, args)));

    const lines = readFileSync(log, 'utf8').trim().split('\n');
    expect(lines).toHaveLength(10);
    for (let index = 0; index < lines.length; index += 2) {
      const owner = lines[index]?.split(' ')[0] ?? '';
      expect(lines.slice(index, index + 2)).toEqual([`${owner} in`, `${owner} out`]);
    }
  });
});
