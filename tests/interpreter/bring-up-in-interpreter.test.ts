/*
 * The bring-up program in the real interpreter: a board brought up from nothing says there what it says in Node, line for line, and every
 * function of the program has run. A function that never ran is unparsed text, and may hold anything.
 */
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  buildFirmware,
  inTokens,
  instrumentFunctions,
  RAN_GLOBAL,
  type MarkedBundle,
} from '@bathkeeper/firmware/build';
import { ESPRUINO_BIN, prelude, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

const ENTRY = fileURLToPath(new URL('../../firmware/bring-up/main.ts', import.meta.url));
/** What a run must say, so that one in which nothing happened proves nothing. */
const MUST_SAY = [
  /^All \d are there/,
  /^1 found\./,
  /^2 pulses/,
  /^It opened: good/,
  /^It closed while you held start, and opened when you let go: good/,
  /^Current calibrated: gain 0\.95/,
  /^Supply calibrated: /,
  /^Kept and complete/,
  /^code 0 enabled 0 supply 0$/,
  /^loads 1$/,
  /^Bring-up failed, everything is off: a fault on purpose$/,
  /^at the end, loads 2 enabled 0 faults 0$/,
  /^after stop 0 0 0$/,
];
/** The secret is drawn from the chip, and differs. */
const SECRET = /^([0-9A-Z*~$=]{8}-){7}/;
/** Parts that it takes over from the controller and does not use: the network, the rest of the drivers. */
const ITS_OWN = 'bring-up/';

let marked: MarkedBundle;
beforeAll(async () => {
  const { code, map } = await buildFirmware({ entry: ENTRY });
  marked = instrumentFunctions(code, map);
}, 240_000);

async function scripts(isInTokens: boolean): Promise<string[]> {
  const [declaration, ...bundle] = marked.code.split('\n');
  return [
    await prelude({ clock: 'virtual', network: 'memory' }),
    declaration!,
    `var boot = function () {\n${isInTokens ? await inTokens(bundle.join('\n')) : bundle.join('\n')}\n};`,
    await readFile(new URL('./scenarios/bring-up.js', import.meta.url), 'utf8'),
    `print('FUNCTIONS ' + ${RAN_GLOBAL}.join(''));`,
  ];
}

function split(lines: readonly string[]): { ran: string; said: string[] } {
  const report = lines.find((line) => line.startsWith('FUNCTIONS ')) ?? '';
  return {
    ran: report.slice('FUNCTIONS '.length),
    said: lines.filter((line) => line !== report).map((line) => line.replace(SECRET, 'SECRET ')),
  };
}

function notRun(ran: string): string[] {
  return marked.places
    .filter((place) => place.source.startsWith(ITS_OWN) && ran[place.index] !== '1')
    .map((place) => `${place.source} ${place.name}`);
}

describe('the bring-up program in Node', () => {
  it('brings a board up from nothing, and runs every function', async () => {
    const { lines, thrown } = runInNode(await scripts(false));
    expect(thrown, lines.join('\n')).toBeUndefined();
    const { ran, said } = split(lines);
    for (const line of MUST_SAY) expect(said).toContainEqual(expect.stringMatching(line));
    expect(said.filter((line) => line.includes('CALLBACK THREW'))).toEqual([]);
    expect(notRun(ran)).toEqual([]);
    expect(ran.length).toBeGreaterThan(60);
  });
});

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the bring-up program in the real interpreter`, () => {
  it('says what it says in Node, line for line', async () => {
    const run = await runInInterpreter({
      espruinoBin: ESPRUINO_BIN!,
      scripts: await scripts(true),
      timeoutMs: 200_000,
    });
    expect(run.hasEnded, run.stdout.slice(-2_000)).toBe(true);
    const real = split(run.lines);
    const node = split(runInNode(await scripts(false)).lines);
    expect(real.said).toEqual(node.said);
    expect(real.ran).toBe(node.ran);
  }, 240_000);
});
