/*
 * Finds the Chromium that the browser tests drive: CHROMIUM_PATH, else one that is installed, else the one that
 * comes with the npm package (Linux on x64 only), unpacked once beside the packages.
 * Called by the browser tests and by the test runner. It never downloads anything, and never lets a test skip
 * for want of a browser: it throws, and says what to install.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { programOnPath, type Machine } from './program-on-path.js';

/** What `chromium.launch` of playwright-core needs: `launch({ executablePath, args, env })`. */
export interface BrowserLaunch {
  readonly executablePath: string;
  readonly args: string[];
  /** The whole environment of the browser's process. */
  readonly env: Record<string, string>;
  readonly origin: 'CHROMIUM_PATH' | 'installed' | 'npm package';
}

const installedNames = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];
const macApplications = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

/**
 * The browser to drive on this machine.
 * Throws when CHROMIUM_PATH points nowhere, or when none is found and the npm package has none for this machine.
 *
 * @example
 * const browser = await chromium.launch(chromiumLaunch());
 */
export function chromiumLaunch(machine: Machine = process): BrowserLaunch {
  const env = textsOf(machine.env);
  // Without a sandbox of its own where root runs it (containers): the pages are ours, from 127.0.0.1.
  const args = machine.getuid?.() === 0 ? ['--no-sandbox'] : [];

  const given = env['CHROMIUM_PATH'];
  if (given) {
    if (existsSync(given)) return { executablePath: given, args, env, origin: 'CHROMIUM_PATH' };
    throw new Error(
      `CHROMIUM_PATH should name a Chromium's executable, but there is no file at "${given}". Correct it or unset it.`,
    );
  }
  const installed =
    programOnPath(installedNames, machine) ??
    (machine.platform === 'darwin' ? macApplications.find((path) => existsSync(path)) : undefined);
  if (installed) return { executablePath: installed, args, env, origin: 'installed' };

  if (machine.platform !== 'linux' || machine.arch !== 'x64') {
    throw new Error(
      `The browser tests need a Chromium, and none is installed on this machine (${machine.platform} ${machine.arch}). ` +
        'Install Chromium or Chrome, or set CHROMIUM_PATH to its executable.',
    );
  }
  const folder = unpackedChromium();
  return {
    executablePath: join(folder, 'chromium'),
    args: ['--no-sandbox'],
    env: { ...env, LD_LIBRARY_PATH: join(folder, 'al2023', 'lib'), FONTCONFIG_FILE: join(folder, 'fonts.conf') },
    origin: 'npm package',
  };
}

function textsOf(env: NodeJS.ProcessEnv): Record<string, string> {
  const texts: Record<string, string> = {};
  for (const [name, value] of Object.entries(env)) if (value !== undefined) texts[name] = value;
  return texts;
}

/** Unpacks the package's browser, libraries and fonts into a folder named by its version, once; returns the folder. */
function unpackedChromium(): string {
  const packageFolder = dirname(dirname(dirname(createRequire(import.meta.url).resolve('@sparticuz/chromium'))));
  const { version } = JSON.parse(readFileSync(join(packageFolder, 'package.json'), 'utf8')) as { version: string };
  const cache = join(packageFolder, '..', '..', '.cache');
  const folder = join(cache, `chromium-${version}`);
  if (existsSync(folder)) return folder;

  mkdirSync(cache, { recursive: true });
  const unfinished = mkdtempSync(join(cache, 'chromium-unfinished-'));
  // The package unpacks into the temporary folder, and its libraries only where it believes to be on this platform.
  const unpack = "import('@sparticuz/chromium').then((found) => found.default.executablePath())";
  execFileSync(process.execPath, ['--input-type=module', '-e', unpack], {
    cwd: packageFolder,
    env: { ...process.env, TMPDIR: unfinished, AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs20.x' },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  writeFileSync(
    join(unfinished, 'fonts.conf'),
    `<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>${join(folder, 'fonts')}</dir>` +
      `<dir>/usr/share/fonts</dir><cachedir>${join(folder, 'fonts-cache')}</cachedir></fontconfig>\n`,
  );
  try {
    renameSync(unfinished, folder);
  } catch (error) {
    // Another test file unpacked it in the meantime: its folder is as good as ours.
    rmSync(unfinished, { recursive: true, force: true });
    if (!existsSync(folder)) throw error;
  }
  return folder;
}
