/*
 * The firmware's build: what is shortened and what is not, that nothing depends on where or when it is built, and that
 * a program which the interpreter would not run is refused with the line in the TypeScript.
 */
import { existsSync, readFileSync } from 'node:fs';
import { createContext, runInContext } from 'node:vm';
import { join, dirname } from 'node:path';
import { describe, expect, it } from 'vitest';
import { buildFirmware, bundlePath, instrumentFunctions, keptPropertyNames } from '@bathkeeper/firmware/build';
import { builtOnce, type Target } from './built-once.js';
import { LAMP_LINES, LAMP_PROGRAM, programFile } from './lamp-program.js';

/** Runs ES5 in a bare context with `print` and a timer that never fires; answers the printed lines and the context. */
function runPlainly(code: string) {
  const lines: string[] = [];
  const context = createContext({
    print: (...values: unknown[]) => lines.push(values.map(String).join(' ')),
    setTimeout: () => 1,
  });
  runInContext(code, context);
  return { lines, context: context as Record<string, unknown> };
}

describe('the build', () => {
  it('gives a program that does what its sources say', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    expect(runPlainly(code).lines).toEqual(LAMP_LINES);
  });

  it('shortens the property names of the program', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    expect(code).not.toMatch(/brightnessPercent|switchedOnSeconds|isWarm|addPulse|countedSoFar/);
  });

  it('leaves the names of the interpreter and of the standard library alone', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    for (const name of [
      '.setup(',
      'scl:',
      'sda:',
      'bitrate:',
      '.writeTo(',
      '.getErrorFlags(',
      '.stringify(',
      '.indexOf(',
      '.length',
    ]) {
      expect(code).toContain(name);
    }
  });

  it('keeps every property that espruino.d.ts and the ES5 library declare', () => {
    const kept = keptPropertyNames();
    expect(kept).toEqual(
      expect.arrayContaining(['readFrom', 'kickWatchdog', 'readJSON', 'hwRand', 'debounce', 'host', 'SHA256']),
    );
    expect(kept).toEqual(expect.arrayContaining(['charCodeAt', 'byteLength', 'hasOwnProperty', 'message']));
    expect(kept).not.toContain('currentAmps');
  });

  it('keeps quoted keys, and never gives a property the name of a quoted or looked-up key', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    expect(code).toContain('longQuotedKey');
    // 'a' and 'b' are values of the key table, and appear as properties of the message only.
    const { lines } = runPlainly(code);
    expect(JSON.parse(lines[0]!.split('} ')[0] + '}')).toEqual({ v: 1, a: 40, b: 3, longQuotedKey: 1 });
  });

  it('keeps two properties apart even where one is named by a key table and the other is shortened', async () => {
    const names = Array.from({ length: 120 }, (_, i) => `ownNameNumber${i}`);
    const program = `
      const Key = { first: 'a', second: 'e', third: 'aa', fourth: 't' } as const;
      const both: { [name: string]: number } & { ${names.map((name) => `${name}: number`).join('; ')} } =
        { ${names.map((name, i) => `${name}: ${i}`).join(', ')} } as never;
      both[Key.first] = 1000; both[Key.second] = 1000; both[Key.third] = 1000; both[Key.fourth] = 1000;
      print(${names.map((name) => `both.${name}`).join(' + ')});`;
    const { code } = await buildFirmware({ entry: programFile(program) });
    expect(runPlainly(code).lines).toEqual([String((119 * 120) / 2)]);
  });

  it('gives the same bytes from the same sources, wherever they lie', async () => {
    const first = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const second = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    expect(second.code).toBe(first.code);
    expect(second.tokens).toBe(first.tokens);
    expect(second.bytes).toBe(first.tokens.length);
  });

  it('writes the file that was asked for', async () => {
    const entry = programFile(LAMP_PROGRAM);
    const outFile = join(dirname(entry), 'deeper', 'bundle.js');
    const { code } = await buildFirmware({ entry, outFile });
    expect(readFileSync(outFile, 'utf8')).toBe(code);
  });

  it('refuses a program that the interpreter would not run, with file and line, and writes nothing', async () => {
    const entry = programFile('print(1);\nprint(Math.trunc(getTime()));\n', 'wrong.ts');
    const outFile = join(dirname(entry), 'bundle.js');
    await expect(buildFirmware({ entry, outFile })).rejects.toThrow(
      /wrong\.ts:2:\d+ {2}found Math\.trunc; write it out/,
    );
    expect(existsSync(outFile)).toBe(false);
  });

  it('refuses class inheritance by the name of the compiler helper that it would need', async () => {
    const entry = programFile('class A { a() { return 1; } }\nclass B extends A {}\nprint(new B().a());\n');
    await expect(buildFirmware({ entry })).rejects.toThrow(
      /__extends; write it without spread, rest or class inheritance/,
    );
  });

  it('refuses text that is not ASCII, with file, line and column', async () => {
    const entry = programFile('// 25 \u00b0C may stand in a comment\nprint("25 \u00b0C");\n', 'degrees.ts');
    await expect(buildFirmware({ entry })).rejects.toThrow(/degrees\.ts:2:7 holds text that is not ASCII/);
  });

  it('refuses an import that leads nowhere', async () => {
    const entry = programFile("import { a } from './nowhere.js';\nprint(a);\n");
    await expect(buildFirmware({ entry })).rejects.toThrow(/nowhere\.js/);
  });

  it('refuses a board that does not exist and lists those that do', async () => {
    await expect(buildFirmware({ board: 'toaster' })).rejects.toThrow(/no board "toaster"\. Boards: .*esp32/);
  });
});

