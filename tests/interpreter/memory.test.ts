/*
 * How many of the interpreter's variables the bundle takes: at boot, in a run, after half an hour without network, and hours later, its functions left
 * in flash as on a board. The Linux build's variables are 27 bytes and a board's are smaller, so this is a near thing and no promise: read
 * process.memory() on the board.
 *
 * Short here. For a simulated week: MEMORY_HOURS=168 npx vitest run tests/interpreter/memory.test.ts
 */
import { describe, expect, it } from 'vitest';
import { BOOT_FILE, buildFirmware, quotedBytes } from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter, SKIPPED_WITHOUT } from './interpreter-run.js';

/**
 * An ESP32 has some 3,400 variables at least (no published source), and the console and the network need a share.
 */
const BUDGET_VARIABLES = 2400;
const HOURS = Number(process.env['MEMORY_HOURS'] ?? 0.2);
/** Between two looks of the long stretch. */
const LOOK_SECONDS = HOURS > 1 ? 3600 : 180;
/** A look falls on a message on its way now and then; what grows with every second, message or outage is more than this. */
const SLACK_VARIABLES = 40;
const TIMEOUT_MS = 300_000 + HOURS * 120_000;

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the memory of the interpreter`, () => {
  it.each(['FRAM', 'flash'] as const)(
    'holds the bundle and a run on %s within the budget, and does not grow, neither in a silence nor with the hours',
    async (memory) => {
      const { bootPart, tokens } = await buildFirmware({ memory: memory === 'flash' ? 'flash' : 'fram' });
      const scenario = `
        ${memory === 'flash' ? 'world.fram.isAbsent = true; world.useFlash();' : ''}
        world.saveSettings();
        var flash = world.realRequire('Storage');
        flash.write('${BOOT_FILE}', ${JSON.stringify(bootPart)});
        world.files['${BOOT_FILE}'] = flash.read('${BOOT_FILE}');
        flash.write('bundle', ${quotedBytes(tokens)});
        process.memory();
        var before = process.memory().usage;
        var measure = function (when) { print('USED ' + when + ' ' + (process.memory().usage - before)); };
        eval(flash.read('bundle'));
        measure('boot');
        world.recipe[6] = 1e10;
        world.recipe[10] = 50400;
        world.makeReady();
        world.press('start');
        world.passUntil(4, 200);
        world.pass(60);
        world.say('running');
        measure('running');
        world.dashboardIsAlive = false;
        world.network = 'refused';
        world.hangUp(world.socket);
        world.pass(1800);
        measure('silence');
        world.dashboardIsAlive = true;
        world.network = 'accepts';
        world.pass(120);
        measure('after');
        for (var passed = 0; passed < ${HOURS * 3600}; passed += ${LOOK_SECONDS}) {
          world.pass(${LOOK_SECONDS});
          measure('later');
        }
        world.say('at the end');
        print('missing ' + world.peer.missing + ' doubled ' + world.peer.doubled + ' faults ' + world.faults.length);`;
      const run = await runInInterpreter({
        espruinoBin: ESPRUINO_BIN!,
        scripts: [await prelude({ clock: 'virtual', network: 'memory' }), scenario],
        timeoutMs: TIMEOUT_MS,
      });
      expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
      expect(run.lines).toContainEqual(expect.stringMatching(/^running: phase 4 .* contactor closed /));
      expect(run.lines).toContainEqual('missing 0 doubled 0 faults 0');
      const used = run.lines.filter((line) => line.startsWith('USED ')).map((line) => line.split(' '));
      const variables = (when: string): number[] => used.filter((one) => one[1] === when).map((one) => Number(one[2]));
      const said = used.map((one) => one.slice(1).join(' ')).join(', ');
      console.log(`${memory}, bundle of ${tokens.length} bytes: ${said}`);
      for (const [, when, count] of used) expect(Number(count), `${when} of ${said}`).toBeGreaterThan(0);
      expect(Math.max(...used.map((one) => Number(one[2]))), said).toBeLessThanOrEqual(BUDGET_VARIABLES);
      const later = variables('later');
      expect(later.length, said).toBeGreaterThan(2);
      expect(Math.min(...later.slice(-3)) - Math.min(...later.slice(0, 3)), said).toBeLessThanOrEqual(SLACK_VARIABLES);
      expect(variables('after')[0]! - variables('running')[0]!, said).toBeLessThanOrEqual(2 * SLACK_VARIABLES);
    },
    TIMEOUT_MS + 10_000,
  );
});
