/*
 * Makes a fresh clone runnable: installs the packages, proves that the SQLite binding loads, builds what is stale.
 * Called before `npm start`, `npm test` and the other commands; Node built-ins only, since nothing is installed yet.
 * It never touches the user's data, and does nothing (in well under a second) when nothing is stale.
 *
 *   (nothing)    install, and build what `npm start` runs
 *   --all        and build the commands and type-check everything
 *   --packages   install and prove, build nothing
 *   --force      build even what looks fresh
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { takeSetUpLock } from './set-up-lock.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const asked = new Set(process.argv.slice(2));
const known = ['--all', '--packages', '--force'];

/** Stops with a message that says what, expected, got, and what to do. */
function giveUp(words) {
  process.stderr.write(`\nset-up stopped: ${words}\n`);
  process.exit(1);
}

function run(command, args, doing, advice) {
  process.stderr.write(`set-up: ${doing}\n`);
  const outcome = spawnSync(command, args, { cwd: root, stdio: ['ignore', 2, 2], shell: process.platform === 'win32' });
  if (outcome.status === 0) return;
  const ending = outcome.error?.message ?? outcome.signal ?? `exit code ${outcome.status}`;
  giveUp(`${doing} failed: "${[command, ...args].join(' ')}" ended with ${ending}. ${advice}`);
}

const bin = (name) => join(root, 'node_modules', '.bin', name);

/** Newest change of the given files and of all files below the given folders, in milliseconds; 0 where there is none. */
function newestChangeMs(paths) {
  let newest = 0;
  for (const path of paths) {
    const stat = statSync(path, { throwIfNoEntry: false });
    if (stat === undefined) continue;
    if (!stat.isDirectory()) newest = Math.max(newest, stat.mtimeMs);
    else {
      const entries = readdirSync(path).filter((name) => name !== 'node_modules' && name !== 'dist');
      newest = Math.max(newest, newestChangeMs(entries.map((name) => join(path, name))));
    }
  }
  return newest;
}

/** What is built, when: `product` is touched after a build with the time at which the build began. */
function buildWhereStale({ product, alsoExpected = [], sources, build }) {
  const from = [...sources, 'package-lock.json'].map((path) => join(root, path));
  const builtAtMs = statSync(join(root, product), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  const isFresh = builtAtMs >= newestChangeMs(from) && alsoExpected.every((path) => existsSync(join(root, path)));
  if (isFresh && !asked.has('--force')) return;

  const beganAt = new Date();
  build();
  if (!existsSync(join(root, product))) {
    mkdirSync(dirname(join(root, product)), { recursive: true });
    writeFileSync(join(root, product), '');
  }
  utimesSync(join(root, product), beganAt, beganAt);
}

function compile(projects) {
  run(
    bin('tsc'),
    ['-b', ...projects, ...(asked.has('--force') ? ['--force'] : [])],
    `compiling TypeScript (${projects.join(', ')})`,
    'The lines above name the file and the line.',
  );
}

const unknown = [...asked].filter((word) => !known.includes(word));
if (unknown.length > 0) giveUp(`it knows ${known.join(', ')}, but was given ${unknown.join(', ')}.`);

const [major, minor] = process.versions.node.split('.').map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  giveUp(`Node.js 20.19 or later is needed, this is ${process.versions.node}. Install Node.js 24 and try again.`);
}

const lock = takeSetUpLock(join(root, '.set-up.lock'));
if (lock.refusal !== undefined) giveUp(lock.refusal);

// Packages. npm writes the inner lock file last, so its age tells whether an installation was completed.
const installed = join(root, 'node_modules', '.package-lock.json');
const installedAtMs = statSync(installed, { throwIfNoEntry: false })?.mtimeMs ?? 0;
if (installedAtMs < statSync(join(root, 'package-lock.json')).mtimeMs) {
  run(
    'npm',
    // The compilers are development packages: NODE_ENV=production must not leave them out.
    [installedAtMs === 0 ? 'ci' : 'install', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'],
    'installing packages (one to three minutes the first time)',
    'If the lines above speak of the network, check that the npm registry can be reached; then run the command again.',
  );
  utimesSync(installed, new Date(), new Date());
}

// The only package that holds machine code which this Node.js must be able to load.
const proof = ['-e', "new (require('better-sqlite3'))(':memory:').prepare('select 1').get()"];
const loadsSqlite = () =>
  spawnSync(process.execPath, proof, { cwd: join(root, 'dashboard'), stdio: 'ignore' }).status === 0;
if (!loadsSqlite()) {
  const advice =
    `No ready-made SQLite binding fits Node.js ${process.versions.node} on ${process.platform} ${process.arch}, or it could not be fetched. ` +
    'Install a C++ compiler, make and python3 (Debian: apt-get install g++ make python3), then run the command again.';
  run('npm', ['rebuild', 'better-sqlite3'], 'building the SQLite binding for this Node.js', advice);
  if (!loadsSqlite()) giveUp(`better-sqlite3 was built and still does not load. ${advice}`);
}

if (!asked.has('--packages')) {
  const settings = ['tsconfig.base.json', 'tsconfig.json'];
  buildWhereStale({
    product: 'dashboard/dist/.built',
    alsoExpected: [
      'dashboard/dist/server/main.js',
      'dashboard/dist/server/plan/main.js',
      'firmware/dist/bench/main.js',
      'shared-core/dist/control/index.js',
    ],
    sources: ['shared-core', 'firmware/bench', 'dashboard/model-files', 'dashboard/server', ...settings],
    build: () => compile(['dashboard/server', 'firmware/bench']),
  });
  buildWhereStale({
    product: 'firmware/dist/bathkeeper.js',
    sources: ['firmware/src', 'firmware/build', 'firmware/package.json', 'shared-core/src', ...settings],
    build: () =>
      run(process.execPath, ['firmware/build/cli.mjs', 'build'], 'bundling the firmware', 'The lines above say why.'),
  });
  buildWhereStale({
    product: 'dashboard/dist/page/index.html',
    sources: [
      'dashboard/page',
      'dashboard/model-files',
      'dashboard/icons',
      'dashboard/vite.config.ts',
      'shared-core/src',
    ],
    build: () =>
      run(
        bin('vite'),
        ['build', '--config', 'dashboard/vite.config.ts', '--logLevel', 'warn'],
        'building the page',
        'The lines above name the file.',
      ),
  });
  if (asked.has('--all')) {
    buildWhereStale({
      product: 'tests/dist/.built',
      alsoExpected: ['tests/dist/.tsbuildinfo'],
      sources: [
        'tests',
        'shared-core',
        'firmware',
        'dashboard/model-files',
        'dashboard/server',
        'dashboard/page',
        ...settings,
      ],
      build: () => compile(['.']),
    });
  }
}
lock.release();
