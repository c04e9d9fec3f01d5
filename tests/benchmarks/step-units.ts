/*
 * The work of a control step while plating, as flashed: the program in tokens, its boot part run as on the board, five seconds in which steps,
 * beats, live messages and what the dashboard answers all occur. Called by the interpreter benchmarks.
 */
import { BOOT_FILE, quotedBytes } from '@bathkeeper/firmware/build';
import { prelude } from '../interpreter/interpreter-run.js';
import { type Count, countInstructions, preludeForCounting } from './instruction-count.js';

/** Instructions of the unit: one step of a PI controller, 14 statements, on a 64-bit Linux build. */
export const UNIT_INSTRUCTIONS = 76_000;
export const SECONDS = 5;
export const STEPS = SECONDS * 5;

/** What each callback of five seconds of plate took. */
export async function countPlate(espruinoBin: string, bootPart: string, tokens: string): Promise<Count[]> {
  const scenario = `
    world.saveSettings();
    var flash = world.realRequire('Storage');
    flash.write('${BOOT_FILE}', ${JSON.stringify(bootPart)});
    world.files['${BOOT_FILE}'] = flash.read('${BOOT_FILE}');
    flash.write('bundle', ${quotedBytes(tokens)});
    eval(flash.read('bundle'));
    world.recipe[3] = 2;
    world.recipe[4] = 4;
    world.recipe[6] = 1e10;
    world.recipe[10] = 50400;
    world.makeReady();
    world.press('start');
    world.passUntil(4, 60);
    world.pass(10);
    world.isCounting = true;
    world.pass(${SECONDS});
    world.isCounting = false;
    if (world.peer.last('live').p !== 4) throw new Error('plate was left');`;
  const program = [preludeForCounting(await prelude({ clock: 'virtual', network: 'memory' })), scenario].join('\n');
  const counts = await countInstructions(espruinoBin, program, 'PLATE COUNTED');
  const steps = counts.filter((count) => count.of === 'step' && count.instructions > 0).length;
  if (steps !== STEPS) {
    throw new Error(
      `${STEPS} steps were to be counted, and ${steps} were: has the interpreter lost its symbols (nm finds jswrap_math_asin)?`,
    );
  }
  return counts;
}
