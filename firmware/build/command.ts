/*
 * The command `npm run firmware -- build [--board esp32] [--supply analogue] [--memory fram] [--clock ds3231] [--out FILE] [--json]`: writes the file that is flashed, says its size.
 * Called by cli.mjs. It holds no bound: the benchmark `firmware-bundle-bytes` does.
 */
import { parseArgs } from 'node:util';
import { buildFirmware, BuildRefused, bundlePath, shownPath } from './firmware-build.js';
import { FLASH_USAGE, runFlashCommand } from './flash-command.js';
import { boardNames, DEFAULT_TARGET, supplyNames } from './transpile.js';

const USAGE =
  'Use: npm run firmware -- build [--board NAME] [--supply KIND] [--memory fram|flash] [--clock ds3231|none] [--out FILE] [--json]';

/** Runs the command; answers the exit code. */
export async function runFirmwareCommand(args: readonly string[]): Promise<number> {
  if (args[0] === 'flash') return runFlashCommand(args.slice(1));
  let asked;
  try {
    asked = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        board: { type: 'string', default: DEFAULT_TARGET.board },
        supply: { type: 'string', default: DEFAULT_TARGET.supply },
        memory: { type: 'string', default: DEFAULT_TARGET.memory },
        clock: { type: 'string', default: DEFAULT_TARGET.clock },
        out: { type: 'string' },
        json: { type: 'boolean', default: false },
      },
    });
  } catch (error) {
    process.stderr.write(`${(error as Error).message}\n${USAGE}\n`);
    return 2;
  }
  const { values, positionals } = asked;
  if (positionals.length !== 1 || positionals[0] !== 'build') {
    process.stderr.write(
      `Expected one word, build or flash; got ${positionals.join(' ') || 'none'}. Boards: ${boardNames().join(', ')}. Supplies: ${supplyNames().join(', ')}.\n${USAGE}\n${FLASH_USAGE}\n`,
    );
    return 2;
  }
  const { board, supply, memory, clock } = values;
  const outFile = values.out ?? bundlePath(board, supply, { memory, clock });
  try {
    const built = await buildFirmware({ board, supply, memory, clock, outFile });
    const { bytes, bootPartBytes, gzipBytes, version, functions } = built;
    process.stdout.write(
      values.json
        ? `${JSON.stringify({ file: outFile, version, bytes, bootPartBytes, gzipBytes, functions: functions.length })}\n`
        : `${shownPath(outFile)}: ${bytes} bytes (${gzipBytes} compressed), ${bootPartBytes} bytes that run once at boot, ${functions.length} functions, version ${version}\n`,
    );
    return 0;
  } catch (error) {
    if (!(error instanceof BuildRefused)) throw error;
    process.stderr.write(`${error.message}\n`);
    return 1;
  }
}
