/*
 * What the static gate believes of the interpreter, asked of the interpreter itself: which names it has, which it lacks, and that the
 * syntax which the gate refuses really fails there while Node takes it. A new interpreter version that changes a fact fails here.
 */
import { describe, expect, it } from 'vitest';
import { LANGUAGE_GLOBALS, MISSING_METHODS, STATIC_MEMBERS, buildFirmware } from '@bathkeeper/firmware/build';
import { LAMP_PROGRAM, programFile } from '../firmware/build/lamp-program.js';
import { ESPRUINO_BIN, runInInterpreter, runInNode, SKIPPED_WITHOUT } from './interpreter-run.js';

/** What it is, and a program that prints "right" in Node and not in the interpreter. */
const DIFFERS: readonly (readonly [string, string])[] = [
  ['a function is not hoisted', 'try { f(); } catch (fault) {}\nfunction f() { print("right"); }'],
  [
    'a function behind a return does not exist',
    'function f() { return g(); function g() { print("right"); } }\ntry { f(); } catch (fault) {}',
  ],
  ['var is not hoisted', 'var x = "right"; function f() { x = "wrong"; var x; }\nf(); print(x);'],
  [
    'default must be last',
    'function f() { switch (1) { default: return "wrong"; case 1: return "right"; } }\nprint(f());',
  ],
  ['a bare return cannot be the last token', 'function f() { if (1) return}\nf(); print("right");'],
  ['labels are not known', 'a: for (;;) { break a; }\nprint("right");'],
  ['with is not known', 'with ({ word: "right" }) print(word);'],
  ['length cannot be set', 'var a = [1, 2]; a.length = 1;\nif (a.length === 1) print("right");'],
  ['a comma inside [ ] is an error', 'var a = ["wrong", "right"]; print(a[0, 1]);'],
  ['toFixed truncates', 'if ((1.7).toFixed(0) === "2") print("right");'],
  [
    'methods of prototypes cannot be borrowed',
    'if (Array.prototype.slice.call({ 0: 1, length: 1 }).length === 1) print("right");',
  ],
  ['spread is not known', 'print([...["right"]][0]);'],
  ['optional chaining is not known', 'var a = {}; if (a?.b === undefined) print("right");'],
];

describe.skipIf(!ESPRUINO_BIN)(`${SKIPPED_WITHOUT}the interpreter and the static gate`, () => {
  const espruinoBin = ESPRUINO_BIN!;

  /** Runs a program that must reach its end; answers its lines. */
  async function linesOf(program: string): Promise<readonly string[]> {
    const run = await runInInterpreter({ espruinoBin, scripts: [program], timeoutMs: 20_000 });
    expect(run.hasEnded, run.stdout).toBe(true);
    return run.lines;
  }

  it('has every global that the gate lets pass', async () => {
    const asked = LANGUAGE_GLOBALS.filter((name) => name !== 'undefined');
    const program = asked.map((name) => `if (typeof ${name} === 'undefined') print('${name}');`).join('\n');
    expect(await linesOf(program)).toEqual([]);
  });

  it('has every static member that the gate lets pass', async () => {
    const program = Object.entries(STATIC_MEMBERS)
      .flatMap(([owner, members]) =>
        members.map((name) => `if (${owner}.${name} === undefined) print('${owner}.${name}');`),
      )
      .join('\n');
    expect(await linesOf(program)).toEqual([]);
  });

  it('lacks every method that the gate refuses, on at least one kind of value', async () => {
    const program = MISSING_METHODS.map(
      (name) => `if ([].${name} && 'a'.${name} && (1).${name} && ({}).${name}) print('${name}');`,
    ).join('\n');
    expect(await linesOf(program)).toEqual([]);
  });

  it.each(DIFFERS)('differs from Node: %s', async (_fact, program) => {
    expect(runInNode([program]).lines).toEqual(['right']);
    const run = await runInInterpreter({ espruinoBin, scripts: [program], timeoutMs: 1_500 });
    expect(run.lines).not.toContain('right');
  });

  it('finds none of the shortened property names on a plain object of its own', async () => {
    const { code } = await buildFirmware({ entry: programFile(LAMP_PROGRAM) });
    const names = new Set([...code.matchAll(/[.{,]([A-Za-z_$][\w$]?)(?=[:.+=)(;,[])/g)].map((match) => match[1]!));
    expect(names.size).toBeGreaterThan(3);
    const program = [...names].map((name) => `if (({}).${name} !== undefined) print('${name}');`).join('\n');
    expect(await linesOf(program)).toEqual([]);
  });
});
