/* Second names taken away and locals that share names: the program does what it did, in traps written by hand and in programs drawn at random. */
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withoutAliases } from '../../../firmware/build/aliases.js';
import { withSharedLocals } from '../../../firmware/build/shared-locals.js';

const NO_MAP = JSON.stringify({ version: 3, names: [], sources: [], mappings: '' });
const withoutSecondNames = (code: string): string => withoutAliases(code, NO_MAP).code;
const sharing = (code: string): string => withSharedLocals(code, NO_MAP).code;

/** What the program notes, line by line. */
function notes(code: string): string {
  const lines: unknown[] = [];
  runInNewContext(code, { note: (...values: unknown[]) => lines.push(values) });
  return JSON.stringify(lines);
}
const whole = (body: string): string => `(()=>{var f,g,h;${body}})()`;

describe('second names', () => {
  it.each([
    ['a second name of a parameter', 'f=(a)=>{var b;b=a;note(b);note(b+a)};f(3)', 'b'],
    ['a second name of a local', 'f=()=>{var a,b;a=note.length;b=a;note(b,b)};f()', 'b'],
    ['one within a function of the other one’s maker', 'f=(a)=>{g=()=>{var b;b=a;note(b)};g()};f(4)', 'b'],
  ])('%s is taken away', (_what, body, name) => {
    const code = whole(body);
    expect(notes(withoutSecondNames(code))).toBe(notes(code));
    expect(withoutSecondNames(code)).not.toMatch(new RegExp(`[=(,]${name}[,)+]`));
  });

  it.each([
    ['the first one is changed later', 'f=(a)=>{var b;b=a;a=9;note(a,b)};f(3)'],
    ['the first one counts on', 'f=(a)=>{var b;b=a;a++;note(a,b)};f(3)'],
    ['the second one is changed', 'f=(a)=>{var b;b=a;b++;note(a,b)};f(3)'],
    ['another function changes the first one meanwhile', 'f=0;g=()=>{f=2};h=()=>{var b;b=f;g();note(f,b)};h()'],
    [
      'the first one is written once, by a function called meanwhile',
      'var a;g=()=>{a=2};h=()=>{var b;b=a;g();note(a,b)};h()',
    ],
    ['it is written only sometimes', 'f=(a,c)=>{var b;c&&(b=a);note(b)};f(3,false);f(3,true)'],
    ['it keeps the value of the turn before', 'f=()=>{var a,b,i;for(i=0;i<3;i++){note(b);a=i*2;b=a}};f()'],
    ['the first one is given by a for-in', 'f=(o)=>{var b;for(var k in o){b=k;note(b)}note(b,k)};f({x:1,y:2})'],
    ['the name means something else within', 'f=(a)=>{var b;b=a;g=(a)=>{note(a,b)};g(7)};f(3)'],
    ['it is read before', 'f=(a)=>{var b;note(b);b=a;note(b)};f(3)'],
  ])('stay where %s', (_what, body) => {
    const code = whole(body);
    expect(notes(withoutSecondNames(code))).toBe(notes(code));
  });
});

