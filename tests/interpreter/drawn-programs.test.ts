/*
 * The steps of the build that change names and declarations, in the real interpreter: it hoists nothing and keeps names in its own way, so that
 * a program drawn at random must do the same there before and after them.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withoutAliases } from '../../firmware/build/aliases.js';
import { withLateDeclarations } from '../../firmware/build/late-declarations.js';
import { withSharedLocals } from '../../firmware/build/shared-locals.js';
import { drawnProgram } from '../firmware/build/drawn-programs.js';
import { ESPRUINO_BIN, runInInterpreter, SKIPPED_WITHOUT } from './interpreter-run.js';

const NO_MAP = JSON.stringify({ version: 3, names: [], sources: [], mappings: '' });
const PROGRAMS = 300;

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}programs drawn at random`, () => {
  it('do the same in the interpreter after the names were changed', async () => {
    const before = fc.sample(drawnProgram, { numRuns: PROGRAMS, seed: 3 });
    const after = before.map((code) => {
      const single = withoutAliases(code, NO_MAP).code;
      return withLateDeclarations(withSharedLocals(single, NO_MAP).code, NO_MAP).code;
    });
    const told = async (programs: readonly string[]): Promise<readonly string[]> => {
      const { lines, hasEnded } = await runInInterpreter({
        espruinoBin: ESPRUINO_BIN!,
        scripts: [
          'function note() { print(JSON.stringify([].slice.call(arguments))); }',
          ...programs.map((code, at) => `print('program ${String(at)}');try{${code}}catch(e){print('threw '+e)}`),
        ],
        timeoutMs: 120_000,
      });
      expect(hasEnded).toBe(true);
      return lines;
    };
    const lines = await told(before);
    expect(after.filter((code, at) => code !== before[at]).length).toBeGreaterThan(PROGRAMS / 2);
    expect(lines.length).toBeGreaterThan(5 * PROGRAMS);
    expect(lines.filter((line) => line.startsWith('threw'))).toEqual([]);
    expect(await told(after)).toEqual(lines);
  }, 300_000);
});