describe('boards and supplies', () => {
  const pairs = ['esp32', 'espruino-wifi'].flatMap((board) =>
    ['analogue', 'by-hand', 'scpi'].map((supply) => [board, supply] as const),
  );
  /** Something that stands in the bundle of this board or supply, and of no other. */
  const marks: Record<string, string> = {
    esp32: 'TelnetServer',
    'espruino-wifi': 'B14',
    'by-hand': 'SET ',
    scpi: 'MEAS:CURR?',
  };

  it.each(pairs)(
    '%s with a supply %s passes the gate and holds its own parts and no others',
    async (board, supply) => {
      const { code, bytes, tokens, version } = await builtOnce({ board, supply });
      expect(version).toMatch(new RegExp(`^\\d+\\.\\d+\\.\\d+ ${board} ${supply}$`));
      expect(bytes).toBe(tokens.length);
      for (const [name, mark] of Object.entries(marks)) {
        expect(code.includes(mark)).toBe(name === board || name === supply);
      }
      // The converter's address is written in the bundle of the analogue supply only.
      expect(/\.writeTo\(96,/.test(code)).toBe(supply === 'analogue');
    },
    240_000,
  );

  it('each pair has a file of its own, the default pair the short name', () => {
    expect(bundlePath()).toMatch(/dist.bathkeeper\.js$/);
    expect(bundlePath('esp32', 'analogue')).toBe(bundlePath());
    const paths = pairs.map(([board, supply]) => bundlePath(board, supply));
    expect(new Set(paths).size).toBe(pairs.length);
    expect(bundlePath('espruino-wifi', 'scpi')).toMatch(/bathkeeper-espruino-wifi-scpi\.js$/);
    expect(bundlePath('esp32', 'analogue', { memory: 'flash', clock: 'none' })).toMatch(
      /bathkeeper-flash-no-clock\.js$/,
    );
  });

  it('holds the board’s own flash only when built for it, and the clock chip unless built without', async () => {
    const isThere = async (target: Target): Promise<boolean[]> => {
      const { code } = await builtOnce(target);
      return [code.includes('erasePage'), code.includes('toISOString')];
    };
    expect(await isThere({})).toEqual([false, true]);
    expect(await isThere({ memory: 'flash', clock: 'none' })).toEqual([true, false]);
  }, 240_000);

  it('refuses a memory that the board does not have, and every wrong name at once', async () => {
    await expect(buildFirmware({ board: 'espruino-wifi', memory: 'flash' })).rejects.toThrow(/fit FRAM/);
    await expect(buildFirmware({ memory: 'paper', clock: 'sundial' })).rejects.toThrow(
      /no memory "paper"\. Memories: flash, fram.*\n.*no clock "sundial"\. Clocks: ds3231, none/,
    );
  });

  it('refuses a kind of supply that does not exist and lists those that do', async () => {
    await expect(buildFirmware({ supply: 'dynamo' })).rejects.toThrow(
      /no kind of supply "dynamo"\. Kinds: analogue, by-hand, scpi/,
    );
  });
});

describe('the count of functions that ran', () => {
  it('marks exactly the functions that were entered', () => {
    const marked = instrumentFunctions(
      'function a(){return b()}function b(){return 1}var c=function(){},d={e:function(){return 2}};a();d.e();',
    );
    const ran = runPlainly(marked.code).context['functionsRan'] as Uint8Array;
    expect(marked.places.map((place) => place.name)).toEqual(['a', 'b', 'c', 'e']);
    expect([...ran]).toEqual([1, 1, 0, 1]);
  });

  it('changes nothing that the program prints', async () => {
    const { code, functions } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const marked = instrumentFunctions(code);
    expect(marked.count).toBe(functions.length);
    expect(runPlainly(marked.code).lines).toEqual(LAMP_LINES);
  });

  it('names a function by its line in the TypeScript', async () => {
    const { functions } = await buildFirmware({ entry: programFile(LAMP_PROGRAM, 'lamp.ts') });
    const line = LAMP_PROGRAM.split('\n').findIndex((text) => text.includes('addPulse: ()')) + 1;
    expect(functions.map((one) => one.source).join(' ')).toMatch(new RegExp(`lamp\\.ts:${line}\\b`));
  });
});
