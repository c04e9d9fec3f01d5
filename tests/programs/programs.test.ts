/* The browser and the broker that the tests drive are found, or their absence is said plainly. */
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { chromiumLaunch } from './chromium.js';
import { mosquittoPath } from './mosquitto.js';

let folder: string;
let program: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'bathkeeper-programs-'));
  program = join(folder, 'google-chrome');
  writeFileSync(program, '#!/bin/sh\n');
  chmodSync(program, 0o755);
  writeFileSync(join(folder, 'chromium'), 'not executable\n', { mode: 0o644 });
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function machineWith(env: NodeJS.ProcessEnv, platform = 'linux', arch = 'x64') {
  return { env, platform, arch, getuid: () => 1000 };
}

describe('the browser of the tests', () => {
  test('CHROMIUM_PATH wins over an installed browser', () => {
    const launch = chromiumLaunch(machineWith({ CHROMIUM_PATH: process.execPath, PATH: folder }));
    expect(launch).toMatchObject({ executablePath: process.execPath, origin: 'CHROMIUM_PATH', args: [] });
  });

  test('a CHROMIUM_PATH that points nowhere is refused and named', () => {
    expect(() => chromiumLaunch(machineWith({ CHROMIUM_PATH: '/nowhere/chromium', PATH: folder }))).toThrow(
      /CHROMIUM_PATH .*"\/nowhere\/chromium"/,
    );
  });

  test('an installed browser is found by any of its names, and a file that cannot be run is passed over', () => {
    expect(chromiumLaunch(machineWith({ PATH: `/nowhere:${folder}` }))).toMatchObject({
      executablePath: program,
      origin: 'installed',
    });
  });

  test('the browser runs without its sandbox only where root starts it', () => {
    expect(chromiumLaunch({ ...machineWith({ PATH: folder }), getuid: () => 0 }).args).toEqual(['--no-sandbox']);
  });

  test('a machine for which the npm package has no browser is told what to install', () => {
    expect(() => chromiumLaunch(machineWith({ PATH: '' }, 'linux', 'arm64'))).toThrow(/Install Chromium or Chrome/);
  });

  test('the browser that is found here opens a page', async () => {
    const browser = await chromium.launch(chromiumLaunch());
    try {
      const page = await browser.newPage();
      await page.setContent('<h1>Copper 60 L</h1>');
      expect(await page.getByRole('heading').textContent()).toBe('Copper 60 L');
    } finally {
      await browser.close();
    }
  });

  test.runIf(process.platform === 'linux' && process.arch === 'x64')(
    'the browser of the npm package opens a page where none is installed',
    async () => {
      const launch = chromiumLaunch(machineWith({ PATH: '', HOME: folder }));
      expect(launch.origin).toBe('npm package');
      const browser = await chromium.launch(launch);
      try {
        const page = await browser.newPage();
        await page.setContent('<p>18.4 A, 212 of 300 µm</p>');
        expect(await page.getByText('18.4 A').boundingBox()).toMatchObject({ height: expect.any(Number) as number });
      } finally {
        await browser.close();
      }
    },
  );
});

describe('the broker from outside', () => {
  test('a MOSQUITTO_PATH that points nowhere is refused and named', () => {
    expect(() => mosquittoPath(machineWith({ MOSQUITTO_PATH: '/nowhere/mosquitto' }))).toThrow(/MOSQUITTO_PATH/);
  });

  test('MOSQUITTO_PATH is taken where it names a file', () => {
    expect(mosquittoPath(machineWith({ MOSQUITTO_PATH: process.execPath }))).toBe(process.execPath);
  });

  test('a missing broker lets tests skip on a workbench, and is an error in CI', () => {
    expect(mosquittoPath(machineWith({ PATH: folder }), [])).toBeUndefined();
    expect(() => mosquittoPath(machineWith({ PATH: folder, CI: '1' }), [])).toThrow(/Install it/);
  });
});
