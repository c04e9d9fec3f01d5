/*
 * Makes a fresh clone runnable: installs the packages, proves that the SQLite binding loads, builds what is stale.
 * Called before `npm start`, `npm test` and every other command; Node built-ins only, since nothing is installed yet.
 * It never touches data, and does nothing (in well under a second) when nothing is stale.
 *
 *   --packages   install and prove, build nothing
 *   --force      build everything again
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, rmSync, statSync, utimesSync, writeFileSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const asked = new Set(process.argv.slice(2));
const lockFile = join(root, '.set-up.lock');

/** Stops with a message that says what, expected, got, and what to do. */
function giveUp(words) {
  process.stderr.write(`\nset-up stopped: ${words}\n`);
  process.exit(1);
}

function run(command, args, words) {
  process.stderr.write(`set-up: ${words}\n`);
  const outcome = spawnSync(command, args, { cwd: root, stdio: ['ignore', 2, 2], shell: process.platform === 'win32' });
  if (outcome.status !== 0) {
    giveUp(
      `${words} failed (${command} ${args.join(' ')} ended with ${outcome.status ?? outcome.signal}). ` +
        'Read the lines above; if they speak of the network, check that the npm registry can be reached, then run the command again.',
    );
  }
}

function bin(name) {
  return join(root, 'node_modules', '.bin', name);
}

/** Newest change below the given files and folders, in milliseconds; 0 where there is none. */
function newestMs(paths) {
  let newest = 0;
  for (const path of paths) {
    if (!existsSync(path)) continue;
    const stat = statSync(path);
    if (stat.isDirectory()) {
      for (const entry of readdirSync(path)) {
        if (entry === 'node_modules' || entry === 'dist') continue;
        newest = Math.max(newest, newestMs([join(path, entry)]));
      }
    } else newest = Math.max(newest, stat.mtimeMs);
  }
  return newest;
}

function isStale(product, sources) {
  return (
    asked.has('--force') ||
    !existsSync(product) ||
    statSync(product).mtimeMs < newestMs(sources.map((s) => join(root, s)))
  );
}

/** Another set-up at work (two commands started at once): wait for it, unless its process is gone. */
function takeLock() {
  for (let tries = 0; tries < 600; tries += 1) {
    try {
      writeFileSync(lockFile, String(process.pid), { flag: 'wx' });
      return;
    } catch {
      const owner = Number(readFileSync(lockFile, 'utf8') || 0);
      let isAlive = owner > 0;
      try {
        process.kill(owner, 0);
      } catch {
        isAlive = false;
      }
      if (!isAlive) rmSync(lockFile, { force: true });
      else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 500);
    }
  }
  giveUp(`another set-up has held ${lockFile} for five minutes. If none is running, delete that file and try again.`);
}

const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  giveUp(`Node.js 20.19 or later is needed, this is ${process.versions.node}. Install Node.js 24 and try again.`);
}

takeLock();
process.on('exit', () => rmSync(lockFile, { force: true }));

const installed = join(root, 'node_modules', '.package-lock.json');
if (!existsSync(installed) || statSync(installed).mtimeMs < statSync(join(root, 'package-lock.json')).mtimeMs) {
  run(
    'npm',
    [existsSync(installed) ? 'install' : 'ci', '--no-audit', '--no-fund', '--loglevel=error'],
    'installing packages (about two minutes the first time)',
  );
  if (existsSync(installed)) utimesSync(installed, new Date(), new Date());
}

const proof = ['-e', "new (require('better-sqlite3'))(':memory:').prepare('select 1').get()"];
if (spawnSync(process.execPath, proof, { cwd: join(root, 'dashboard'), stdio: 'ignore' }).status !== 0) {
  run('npm', ['rebuild', 'better-sqlite3'], 'building the SQLite binding for this Node.js');
  if (spawnSync(process.execPath, proof, { cwd: join(root, 'dashboard'), stdio: 'ignore' }).status !== 0) {
    giveUp(
      'better-sqlite3 does not load on this machine. A C++ compiler, make and python3 are needed where no ready-made file fits; install them, then: npm rebuild better-sqlite3',
    );
  }
}
if (asked.has('--packages')) process.exit(0);

const types = join(root, 'node_modules', '.built-types');
const typeSources = [
  'shared-core',
  'firmware/src',
  'firmware/bench',
  'dashboard/server',
  'dashboard/page',
  'tests',
  'tsconfig.json',
  'tsconfig.base.json',
];
if (isStale(types, [...typeSources, 'firmware/tsconfig.json'])) {
  const startedAt = new Date();
  run(bin('tsc'), ['-b', ...(asked.has('--force') ? ['--force'] : [])], 'compiling TypeScript');
  writeFileSync(types, '');
  utimesSync(types, startedAt, startedAt);
}
if (
  isStale(join(root, 'firmware/dist/bathkeeper.js'), [
    'firmware/src',
    'firmware/build',
    'shared-core/src/control',
    'shared-core/src/messages',
  ])
) {
  mkdirSync(join(root, 'firmware/dist'), { recursive: true });
  run(process.execPath, ['firmware/build/cli.mjs', 'build'], 'bundling the firmware');
}
if (
  isStale(join(root, 'dashboard/dist/page/index.html'), [
    'dashboard/page',
    'dashboard/vite.config.ts',
    'shared-core/src',
  ])
) {
  run(bin('vite'), ['build', '--config', 'dashboard/vite.config.ts', '--logLevel', 'warn'], 'building the page');
}
