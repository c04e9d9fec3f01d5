/*
 * Flashing the real interpreter at a port, as it is done to a board: written over its console by the serial package, started by itself after
 * the power went and came back, second program loaded in place of the first and left again. Linux has no pins of a board, so
 * the programs are small ones; that the real ones run is shown by whole-bundle.test.ts and bring-up-in-interpreter.test.ts.
 */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it, onTestFinished } from 'vitest';
import { flashBoard } from '../../firmware/build/flash-board.js';
import { BoardConsole, type BytePort, openSerialPort } from '../../firmware/build/flash-console.js';
import { ESPRUINO_BIN, SKIPPED_WITHOUT } from './interpreter-run.js';

const BRIDGE = fileURLToPath(new URL('board-at-a-port.py', import.meta.url));
/** As the door of the real program; `load` is the interpreter's own. The padding makes it as long as a bundle. */
const PROGRAM = `
var starts = 'first program';
global.bringUp = function (isOnlyAsked) {
  if (global.isEnergised) return 'Not now: a run is on.';
  if (isOnlyAsked) return '';
  load('bring-up.js');
  return 'Loading.';
};
print('FIRST PROGRAM RUNS');
${"var padding = 'quotes \\' and \\\\ and \\x10 in a text';\n".repeat(400)}`;
const BRING_UP = `global.leave = function () { load(); };\nprint('SECOND PROGRAM, first one is', typeof starts);`;

interface PortAndSaid {
  readonly port: BytePort;
  /** Once it has been printed so often. */
  until(text: string, times?: number): Promise<void>;
}

const running: ChildProcess[] = [];
afterEach(() => {
  for (const bridge of running.splice(0)) bridge.stdin?.end();
});

async function poweredUp(folder: string): Promise<PortAndSaid & { powerDown(): Promise<void> }> {
  const bridge = spawn('python3', [BRIDGE, ESPRUINO_BIN!], { cwd: folder, stdio: ['pipe', 'pipe', 'pipe'] });
  running.push(bridge);
  let said = '';
  let changed: () => void = () => undefined;
  bridge.stderr.on('data', (bytes: Buffer) => {
    said += bytes.toString('latin1');
    changed();
  });
  const path = await new Promise<string>((resolve, reject) => {
    bridge.stdout.once('data', (bytes: Buffer) => {
      resolve(bytes.toString().trim());
    });
    bridge.once('error', reject);
    bridge.once('exit', () => {
      reject(new Error(`The board at a port ended: ${said}`));
    });
  });
  const port = await openSerialPort(path);
  return {
    port,
    until: (text, times = 1) =>
      new Promise((resolve) => {
        changed = () => {
          if (said.split(text).length > times) resolve();
        };
        changed();
      }),
    powerDown: async () => {
      await port.close();
      await new Promise((resolve) => {
        bridge.once('exit', resolve);
        bridge.stdin.end();
      });
    },
  };
}

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}flashing the real interpreter over a serial port`, () => {
  it('writes both programs, which start by themselves after power-up and change over to each other', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'bathkeeper-flash-'));
    onTestFinished(() => rm(folder, { recursive: true, force: true }));
    const lines: string[] = [];
    const request = {
      boardId: 'LINUX',
      bootPart: '[1]',
      program: PROGRAM,
      bringUp: BRING_UP,
      settings: 'settings as they are',
      say: (line: string) => lines.push(line),
    };

    const board = await poweredUp(folder);
    const console = new BoardConsole(board.port);
    expect(await flashBoard(console, request)).toEqual({ hasStarted: true });
    await board.until('FIRST PROGRAM RUNS');
    await board.powerDown();

    const again = await poweredUp(folder);
    await again.until('FIRST PROGRAM RUNS');
    const consoleAgain = new BoardConsole(again.port);
    expect(await consoleAgain.askPatiently('require("Storage").read(".bootcde")===undefined', 5)).toBe(false);
    expect(await consoleAgain.ask('require("Storage").read("bathkeeper.json")')).toBe('settings as they are');

    // A program that says it is energised is left alone; nothing at all is written.
    await consoleAgain.ask('global.isEnergised=1');
    await expect(flashBoard(consoleAgain, { ...request, boardId: 'LINUX' })).rejects.toThrow('a run is on');
    await consoleAgain.ask('global.isEnergised=0');
    await expect(flashBoard(consoleAgain, { ...request, boardId: 'ESP32' })).rejects.toThrow('This is a LINUX');
    await expect(flashBoard(consoleAgain, request)).rejects.toThrow('never overwrites');

    // Into the second program, which has the first one's memory, and back.
    expect(await consoleAgain.ask('bringUp()')).toBe('Loading.');
    await again.until('SECOND PROGRAM, first one is undefined');
    consoleAgain.tell('leave()');
    await again.until('FIRST PROGRAM RUNS', 2);
    expect(await consoleAgain.askPatiently('typeof starts', 6)).toBe('string');
    await again.powerDown();
  }, 120_000);
});
