/*
 * Writes the two programs into a board's flash, over its console: asks what it is and whether it may be stopped, stops it, writes, reads
 * the check sums back, starts it. Called by the command `flash` and by tests. It never touches the settings file, calibration or the
 * memory of the run; a settings file is written only where there is none.
 */
import { crc32 } from 'node:zlib';
import { BOOT_FILE } from './boot-part.js';
import { espruinoTools } from './espruino-tools.js';
import { FlashRefused, type BoardConsole } from './flash-console.js';

/** Names in flash. The interpreter runs `.bootcde` by itself after each power-up. */
export const PROGRAM_FILE = '.bootcde';
export const BRING_UP_FILE = 'bring-up.js';
export const SETTINGS_FILE = 'bathkeeper.json';

export interface FlashRequest {
  /** What `process.env.BOARD` says on the right board. */
  readonly boardId: string;
  /** What runs once at boot, and the program that belongs to it. */
  readonly bootPart: string;
  readonly program: string;
  readonly bringUp: string;
  /** Sealed text of a settings file for a board that has none. */
  readonly settings?: string;
  /** Told what is going on. */
  readonly say: (line: string) => void;
}

/** Of each file in flash, and some for the end of a page. Common to the interpreter's storage; ours, no source. */
const FILE_OVERHEAD = 64;
const START_TRIES = 6;
const WRITE_TRIES = 3;

/** No further try can help. */
class FlashRoomless extends FlashRefused {}

/** What is asked first: name, version, why it may not be stopped, whether settings are there. */
const WHO =
  '[process.env.BOARD,process.version,typeof bringUp=="function"?bringUp(1):"",require("Storage").read("' +
  SETTINGS_FILE +
  '",0,1)!==undefined]';

const NO_ANSWER =
  'No answer. Either no Espruino interpreter runs there (ESP32: write its firmware with esptool first), or another program is at the port, ' +
  'or the controller is energised: its console is closed then. Look at the bath. Stop the run there, then try again.';

/** Writes and verifies; throws FlashRefused with what to do next. Answers whether the new program was seen to run. */
export async function flashBoard(console: BoardConsole, request: FlashRequest): Promise<{ hasStarted: boolean }> {
  const { say } = request;
  const who = await console.askPatiently(WHO, START_TRIES);
  if (who === undefined) throw new FlashRefused(NO_ANSWER);
  const [boardId, version, refusal, hasSettings] = who as [string, string, string, boolean];
  if (boardId !== request.boardId) {
    throw new FlashRefused(
      `This is a ${boardId}, the programs are for ${request.boardId}. Nothing was written. Choose with --board, or take the other port.`,
    );
  }
  if (refusal !== '') throw new FlashRefused(`The controller says: ${refusal} Nothing was written.`);
  say(`${boardId}, interpreter ${version}${hasSettings ? ', with settings (they stay)' : ', without settings yet'}.`);

  const files: [string, string][] = [
    [BRING_UP_FILE, request.bringUp],
    [BOOT_FILE, request.bootPart],
    // Last: a board whose writing was cut short has no program rather than half of one.
    [PROGRAM_FILE, request.program],
  ];
  if (request.settings !== undefined && hasSettings) {
    throw new FlashRefused(
      `The board has a settings file, and flashing never overwrites one: change it with bringUp() on the console. Nothing was written.`,
    );
  }
  if (request.settings !== undefined) files.unshift([SETTINGS_FILE, request.settings]);

  const needed = files.reduce((sum, [, text]) => sum + text.length + FILE_OVERHEAD, 0);
  const names = JSON.stringify(files.map(([name]) => name));
  const [free, old] = (await console.ask(
    `[require("Storage").getFree(),${names}.map(function(n){return (require("Storage").read(n)||"").length}).reduce(function(a,b){return a+b},0)]`,
  )) as [number, number];
  if (free + old < needed) {
    throw new FlashRefused(
      `No room: ${needed} bytes are needed, ${free + old} are free or can be freed. Nothing was written. Look at require("Storage").list(), erase what is not ours.`,
    );
  }

  say('Stopping the program that runs there.');
  console.tell('reset()');
  await console.wait(1000);
  if ((await console.askPatiently('1', START_TRIES)) !== 1) throw new FlashRefused(NO_ANSWER);
  // The watchdog of the program that was stopped would restart the board in the middle: now the interpreter feeds it by itself.
  await console.ask('E.enableWatchdog&&E.enableWatchdog(30,true),1');
  for (const [name] of [...files].reverse()) await console.ask(`require("Storage").erase(${JSON.stringify(name)}),1`);
  if (free < needed) await console.ask('require("Storage").compact(),1', 60_000);

  for (const [name, text] of files) {
    say(`Writing ${name}, ${text.length} bytes.`);
    await writeFile(console, name, text);
  }
  console.tell('load()');
  await console.wait(2000);
  const kind = await console.askPatiently('typeof bringUp', START_TRIES);
  return { hasStarted: kind === 'function' };
}

/** Writes and reads back; a line that lost bytes gets two more tries. */
async function writeFile(console: BoardConsole, name: string, text: string): Promise<void> {
  const statements = await uploadStatements(name, text);
  let fault = '';
  for (let attempt = 0; attempt < WRITE_TRIES; attempt++) {
    await console.ask(`require("Storage").erase(${JSON.stringify(name)}),1`);
    fault = await writingFault(console, name, text, statements);
    if (fault === '') return;
    // What was cut off stands in the console's line: a new line ends it.
    console.tell('');
    await console.wait(300);
  }
  await console.ask(`require("Storage").erase(${JSON.stringify(PROGRAM_FILE)}),1`);
  throw new FlashRefused(`${fault} The board has no program now; try again, with a shorter cable.`);
}

/** What went wrong in one attempt, or nothing. Throws FlashRefused when no further one can help. */
async function writingFault(
  console: BoardConsole,
  name: string,
  text: string,
  statements: readonly string[],
): Promise<string> {
  const quoted = JSON.stringify(name);
  try {
    for (const statement of statements) {
      const isTaken = await console.ask(statement);
      if (isTaken === false) {
        await console.ask(`require("Storage").erase(${JSON.stringify(PROGRAM_FILE)}),1`);
        throw new FlashRoomless(
          `The board did not take ${name}: no room, or its flash is worn. It has no program now; try again.`,
        );
      }
      if (isTaken !== true) return `${name}: bytes were lost on the line.`;
    }
    const read = await console.ask(
      `[require("Storage").read(${quoted}).length,E.CRC32(require("Storage").read(${quoted}))]`,
      20_000,
    );
    const [length, sum] = (read ?? [0, 0]) as [number, number];
    return length === text.length && sum >>> 0 === crc32(Buffer.from(text, 'latin1'))
      ? ''
      : `${name} reads back wrong (${length} of ${text.length} bytes): bytes were lost on the line.`;
  } catch (error) {
    if (error instanceof FlashRoomless || !(error instanceof FlashRefused)) throw error;
    return `${name}: ${error.message}`;
  }
}

/** The statements by which the espruino tools write a file into Storage, a piece each. */
async function uploadStatements(name: string, text: string): Promise<string[]> {
  return (await espruinoTools()).Core.Utils.getUploadFileCode(name, text).split('\n').filter(Boolean);
}
