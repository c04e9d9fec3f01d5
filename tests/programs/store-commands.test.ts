/* `npm run backup` and `npm run restore` as processes: the file from where it was typed, the data folder by option or variable, the exit code. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { lockedFolder } from '../../dashboard/server/settings/folder-lock.js';
import { openStore, STORE_FILE } from '../../dashboard/server/store/store.js';

let here: string;
let data: string;

beforeEach(() => {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-store-commands-'));
  [here, data] = [join(folder, 'typed-here'), join(folder, 'data')];
  mkdirSync(here);
  mkdirSync(data);
  openStore(join(data, STORE_FILE)).close();
});
afterEach(() => {
  rmSync(join(here, '..'), { recursive: true, force: true });
});

/** As npm starts it: in another folder than the person's, which it names. `dataVariable`: BATHKEEPER_DATA. */
function run(command: 'backup' | 'restore', args: readonly string[], dataVariable = join(here, 'nothing-there')) {
  const program = fileURLToPath(new URL(`../../dashboard/dist/server/keeping/${command}-main.js`, import.meta.url));
  const { stdout, stderr, status } = spawnSync(process.execPath, [program, ...args], {
    cwd: data,
    env: { ...process.env, INIT_CWD: here, BATHKEEPER_DATA: dataVariable },
    encoding: 'utf8',
  });
  return { stdout, stderr, status };
}

describe('the commands of backup and restore', () => {
  test('write and read the backup where the command was typed, of the store that --data names', () => {
    expect(run('backup', ['monday.sqlite', '--data', '../data'])).toMatchObject({ status: 0, stderr: '' });
    expect(existsSync(join(here, 'monday.sqlite'))).toBe(true);
    expect(readdirSync(data)).not.toContain('monday.sqlite');
    const other = join(here, 'other');
    const { status, stdout, stderr } = run('restore', ['monday.sqlite', `--data=${other}`]);
    expect(stderr).toBe('');
    expect(status).toBe(0);
    expect(stdout).toContain(`The store in ${other} is now a copy of ${join(here, 'monday.sqlite')}`);
    expect(existsSync(join(other, STORE_FILE))).toBe(true);
  });

  test('take the store of BATHKEEPER_DATA where no option names one', () => {
    expect(run('backup', ['tuesday.sqlite'], data).status).toBe(0);
    expect(existsSync(join(here, 'tuesday.sqlite'))).toBe(true);
  });

  test('while a dashboard runs a restore names an option that it takes itself', () => {
    run('backup', ['monday.sqlite'], data);
    const free = lockedFolder(data);
    const refused = run('restore', ['monday.sqlite'], data);
    expect(refused.status).toBe(1);
    expect(refused.stderr).toMatch(/Nothing was changed.*is running on the data folder.*--data/);
    // The backup itself is allowed then.
    expect(run('backup', ['meanwhile.sqlite'], data).status).toBe(0);
    expect(run('restore', ['monday.sqlite', '--data', 'elsewhere'], data).status).toBe(0);
    free();
  });

  test('a backup of a folder without a store says how to name another', () => {
    const { status, stderr } = run('backup', ['monday.sqlite', '--data', 'empty']);
    expect(status).toBe(1);
    expect(stderr).toContain(
      `There is no store at ${join(here, 'empty', STORE_FILE)}. Say where the data lies with --data`,
    );
  });

  test.each([
    ['no file', [], 'Expected the name of one file, got none.'],
    ['two files', ['a', 'b'], 'Expected the name of one file, got “a”, “b”.'],
    ['an option that there is not', ['a', '--folder', 'b'], "Unknown option '--folder'"],
    ['a folder that is missing', ['a', '--data'], '--data'],
    ['an empty folder', ['a', '--data='], '--data: expected a folder, got nothing.'],
  ])('refuse %s with what is expected, and change nothing', (_, args, words) => {
    for (const command of ['backup', 'restore'] as const) {
      const { status, stdout, stderr } = run(command, args, data);
      expect(status).toBe(2);
      expect(stdout).toBe('');
      expect(stderr).toContain(words);
      expect(stderr).toContain('--data FOLDER');
    }
    expect(readdirSync(here)).toEqual([]);
  });

  test('say with --help what they take', () => {
    for (const command of ['backup', 'restore'] as const) {
      const { status, stdout } = run(command, ['--help']);
      expect(status).toBe(0);
      expect(stdout).toMatch(/npm run .*--data FOLDER.*BATHKEEPER_DATA/s);
    }
  });
});
