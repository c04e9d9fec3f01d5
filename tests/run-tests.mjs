/*
 * The whole proof: lint, format, types, then every test; called by `npm test` and, through it, by CI. All four run even
 * when an early one fails, so that one run tells everything. The last line is "N passed, N failed"; lint, format and
 * types count as one test each. Ends with an error when anything failed or when no test ran.
 *
 *   --only-tests   leave lint, format and types out; every other argument goes to vitest
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const given = process.argv.slice(2);
const isOnlyTests = given.includes('--only-tests');

function nodeRun(script, args) {
  return spawnSync(process.execPath, [join(root, 'node_modules', script), ...args], {
    cwd: root,
    stdio: ['ignore', 'inherit', 'inherit'],
  }).status;
}

const checks = [
  { name: 'lint', script: 'eslint/bin/eslint.js', args: ['.', '--max-warnings', '0'], repair: 'npm run lint -- --fix' },
  {
    name: 'format',
    script: 'prettier/bin/prettier.cjs',
    args: ['--check', '--log-level', 'warn', '.'],
    repair: 'npm run format',
  },
  { name: 'types', script: 'typescript/bin/tsc', args: ['-b'], repair: 'npm run typecheck' },
];
const failedChecks = [];
for (const check of isOnlyTests ? [] : checks) {
  console.log(`\n== ${check.name}`);
  if (nodeRun(check.script, check.args) === 0) console.log('good');
  else failedChecks.push(check);
}

console.log('\n== tests');
if (!process.env.ESPRUINO_BIN) {
  console.log('ESPRUINO_BIN is not set: the tests that run the bundle in the real interpreter are skipped.');
}
const tests = vitestRun(given.filter((argument) => argument !== '--only-tests'));

for (const check of failedChecks) console.log(`${check.name} failed: see above, then ${check.repair}`);
if (tests.ran === 0) console.log('No test ran: that is a failure too.');
if (tests.skipped > 0) console.log(`${tests.skipped} tests were skipped.`);

const passed = tests.passed + (isOnlyTests ? 0 : checks.length - failedChecks.length);
const failed = tests.failed + failedChecks.length;
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed > 0 || tests.ran === 0 || tests.status !== 0 ? 1 : 0;

/** Runs vitest and counts from its own report. A file that could not be loaded, or a run without report, is a failure. */
function vitestRun(args) {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-tests-'));
  const report = join(folder, 'report.json');
  try {
    const status = nodeRun('vitest/vitest.mjs', [
      'run',
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${report}`,
      ...args,
    ]);
    let told;
    try {
      told = JSON.parse(readFileSync(report, 'utf8'));
    } catch {
      console.error(`vitest ended with ${status} and wrote no report. The lines above say why.`);
      return { status: 1, ran: 0, passed: 0, failed: 1, skipped: 0 };
    }
    const filesThatDidNotLoad = told.testResults.filter(
      (file) => file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed'),
    ).length;
    const failedTests = told.numFailedTests + filesThatDidNotLoad;
    return {
      status,
      ran: told.numPassedTests + told.numFailedTests,
      passed: told.numPassedTests,
      // An error outside any test (a promise nobody awaited) shows in the exit code only.
      failed: failedTests === 0 && status !== 0 ? 1 : failedTests,
      skipped: told.numPendingTests + told.numTodoTests,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
