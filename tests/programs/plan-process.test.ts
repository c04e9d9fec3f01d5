/* `npm run plan` as a process: paths from where it was typed, the answer on one stream, words for people on the other, the exit code. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { binaryStl } from '../dashboard/model-files/writers.js';

const program = fileURLToPath(new URL('../../dashboard/dist/server/plan/main.js', import.meta.url));
let folder: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'bathkeeper-plan-'));
  writeFileSync(join(folder, 'cube.stl'), binaryStl());
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** As npm starts it: in another folder than the person's, which it names. */
function plan(...args: string[]) {
  const { stdout, stderr, status } = spawnSync(process.execPath, [program, ...args], {
    cwd: tmpdir(),
    env: { ...process.env, INIT_CWD: folder },
    encoding: 'utf8',
  });
  return { stdout, stderr, status };
}

describe('the plan command', () => {
  test('reads a model from the folder in which it was typed, and answers in JSON and nothing else', () => {
    const { stdout, stderr, status } = plan('cube.stl', '--thickness', '300', '--bath', 'bright-copper', '--json');
    expect(status).toBe(0);
    expect(stderr).toBe('');
    expect(JSON.parse(stdout)).toMatchObject({ isClosed: true, bath: 'bright-copper' });
  });

  test('ends with 1 and says why when the file cannot be read', () => {
    expect(plan('no-such.stl', '--thickness', '300')).toEqual({
      stdout: '',
      stderr:
        'no-such.stl: expected a model file (STL, OBJ or 3MF), got no such file. Check the path and the spelling.\n',
      status: 1,
    });
  });

  test('ends with 2 when it was asked for something that makes no sense', () => {
    const { status, stderr } = plan('cube.stl', '--thickness', 'thick');
    expect(status).toBe(2);
    expect(stderr).toMatch(/^--thickness: expected a number in µm, got "thick"/);
  });
});