describe('locals that share a name', () => {
  it.each([
    ['one after the other', 'f=()=>{var a,b;a=note.length;note(a);b=note.length+1;note(b)};f()'],
    ['in two branches', 'f=(c)=>{var a,b;if(c){a=c+1;note(a)}else{b=c+2;note(b)}};f(1);f(0)'],
  ])('%s: they do', (_what, body) => {
    const code = whole(body);
    expect(notes(sharing(code))).toBe(notes(code));
    expect(sharing(code)).not.toMatch(/note\(b\)/);
  });

  it.each([
    ['both are needed', 'f=()=>{var a,b;a=1;b=2;note(a,b)};f()'],
    ['one lives through a loop', 'f=()=>{var a,b,i;a=1;for(i=0;i<3;i++){note(a);b=i;note(b)}};f()'],
    ['a function within sees one', 'f=()=>{var a,b;a=1;g=()=>note(a);note(a);b=2;note(b);g()};f()'],
    ['one is read though it was never written', 'f=(c)=>{var a,b;a=1;note(a);c&&(b=2);note(b)};f(false)'],
    ['one keeps the value of the turn before', 'f=()=>{var a,b,i;for(i=0;i<3;i++){a=i;note(a);note(b);b=i}};f()'],
    ['one is a parameter', 'f=(a)=>{var b;note(a);b=2;note(b)};f(1)'],
    ['a case falls through', 'f=(c)=>{var a,b;a=1;note(a);switch(c){case 1:b=2;case 2:note(b)}};f(1);f(2)'],
    ['an exception comes in between', 'f=()=>{var a,b;a=1;note(a);try{note(x);b=2}catch(e){note(b)}};f()'],
    ['its own old value goes in', 'f=()=>{var a,b;a=1;note(a);b=(b||0)+1;note(b)};f()'],
    ['a step of a for is written before its body', 'f=()=>{var a,b,i;a=5;note(a);for(i=0;i<2;b=i,i++)note(b)};f()'],
  ])('do not where %s', (_what, body) => {
    const code = whole(body);
    expect(notes(sharing(code))).toBe(notes(code));
  });

  it('does not where the left operand would be taken late: an interpreter before 2v25 reads it by its name', () => {
    const code = '(()=>{var f;f=()=>{var a,b;a=5;note(a+(b=1,b))};f()})()';
    expect(sharing(code)).toBe(code);
  });
});

/** Statements over a few names, with branches, loops of a fixed count, closures and expressions that write. */
const NAMES = ['a', 'b', 'c', 'd', 'p', 'q'] as const;
const name = fc.constantFrom(...NAMES);
const { statement } = fc.letrec<{ value: string; statement: string }>((tie) => ({
  value: fc.oneof(
    { maxDepth: 3, withCrossShrink: true },
    { arbitrary: name, weight: 5 },
    { arbitrary: fc.nat(9).map(String), weight: 2 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x}+${y})`), weight: 2 },
    { arbitrary: fc.tuple(name, tie('value')).map(([x, y]) => `(${x}=${y})`), weight: 2 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x},${y})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `(${x}&&${y})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value'), tie('value')).map(([x, y, z]) => `(${x}?${y}:${z})`), weight: 1 },
    { arbitrary: fc.tuple(tie('value'), tie('value')).map(([x, y]) => `k(${x},${y})`), weight: 1 },
  ),
  statement: fc.oneof(
    { maxDepth: 3, withCrossShrink: true },
    { arbitrary: fc.tuple(name, tie('value')).map(([x, y]) => `${x}=${y};`), weight: 6 },
    { arbitrary: fc.tuple(name, name).map(([x, y]) => `${x}=${y};`), weight: 4 },
    { arbitrary: tie('value').map((x) => `note(${x});`), weight: 4 },
    { arbitrary: fc.tuple(tie('value'), tie('statement'), tie('statement')).map(([x, y, z]) => `if(${x}){${y}}else{${z}}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => `for(n=0;n++<3&&m++<20;){${x}${y}}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => x + y), weight: 3 },
    { arbitrary: tie('statement').map((x) => `try{${x}note(missing);}catch(e){note(1);}`), weight: 1 },
    { arbitrary: fc.tuple(tie('statement'), tie('statement')).map(([x, y]) => `g=()=>{var d;d=a;${x}};${y}m++<20&&g();`), weight: 1 },
  ),
})); // prettier-ignore
const drawnProgram = fc
  .tuple(fc.array(statement, { minLength: 2, maxLength: 9 }))
  .map(
    ([lines]) =>
      `(()=>{var f,g,k,m;m=0;k=(x,y)=>{var z;z=x;note(z);return z+y};f=(p,q)=>{var a,b,c,d,n;${lines.join('')}note(a,b,c,d)};f(1,2);f(0,3)})()`,
  );

describe('programs drawn at random', () => {
  it('do the same without second names, with shared locals, and with both', () => {
    let changed = 0;
    fc.assert(
      fc.property(drawnProgram, (code) => {
        const told = notes(code);
        const single = withoutSecondNames(code);
        const both = sharing(single);
        expect(notes(single)).toBe(told);
        expect(notes(sharing(code))).toBe(told);
        expect(notes(both)).toBe(told);
        if (both !== code) changed++;
      }),
      { numRuns: 1500, seed: 1 },
    );
    // Otherwise nothing was tried.
    expect(changed).toBeGreaterThan(300);
  });
});
