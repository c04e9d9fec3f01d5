/* The names that a program in a hurry looks up stand first, and the program does what it did. */
import { runInNewContext } from 'node:vm';
import { originalPositionFor, TraceMap } from '@jridgewell/trace-mapping';
import { describe, expect, it } from 'vitest';
import { withNearNames } from '../../../firmware/build/near-names.js';

/** A map in which each place of one line is its own. */
const mapOf = (code: string): string =>
  JSON.stringify({
    version: 3,
    names: [],
    sources: ['program.ts'],
    mappings: [[...code].map((_, column) => [column, 0, 0, column])],
  });
const near = (body: string) => {
  const code = `(()=>{${body}})();`;
  return { ...withNearNames(code, mapOf(code)), before: code };
};
/** What the program prints when each of its intervals has fired twice. */
function printed(code: string): unknown[] {
  const lines: unknown[] = [];
  const acts: (() => void)[] = [];
  runInNewContext(code, {
    print: (line: unknown) => lines.push(line),
    setInterval: (act: () => void) => acts.push(act),
  });
  for (const act of [...acts, ...acts]) act();
  return lines;
}
/** Names in the order in which the program's first statement declares them. */
const firstNames = (code: string): string[] =>
  [...code.slice(0, code.indexOf(';')).matchAll(/(?:var |,)([a-z]+)(?==|,|$)/g)].map((found) => found[1]!);

const PROGRAMS = {
  'a function that is called, and one that is not':
    'var far=()=>9,count=0,step=()=>{print(add(count++))},add=a=>a+1;print(far());setInterval(step,200);',
  'a variable with a value that is worked out in its turn':
    'var start=Number("5"),twice=start*2,act=()=>print(twice+start);print(start);setInterval(act,200);',
  'what an object holds, called by its key':
    'var seen=-3,o={read:()=>value(),other:()=>far},far=2,value=()=>seen++;setInterval(()=>{print(o.read())},500);',
  'a name in the head of a loop, and one that is declared twice':
    'for(var i=0;i<2;i++)print(i);var d=1;print(d);var d=2;setInterval(()=>{print(i+d)},200);',
  'locals and parameters of the same names':
    'var a=1,b=2,f=a=>{var b=a+1;return b};setInterval(()=>{print(f(5)+a+b)},200);print(f(a));',
  'a branch that declares': 'var on=true;if(on){var x=7;print(x)}else{var x=8}setInterval(()=>{print(x)},200);',
};

describe('near names', () => {
  it.each(Object.entries(PROGRAMS))('%s: what is printed is the same', (_what, body) => {
    const { before, code } = near(body);
    expect(code).not.toBe(before);
    expect(printed(code)).toEqual(printed(before));
    expect(printed(code).length).toBeGreaterThan(1);
  });

  it("stand first, the most hurried interval's before all, and what no interval reaches stays where it was", () => {
    const body =
      'var boot=()=>print("b"),slow=()=>late(),late=()=>1,quick=()=>mid(),mid=()=>deep(),deep=()=>2;' +
      'boot();setInterval(slow,500);setInterval(quick,200);setInterval(()=>boot(),60000);';
    expect(firstNames(near(body).code)).toEqual(['quick', 'slow', 'mid', 'late', 'deep']);
  });

  it('keep their places in the map', () => {
    const { before, code, map } = near(PROGRAMS['a function that is called, and one that is not']);
    const column = code.indexOf('a+1');
    expect(originalPositionFor(new TraceMap(map), { line: 1, column }).column).toBe(before.indexOf('a+1'));
  });

  it('leave a program alone that has no interval or no function around it', () => {
    const code = '(()=>{var a=1,f=()=>a;print(f())})();';
    expect(withNearNames(code, mapOf(code)).code).toBe(code);
    expect(withNearNames('var a=1;setInterval(a,200);', mapOf('')).code).toBe('var a=1;setInterval(a,200);');
  });
});
