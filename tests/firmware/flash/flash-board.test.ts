/*
 * Flashing, over a stand-in for the port: what is written, what never is, and what is said when it cannot be done.
 */
import { describe, expect, it } from 'vitest';
import { flashBoard, type FlashRequest } from '../../../firmware/build/flash-board.js';
import { runFlashCommand, settingsToWrite } from '../../../firmware/build/flash-command.js';
import { BoardConsole, FlashRefused, openingFault, openSerialPort } from '../../../firmware/build/flash-console.js';
import { sealedBoardSettings, simulatedBoardSettings } from '@bathkeeper/firmware/bench';
import { StandInBoard } from './stand-in-port.js';

const program = `global.bringUp=function(){return ""};${'var a="quoted \\\\ and \\n";'.repeat(300)}`;
const request: FlashRequest = {
  boardId: 'ESP32',
  bootPart: '[1]',
  program,
  bringUp: 'print("bring-up")',
  say: () => undefined,
};
/** Time passes when nothing else happens any more. */
const soon = (): Promise<void> =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });

function flashed(board: StandInBoard, changes: Partial<FlashRequest> = {}): Promise<{ hasStarted: boolean }> {
  return flashBoard(new BoardConsole(board, soon), { ...request, ...changes });
}

describe('flashing', () => {
  it('writes the programs and what runs once at boot, byte for byte, the one that starts by itself last, and starts it', async () => {
    const board = new StandInBoard();
    expect(await flashed(board)).toEqual({ hasStarted: true });
    expect(board.files.get('.bootcde')).toBe(program);
    expect(board.files.get('boot.js')).toBe('[1]');
    expect(board.files.get('bring-up.js')).toBe('print("bring-up")');
    const written = board.told.filter((act) => act.startsWith('write'));
    expect(written[0]).toBe('write bring-up.js');
    expect(written.at(-1)).toBe('write .bootcde');
    expect(board.told.at(-1)).toBe('load');
    expect(board.told.indexOf('reset')).toBeLessThan(board.told.indexOf('watchdog'));
  });

  it('leaves settings and everything else in flash as they are', async () => {
    const board = new StandInBoard();
    board.files.set('bathkeeper.json', 'kept as it is');
    board.files.set('other', 'also');
    await flashed(board);
    expect(board.files.get('bathkeeper.json')).toBe('kept as it is');
    expect(board.files.get('other')).toBe('also');
  });

  it('writes a settings file where there is none, and refuses to write over one', async () => {
    const board = new StandInBoard();
    await flashed(board, { settings: 'settings text' });
    expect(board.files.get('bathkeeper.json')).toBe('settings text');
    await expect(flashed(board, { settings: 'another' })).rejects.toThrow('never overwrites one');
    expect(board.files.get('bathkeeper.json')).toBe('settings text');
  });

  it('never sends Ctrl-C', async () => {
    const board = new StandInBoard();
    await flashed(board);
    expect(board.bytesWritten).not.toContain('\x03');
  });

  it('refuses while the controller says that it is energised, and writes nothing', async () => {
    const board = new StandInBoard();
    board.refusal = 'Not now: a run is on.';
    await expect(flashed(board)).rejects.toThrow('a run is on. Nothing was written');
    expect(board.told).toEqual([]);
  });

  it('refuses the wrong board, and writes nothing', async () => {
    const board = new StandInBoard();
    board.boardId = 'PICO_R1_3';
    await expect(flashed(board)).rejects.toThrow('This is a PICO_R1_3, the programs are for ESP32');
    expect(board.told).toEqual([]);
  });

  it('says what may be the cause when nobody answers', async () => {
    const board = new StandInBoard();
    board.isSilent = true;
    await expect(flashed(board)).rejects.toThrow('the controller is energised: its console is closed then');
  });

  it('refuses a board without room before anything is erased', async () => {
    const board = new StandInBoard();
    board.files.set('.bootcde', 'the old program');
    board.capacityBytes = 4000;
    await expect(flashed(board)).rejects.toThrow(/No room: \d+ bytes are needed, \d+ are free/);
    expect(board.files.get('.bootcde')).toBe('the old program');
  });

  it('has room for the new program in the place of the old one', async () => {
    const board = new StandInBoard();
    await flashed(board);
    board.capacityBytes = program.length + 1000;
    expect(await flashed(board)).toEqual({ hasStarted: true });
    expect(board.told).toContain('compact');
  });

  it('takes the program away again when it reads back wrong, so that half of one never runs', async () => {
    const board = new StandInBoard();
    board.losesByteOf = (piece) => piece > 3;
    await expect(flashed(board)).rejects.toThrow('reads back wrong');
    expect(board.files.has('.bootcde')).toBe(false);
    expect(board.told).not.toContain('load');
  });

  it('writes a file again when bytes of it were lost on the line', async () => {
    const board = new StandInBoard();
    board.losesByteOf = (piece) => piece === 4;
    expect(await flashed(board)).toEqual({ hasStarted: true });
    expect(board.files.get('.bootcde')).toBe(program);
  });

  it('gives what the board throws as its answer', async () => {
    const console = new BoardConsole(new StandInBoard(), soon);
    await expect(console.ask('nothingOfThisName')).rejects.toThrow('The board refused nothingOfThisName');
  });
});

describe('the port', () => {
  it('says that a port is missing, and how to look for it', async () => {
    await expect(openSerialPort('/dev/ttyNotThere')).rejects.toThrow('There is no port /dev/ttyNotThere');
  });

  it('says that a thing is no serial port', async () => {
    await expect(openSerialPort('/dev/null')).rejects.toThrow(FlashRefused);
  });

  it.each([
    ['Error: Permission denied, cannot open /dev/x', 'dialout'],
    ['Error Resource temporarily unavailable Cannot lock port', 'in use'],
    ['Error: something else', 'does not open: Error: something else'],
  ])('knows what "%s" means', (message, says) => {
    expect(openingFault('/dev/x', message)).toContain(says);
  });
});

describe('the command', () => {
  it('asks for a port, and knows its options', async () => {
    expect(await runFlashCommand([])).toBe(2);
    expect(await runFlashCommand(['--ports', 'x'])).toBe(2);
    expect(await runFlashCommand(['--port', 'x', '--board', 'toaster'])).toBe(1);
  });

  it('seals plain settings, takes sealed ones as they are, and refuses damaged ones', () => {
    const settings = simulatedBoardSettings();
    const sealed = sealedBoardSettings(settings);
    expect(settingsToWrite(JSON.stringify(settings, undefined, 2), 'a')).toBe(sealed);
    expect(settingsToWrite(`${sealed}\n`, 'a')).toBe(sealed);
    expect(() => settingsToWrite(sealed.replace('"v":1', '"v":2'), 'a.json')).toThrow('a.json is damaged');
    expect(() => settingsToWrite('{"v":', 'a.json')).toThrow('a.json holds no settings');
  });
});
