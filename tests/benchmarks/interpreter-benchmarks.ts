/*
 * Benchmarks of the bundle in the real interpreter (ESPRUINO_BIN): variables in use while a run is on and after half an hour without network, what a
 * control step leaves behind, and the size for each board and kind of supply. Variables here are the Linux build's; a board's are smaller, and
 * their number there is read with process.memory().
 */
import { BOOT_FILE, buildFirmware, quotedBytes } from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter } from '../interpreter/interpreter-run.js';
import type { Benchmark, Measured } from './benchmark.js';
import { valgrindIsThere } from './instruction-count.js';
import { countPlate, STEPS as PLATE_STEPS, UNIT_INSTRUCTIONS } from './step-units.js';

/** An ESP32 has some 3,400 surely; what is left is for the network and the console. */
const VARIABLES_MAX = 2400;
const BUNDLE_BYTES_MAX = 22_528;
const STEPS = 500;

/** Numbers by name that the interpreter printed. One run serves all benchmarks. */
let measured: Promise<ReadonlyMap<string, number>> | undefined;

async function measure(): Promise<ReadonlyMap<string, number>> {
  if (!ESPRUINO_BIN) throw new Error('ESPRUINO_BIN is not set: name the interpreter to measure its variables.');
  const { bootPart, tokens } = await buildFirmware();
  const scenario = `
    world.saveSettings();
    var flash = world.realRequire('Storage');
    flash.write('${BOOT_FILE}', ${JSON.stringify(bootPart)});
    world.files['${BOOT_FILE}'] = flash.read('${BOOT_FILE}');
    flash.write('bundle', ${quotedBytes(tokens)});
    var before = process.memory().usage;
    var tell = function (name, value) { print('MEASURED ' + name + ' ' + value); };
    var inUse = function () { return process.memory().usage - before; };
    eval(flash.read('bundle'));
    tell('boot', inUse());
    world.recipe[6] = 1e10;
    world.recipe[10] = 50400;
    world.makeReady();
    world.press('start');
    world.passUntil(4, 200);
    world.pass(60);
    tell('running', inUse());
    // Without a collection: what is left then was allocated by the steps and not given back by itself.
    var left = process.memory(false).usage;
    world.pass(${STEPS / 5});
    tell('left', (process.memory(false).usage - left) / ${STEPS});
    world.dashboardIsAlive = false;
    world.network = 'refused';
    world.hangUp(world.socket);
    world.pass(1800);
    tell('silence', inUse());`;
  const run = await runInInterpreter({
    espruinoBin: ESPRUINO_BIN,
    scripts: [await prelude({ clock: 'virtual', network: 'memory' }), scenario],
    timeoutMs: 600_000,
  });
  if (!run.hasEnded) throw new Error(`The run in the interpreter did not end: ${run.stdout.slice(-500)}`);
  return new Map(
    run.lines
      .filter((line) => line.startsWith('MEASURED '))
      .map((line) => line.split(' '))
      .map(([, name, value]) => [name!, Number(value)]),
  );
}

async function value(name: string, note?: string): Promise<Measured> {
  const found = (await (measured ??= measure())).get(name);
  if (found === undefined) throw new Error(`The interpreter did not print "${name}".`);
  return note === undefined ? { value: found } : { value: found, note };
}

/** A quarter of the 200 ms of a step on the slower board, at 2 ms a unit. */
const STEP_UNITS_MAX = 25;
/** From, to: extrapolated, weakly, from this unit's time on Linux; no board was there to be measured. */
const MS_PER_UNIT = [1.2, 2] as const;

async function stepUnits(): Promise<Measured> {
  const { bootPart, tokens } = await buildFirmware();
  const counts = await countPlate(ESPRUINO_BIN!, bootPart, tokens);
  const units = (of?: string): number =>
    counts.reduce((sum, count) => (of && of !== count.of ? sum : sum + count.instructions), 0) /
    UNIT_INSTRUCTIONS /
    PLATE_STEPS;
  const all = units();
  const ms = MS_PER_UNIT.map((msPerUnit) => Math.round(all * msPerUnit)).join(' to ');
  const parts = (['step', 'beat', 'received'] as const).map((of) => `${of} ${units(of).toFixed(1)}`).join(', ');
  return { value: all, note: `${parts}; ${ms} of 200 ms on an ESP32, extrapolated (1.2 to 2 ms a unit)` };
}

const HAS_VALGRIND = await valgrindIsThere();
if (!ESPRUINO_BIN || !HAS_VALGRIND) {
  console.error('SKIPPED step-units-in-plate: it wants ESPRUINO_BIN, an interpreter with its symbols, and valgrind.');
}

const BUNDLES: readonly Benchmark[] = ['esp32', 'espruino-wifi'].flatMap((board) =>
  ['analogue', 'by-hand', 'scpi'].map((supply) => ({
    name: `bundle-bytes-${board}-${supply}`,
    unit: 'bytes',
    bound: BUNDLE_BYTES_MAX,
    run: async () => ({ value: (await buildFirmware({ board, supply })).bytes }),
  })),
);

export const interpreterBenchmarks: readonly Benchmark[] = [
  ...BUNDLES,
  ...(ESPRUINO_BIN && HAS_VALGRIND
    ? [{ name: 'step-units-in-plate', unit: 'units', bound: STEP_UNITS_MAX, run: stepUnits }]
    : []),
  ...(ESPRUINO_BIN
    ? [
        {
          name: 'variables-at-boot',
          unit: 'variables',
          bound: VARIABLES_MAX,
          run: () => value('boot', 'an ESP32 has 3,400 surely, an Espruino WiFi 8,190'),
        },
        { name: 'variables-in-a-run', unit: 'variables', bound: VARIABLES_MAX, run: () => value('running') },
        { name: 'variables-after-silence', unit: 'variables', bound: VARIABLES_MAX, run: () => value('silence') },
        {
          name: 'variables-left-by-a-step',
          unit: 'variables',
          bound: 1,
          run: () => value('left', 'in the mean of 500 steps without a collection'),
        },
      ]
    : []),
];
