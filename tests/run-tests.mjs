/*
 * Runs the whole test suite and ends with one plain line, "N passed, N failed, N skipped".
 * Called by `npm test`; fails when a test failed, and when none ran. Arguments go to vitest.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-tests-'));
const report = join(folder, 'report.json');

if (!process.env['ESPRUINO_BIN']) {
  console.log('ESPRUINO_BIN is not set: the tests that run the bundle in the real interpreter are skipped.');
}
const run = spawnSync(
  process.execPath,
  [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${report}`,
    ...process.argv.slice(2),
  ],
  { cwd: root, stdio: ['ignore', 'inherit', 'inherit'] },
);
let passed = 0;
let failed = 0;
let skipped = 0;
try {
  const told = JSON.parse(readFileSync(report, 'utf8'));
  passed = told.numPassedTests;
  failed =
    told.numFailedTests +
    (told.testResults ?? []).filter((file) => file.status === 'failed' && file.assertionResults.length === 0).length;
  skipped = told.numPendingTests + (told.numTodoTests ?? 0);
} catch {
  console.error(`No test report was written (vitest ended with ${run.status}). Read the lines above.`);
}
rmSync(folder, { recursive: true, force: true });
console.log(`${passed} passed, ${failed} failed, ${skipped} skipped`);
process.exit(run.status !== 0 || failed > 0 || passed === 0 ? run.status || 1 : 0);
