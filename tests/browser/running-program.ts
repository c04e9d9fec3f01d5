/*
 * The real program as a newcomer starts it: what `npm start` runs, with an empty data folder, on free ports of this computer, with the
 * virtual bath; and its first visitor, who chooses a passphrase. Used by the journeys through the whole page. Runs what was built (`npm test`
 * builds first).
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { launchedBrowser } from './open-page.js';

const program = fileURLToPath(new URL('../../dashboard/dist/server/main.js', import.meta.url));

export interface RunningProgram {
  /** The one-time link that it printed. */
  readonly link: string;
  end(): Promise<void>;
}

/** `speed`: how many times faster than time the virtual bath runs. */
async function runningProgram(speed: number): Promise<RunningProgram> {
  if (!existsSync(program)) throw new Error(`${program} is not built. Run \`npm run build\`, then the tests again.`);
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-whole-way-'));
  const options = ['--host', '127.0.0.1', '--mqtt-host', '127.0.0.1', '--port', '0', '--mqtt-port', '0'];
  const running = spawn(process.execPath, [program, ...options, '--data', folder, '--speed', String(speed)], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  const link = await new Promise<string>((resolve, reject) => {
    running.stderr.on('data', (chunk) => (said += String(chunk)));
    running.stdout.on('data', (chunk) => {
      said += String(chunk);
      const found = /http:\/\/127\.0\.0\.1:\d+\/first-start\?token=\S+/.exec(said);
      if (found) resolve(found[0]);
    });
    running.on('exit', (code) => {
      reject(new Error(`the program ended with ${String(code)} before it printed its link:\n${said}`));
    });
  });
  return {
    link,
    end: async () => {
      const ended = new Promise((resolve) => running.once('exit', resolve));
      running.kill('SIGTERM');
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** What a whole file of tests shares; its fields are there once the tests begin. */
export interface Journey {
  readonly browser: Browser;
  readonly program: RunningProgram;
}

/** The program and a browser for all tests of a file, ended after them. `speed` as above. */
export function journey(speed: number): Journey {
  let browser: Browser | undefined;
  let program: RunningProgram | undefined;
  beforeAll(async () => {
    program = await runningProgram(speed);
    browser = await launchedBrowser();
  }, 90_000);
  afterAll(async () => {
    await browser?.close();
    await program?.end();
  }, 30_000);
  return {
    get browser() {
      return browser!;
    },
    get program() {
      return program!;
    },
  };
}

export const PASSPHRASE = 'a few words in a row';

/** The first visitor sets the passphrase and is let in. */
export async function chooseThePassphrase(page: Page): Promise<void> {
  await page.getByLabel('Passphrase').fill(PASSPHRASE);
  await page.getByLabel('The same again').fill(PASSPHRASE);
  await page.getByRole('button', { name: 'Set the passphrase and open' }).click();
}
