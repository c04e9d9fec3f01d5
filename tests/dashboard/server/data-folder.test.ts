/* The folder of the store at the start: made where it can be, refused in words where it cannot, never tried without end. */
import { existsSync, mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createDashboard, manualClock } from '@bathkeeper/dashboard';
import { dataFolderProblem } from '../../../dashboard/server/settings/data-folder.js';
import { startFaultWords } from '../../../dashboard/server/settings/start-fault.js';
import { EVENING_MS } from './dashboard-on-trial.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bathkeeper-folder-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

describe('the data folder', () => {
  it('is made with every level above it, for its owner only', () => {
    const deep = join(folder, 'one', 'two', 'three');
    expect(dataFolderProblem(deep)).toBeUndefined();
    expect(statSync(deep).isDirectory()).toBe(true);
    expect(statSync(deep).mode & 0o077).toBe(0);
  });

  it('is taken as it is when it exists', () => {
    expect(dataFolderProblem(folder)).toBeUndefined();
  });

  it.each([
    ['itself', '', 'is a file, expected a folder'],
    ['the level above', 'data', 'ENOTDIR: not a directory'],
  ])('is refused with the way out when %s is a file', (_which, below, words) => {
    const file = join(folder, 'file');
    writeFileSync(file, '');
    const problem = dataFolderProblem(join(file, below));
    expect(problem).toContain(words);
    expect(problem).toContain('BATHKEEPER_DATA');
  });

  it.runIf(existsSync('/proc/self'))('is refused, not tried without end, where no folder can be made', () => {
    expect(dataFolderProblem('/proc/bathkeeper/data')).toContain('cannot be written');
  });
});

describe('a store that cannot be opened', () => {
  const wordsAtStart = async (): Promise<string> =>
    createDashboard({ clock: manualClock(EVENING_MS), dataFolder: folder }).then(
      async (dashboard) => {
        await dashboard.close();
        return 'it started';
      },
      (fault: unknown) => startFaultWords(fault, folder),
    );

  it('is told as damaged, with the way back to a copy', async () => {
    writeFileSync(join(folder, 'bathkeeper.sqlite'), 'Somebody has written a letter over it. '.repeat(40));
    const words = await wordsAtStart();
    expect(words).toContain(
      `The store in ${folder} is damaged (it is no SQLite file: expected it to begin with "SQLite format 3", got`,
    );
    expect(words).toContain('`npm run restore -- BACKUP`');
    expect(words).toContain('Until it starts nobody is called');
  });

  it('is told as no file where a folder lies in its place', async () => {
    mkdirSync(join(folder, 'bathkeeper.sqlite'));
    expect(await wordsAtStart()).toContain('cannot be opened (unable to open database file). Look whether bathkeeper.sqlite there is a file'); // prettier-ignore
  });

  it('is told as a full disk, by what SQLite itself throws then', () => {
    const full = new Database(':memory:');
    full.pragma('max_page_count = 2');
    let words = '';
    try {
      full.exec('CREATE TABLE a (b); CREATE TABLE c (d); CREATE TABLE e (f)');
    } catch (fault) {
      words = startFaultWords(fault, folder);
    }
    expect(words).toContain('has no room on its disk (database or disk is full). Free space there');
  });

  it('is told as it is where the fault says already what to do', () => {
    expect(startFaultWords(new Error('Another Bathkeeper is running.'), folder)).toBe('Another Bathkeeper is running.');
  });
});
