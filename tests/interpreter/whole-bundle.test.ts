/*
 * The bundle that is flashed, whole, in the real interpreter: scenarios on the virtual clock say the same there and in Node, and
 * between them every function of the bundle has run. A function that never ran is unparsed text, and may hold anything.
 */
import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildFirmware, instrumentFunctions, RAN_GLOBAL, type MarkedBundle } from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

const SCENARIOS = ['clean-run', 'troubles', 'link', 'bare-board'] as const;
const REPORT = `print('FUNCTIONS ' + ${RAN_GLOBAL}.join(''));`;

let marked: MarkedBundle;

/** Prelude, the marked bundle behind `boot()`, scenario, report. */
async function scriptsOf(scenario: string): Promise<string[]> {
  const text = await readFile(new URL(`./scenarios/${scenario}.js`, import.meta.url), 'utf8');
  const [declaration, ...bundle] = marked.code.split('\n');
  return [
    await prelude({ clock: 'virtual', network: 'memory' }),
    declaration!,
    `var boot = function () {\n${bundle.join('\n')}\n};`,
    text,
    REPORT,
  ];
}

/** The functions that a run reported, as ones and zeros, and its lines without that report. */
function split(lines: readonly string[]): { ran: string; said: string[] } {
  const report = lines.find((line) => line.startsWith('FUNCTIONS ')) ?? '';
  return { ran: report.slice('FUNCTIONS '.length), said: lines.filter((line) => line !== report) };
}

function notRun(runs: readonly string[]): string[] {
  return marked.places
    .filter((place) => !runs.some((ran) => ran[place.index] === '1'))
    .map((place) => `${place.source} ${place.name}`);
}

beforeAll(async () => {
  const { code, map } = await buildFirmware();
  marked = instrumentFunctions(code, map);
});

describe('the whole bundle in Node', () => {
  it('runs every function in the scenarios, and no callback throws', async () => {
    const runs: string[] = [];
    for (const scenario of SCENARIOS) {
      const { lines, thrown } = runInNode(await scriptsOf(scenario));
      expect(thrown, lines.join('\n')).toBeUndefined();
      const { ran, said } = split(lines);
      expect(said.filter((line) => line.includes('CALLBACK THREW') || line.includes('not reached within'))).toEqual([]);
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
      const scripts = await scriptsOf(scenario);
      const run = await runInInterpreter({ espruinoBin: ESPRUINO_BIN!, scripts, timeoutMs: 110_000 });
      expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
      const real = split(run.lines);
      expect(real.said).toEqual(split(runInNode(scripts).lines).said);
      expect(real.said.length).toBeGreaterThan(4);
      reports.set(scenario, real.ran);
    },
    120_000,
  );

  it('has run every function of the bundle', () => {
    expect([...reports.keys()]).toEqual([...SCENARIOS]);
    expect(notRun([...reports.values()])).toEqual([]);
  });
});
