/*
 * Entry of `npm run firmware`: compiles the build itself when it is stale, then hands over to command.ts.
 * Plain JavaScript, because Node.js 20 cannot run TypeScript and nothing may be built yet.
 */
import { spawnSync } from 'node:child_process';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const compiler = join(dirname(createRequire(import.meta.url).resolve('typescript/package.json')), 'bin', 'tsc');
const outcome = spawnSync(process.execPath, [compiler, '-b', here], { stdio: ['ignore', 2, 2] });
if (outcome.status !== 0) {
  process.stderr.write('The build in firmware/build does not compile: read the lines above.\n');
  process.exit(1);
}
const { runFirmwareCommand } = await import('../dist/build/command.js');
process.exitCode = await runFirmwareCommand(process.argv.slice(2));
