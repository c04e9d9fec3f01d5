/* The folder of the store at the start: made where it can be, refused in words where it cannot, never tried without end. */
import { existsSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { dataFolderProblem } from '../../../dashboard/server/settings/data-folder.js';

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
