/*
 * The command `npm run firmware -- flash --port PORT [--board NAME] [--supply KIND] [--memory fram|flash] [--clock ds3231|none] [--settings FILE] [--yes]`: builds both programs and
 * writes them to a board at a serial port. Called by command.ts.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline/promises';
import { parseArgs } from 'node:util';
import { crc32 } from 'node:zlib';
import { buildFirmware, BuildRefused } from './firmware-build.js';
import { firmwareFolder } from './firmware-folder.js';
import { flashBoard } from './flash-board.js';
import { BoardConsole, FlashRefused, openSerialPort, refuseMissingPort } from './flash-console.js';
import { DEFAULT_TARGET } from './transpile.js';

export const FLASH_USAGE =
  'Use: npm run firmware -- flash --port PORT [--board NAME] [--supply KIND] [--memory fram|flash] [--clock ds3231|none] [--settings FILE] [--yes]';

const WARNING =
  'Opening the port may restart an ESP32, and a stray byte can take a callback away from a running program:\n' +
  'flash only with the supply switched off and no part in the tank.';

/** What `process.env.BOARD` says on each board that we build for. */
const BOARD_IDS: Readonly<Record<string, string>> = { esp32: 'ESP32', 'espruino-wifi': 'ESPRUINOWIFI' };

/** The sealed text of a settings file: plain JSON gets its check sum, a sealed one is taken as it is. Throws FlashRefused. */
export function settingsToWrite(text: string, path: string): string {
  const trimmed = text.trim();
  const json = trimmed.startsWith('{') ? trimmed : trimmed.slice(8);
  try {
    JSON.parse(json);
  } catch (error) {
    throw new FlashRefused(
      `${path} holds no settings: expected JSON, ${(error as Error).message}. Nothing was written.`,
    );
  }
  const compact = trimmed.startsWith('{') ? JSON.stringify(JSON.parse(json)) : json;
  const sealed = crc32(compact).toString(16).padStart(8, '0') + compact;
  if (!trimmed.startsWith('{') && sealed !== trimmed) {
    throw new FlashRefused(`${path} is damaged: its check sum is wrong. Nothing was written.`);
  }
  return sealed;
}

/** Runs the command; answers the exit code. */
export async function runFlashCommand(args: readonly string[]): Promise<number> {
  let values;
  try {
    ({ values } = parseArgs({
      args: [...args],
      options: {
        port: { type: 'string' },
        board: { type: 'string', default: DEFAULT_TARGET.board },
        supply: { type: 'string', default: DEFAULT_TARGET.supply },
        memory: { type: 'string', default: DEFAULT_TARGET.memory },
        clock: { type: 'string', default: DEFAULT_TARGET.clock },
        settings: { type: 'string' },
        yes: { type: 'boolean', default: false },
      },
    }));
  } catch (error) {
    process.stderr.write(`${(error as Error).message}\n${FLASH_USAGE}\n`);
    return 2;
  }
  const { port: path, board, supply, memory, clock, settings: settingsPath } = values;
  if (path === undefined) {
    process.stderr.write(`Expected --port, as /dev/ttyUSB0; got none.\n${FLASH_USAGE}\n`);
    return 2;
  }
  const boardId = BOARD_IDS[board];
  try {
    if (boardId === undefined)
      throw new FlashRefused(`There is no board "${board}". Boards: ${Object.keys(BOARD_IDS).join(', ')}.`);
    refuseMissingPort(path);
    let settings: string | undefined;
    if (settingsPath !== undefined) settings = settingsToWrite(readFileSync(settingsPath, 'latin1'), settingsPath);
    const program = await buildFirmware({ board, supply, memory, clock });
    const bringUp = await buildFirmware({ board, supply, entry: join(firmwareFolder(), 'bring-up', 'main.ts') });
    process.stdout.write(`${WARNING}\n`);
    if (!values.yes && !(await isAgreed())) {
      process.stderr.write('Not agreed: nothing was opened or written. (--yes agrees beforehand.)\n');
      return 1;
    }
    const port = await openSerialPort(path);
    try {
      const { hasStarted } = await flashBoard(new BoardConsole(port), {
        boardId,
        bootPart: program.bootPart,
        program: program.tokens,
        bringUp: bringUp.tokens,
        ...(settings === undefined ? {} : { settings }),
        say: (line) => process.stdout.write(`${line}\n`),
      });
      process.stdout.write(
        hasStarted
          ? 'Written, read back, running. It starts by itself after each power-up. For bring-up type bringUp() on its console.\n'
          : 'Written and read back, but the program did not answer. Unplug the board, plug it in, look at its console.\n',
      );
      return hasStarted ? 0 : 1;
    } finally {
      await port.close();
    }
  } catch (error) {
    if (!(error instanceof FlashRefused) && !(error instanceof BuildRefused) && !isFileFault(error)) throw error;
    process.stderr.write(`${(error as Error).message}\n`);
    return 1;
  }
}

function isFileFault(error: unknown): boolean {
  return (error as NodeJS.ErrnoException).code === 'ENOENT';
}

/** Only a person at a terminal can agree. */
async function isAgreed(): Promise<boolean> {
  if (!process.stdin.isTTY) return false;
  const asking = createInterface({ input: process.stdin, output: process.stdout });
  const answer = await asking.question('Is the supply off? Type yes: ');
  asking.close();
  return answer.trim().toLowerCase() === 'yes';
}
