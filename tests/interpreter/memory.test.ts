/*
 * How many of the interpreter's variables the bundle takes while a run is on, its functions left in flash as on a board. The Linux
 * build's variables are 27 bytes and a board's are smaller, so this is a near thing and no promise: read process.memory() on the board.
 */
import { describe, expect, it } from 'vitest';
import { buildFirmware } from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter, SKIPPED_WITHOUT } from './interpreter-run.js';

/** Our own bound: an ESP32 has some 3,400 variables at least (no published source), and the console and the network need a share. */
const BUDGET_VARIABLES = 2400;

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the memory of the interpreter`, () => {
  it('holds the bundle and a run within the budget, and no more after two minutes than after a half', async () => {
    const { code } = await buildFirmware();
    const scenario = `
      world.saveSettings();
      var flash = world.realRequire('Storage');
      flash.write('bundle', ${JSON.stringify(code)});
      process.memory();
      var before = process.memory().usage;
      var used = [];
      var measure = function () { used.push(process.memory().usage - before); };
      eval(flash.read('bundle'));
      measure();
      world.makeReady();
      world.press('start');
      world.pass(30);
      world.say('running');
      measure();
      world.pass(120);
      measure();
      print('USED ' + used.join());`;
    const run = await runInInterpreter({
      espruinoBin: ESPRUINO_BIN!,
      scripts: [await prelude({ clock: 'virtual', network: 'memory' }), scenario],
      timeoutMs: 110_000,
    });
    expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
    expect(run.lines).toContainEqual(expect.stringMatching(/^running: phase [23] .* contactor closed /));
    const used = run.lines
      .find((line) => line.startsWith('USED '))!
      .slice(5)
      .split(',')
      .map(Number);
    expect(used).toHaveLength(3);
    for (const variables of used) {
      expect(variables).toBeGreaterThan(0);
      expect(variables, `variables after boot, after 30 s, after 150 s: ${used.join(', ')}`).toBeLessThanOrEqual(
        BUDGET_VARIABLES,
      );
    }
    // Messages come and go; what grows with every second would be 120 of them.
    expect(used[2]! - used[1]!, used.join(', ')).toBeLessThan(60);
  }, 120_000);
});
