/*
 * The bundle that is flashed, whole, in the real interpreter: scenarios on the virtual clock say the same there and in Node, and
 * between them every function of the bundle has run. A function that never ran is unparsed text, and may hold anything.
 */
import { existsSync, readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  BOOT_FILE,
  inTokens,
  instrumentFunctions,
  programFiles,
  RAN_GLOBAL,
  type MarkedBundle,
} from '@bathkeeper/firmware/build';
import { builtOnce } from '../firmware/build/built-once.js';
import { ESPRUINO_BIN, prelude, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

const SCENARIOS = ['clean-run', 'ramp', 'troubles', 'link', 'bare-board', 'alive', 'flash'] as const;
/** Lines that each scenario must say, so that a run in which nothing happened proves nothing. */
const MUST_SAY: Record<(typeof SCENARIOS)[number], readonly RegExp[]> = {
  'clean-run': [
    /^plate: phase 4 .* contactor closed code 2000 /,
    /^hold: phase 7 .* code 500 /,
    /^restarted: phase 8 .* contactor open code 0 /,
    /^done: phase 6 .* contactor open code 0 /,
    /^connects 3 drops 2 faults 0$/,
  ],
  ramp: [
    /^paused: phase 3 /,
    /^skipped: phase 4 /,
    /^lowered: phase 4 .* permitted 1200 /,
    /^lifted: phase 3 .* permitted 12\d\d /,
    /^told: 14\/1\/\d+\/0 14\/2\/.* 14\/4\/.* 14\/3\//,
    /^ramp waits: phase 3 /,
    /^agitation stopped 1$/,
    /^faults 0$/,
  ],
  troubles: [
    /^rotation stopped long: phase 4 .* code 800 /,
    /^current high: phase 7 .* code 500 /,
    /^alert: phase 8 .* contactor open code 0 /,
    /^emergency stop: phase 8 .* contactor open code 0 /,
    /^bath hot: phase 7 .* code 500 /,
    /^clear 0 code 0 fed again false$/,
    /^Memory silent: /,
    /^Memory answers$/,
  ],
  alive: [
    /^console in ready null$/,
    /^clock chip set true /,
    /^memory fault 1$/,
    /^missing 0 doubled 0$/,
    /^booted after ten minutes: 1\/0\/2\/[4-6]\d\d$/,
    /^interruption: 10\/0\/[4-7]\d\d\/0$/,
    /^outputs 0 0 false console Serial1$/,
    /^told: 17\/3\/0\/0$/,
    /^told: 17\/1\/0\/0$/,
    /^outputs 0 false fed false$/,
    /^Standing by, nothing energised, no network/,
    /^standing by 0 0 true$/,
    /^told: 17\/4\/0\/0$/,
    /^bring-up: 18\/1\/2\/3$/,
    /^drops 7 faults on purpose doubled 0$/,
  ],
  flash: [
    /^Memory in flash, each page erased 0 times$/,
    /^plating: phase 4 /,
    /^same identity true next boot 1$/,
    /^charge lost true$/,
    /^missing 0 doubled 0 erases true$/,
    /^worn 1$/,
    /^none 1 faults 0$/,
  ],
  link: [
    /^dials after rubbish 0$/,
    /^closed by an oversized packet true$/,
    /^reconnects when nothing is heard true$/,
    /^records through true faults 0$/,
  ],
  'bare-board': [
    /^without settings 0 false 0$/,
    /^wrong settings 0$/,
    /^running on RAM: phase 2 /,
    /^no chips: phase 8 .* contactor open /,
  ],
};
const REPORT = `print('FUNCTIONS ' + ${RAN_GLOBAL}.join(''));`;

let marked: MarkedBundle;

const asText = (program: string): string => program;

/** Prelude, the marked bundle behind `boot()`, scenario, report. */
async function scriptsOf(scenario: string, written: (program: string) => string | Promise<string>): Promise<string[]> {
  const text = await readFile(new URL(`./scenarios/${scenario}.js`, import.meta.url), 'utf8');
  const [declaration, ...bundle] = marked.code.split('\n');
  const files = programFiles(bundle.join('\n'));
  return [
    await prelude({ clock: 'virtual', network: 'memory' }),
    declaration!,
    `world.files['${BOOT_FILE}'] = ${JSON.stringify(files.bootPart)};`,
    `var boot = function () {\n${await written(files.program)}\n};`,
    text,
    REPORT,
  ];
}

/** The functions that a run reported, as ones and zeros, and its lines without that report. */
function split(lines: readonly string[]): { ran: string; said: string[] } {
  const report = lines.find((line) => line.startsWith('FUNCTIONS ')) ?? '';
  return { ran: report.slice('FUNCTIONS '.length), said: lines.filter((line) => line !== report) };
}

/** What this bundle, of an analogue supply, never calls: the port of a serial supply, and what is asked of a person who sets the supply. */
const OF_OTHER_SUPPLIES = [/by-hand\.ts/, /openSerial/];

/** The line of TypeScript where a function begins; names there are not shortened. */
function sourceLine(source: string): string {
  const [path, line] = source.split(':');
  const url = new URL(`../../firmware/${path}`, import.meta.url);
  return existsSync(url) ? (readFileSync(url, 'utf8').split('\n')[Number(line) - 1] ?? '') : '';
}

function notRun(runs: readonly string[]): string[] {
  return marked.places
    .filter((place) => !runs.some((ran) => ran[place.index] === '1'))
    .map((place) => `${place.source} ${place.name} ${sourceLine(place.source)}`)
    .filter((place) => !OF_OTHER_SUPPLIES.some((other) => other.test(place)));
}

beforeAll(async () => {
  // The build that holds everything: FRAM and clock chip, and the board's own flash.
  const { code, map } = await builtOnce({ memory: 'flash' });
  marked = instrumentFunctions(code, map);
});

describe('the whole bundle in Node', () => {
  it('runs every function in the scenarios, and no callback throws', async () => {
    const runs: string[] = [];
    for (const scenario of SCENARIOS) {
      const { lines, thrown } = runInNode(await scriptsOf(scenario, asText));
      expect(thrown, lines.join('\n')).toBeUndefined();
      const { ran, said } = split(lines);
      expect(
        said.filter(
          (line) =>
            (line.includes('CALLBACK THREW') && !line.endsWith('on purpose')) || line.includes('not reached within'),
        ),
      ).toEqual([]);
      for (const line of MUST_SAY[scenario]) expect(said).toContainEqual(expect.stringMatching(line));
      runs.push(ran);
    }
    expect(notRun(runs)).toEqual([]);
  });
});

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the whole bundle in the real interpreter`, () => {
  const reports = new Map<string, string>();

  it.each(SCENARIOS)(
    'says in %s what it says in Node, line for line',
    async (scenario) => {
      // In tokens, as it lies in a board's flash.
      const scripts = await scriptsOf(scenario, inTokens);
      const run = await runInInterpreter({ espruinoBin: ESPRUINO_BIN!, scripts, timeoutMs: 280_000 });
      expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
      const real = split(run.lines);
      expect(real.said).toEqual(split(runInNode(await scriptsOf(scenario, asText)).lines).said);
      expect(real.said.length).toBeGreaterThan(4);
      reports.set(scenario, real.ran);
    },
    290_000,
  );

  it('has run every function of the bundle', () => {
    expect([...reports.keys()]).toEqual([...SCENARIOS]);
    expect(notRun([...reports.values()])).toEqual([]);
  });
});
