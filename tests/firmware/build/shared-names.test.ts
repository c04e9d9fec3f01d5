/* Second names taken away, locals that share names, names declared where they are first written: the program does what it did, in traps written by hand and in programs drawn at random. */
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { withoutAliases } from '../../../firmware/build/aliases.js';
import { withLateDeclarations } from '../../../firmware/build/late-declarations.js';
import { withSharedLocals } from '../../../firmware/build/shared-locals.js';
import { drawnProgram } from './drawn-programs.js';

const NO_MAP = JSON.stringify({ version: 3, names: [], sources: [], mappings: '' });
const withoutSecondNames = (code: string): string => withoutAliases(code, NO_MAP).code;
const sharing = (code: string): string => withSharedLocals(code, NO_MAP).code;
const late = (code: string): string => withLateDeclarations(code, NO_MAP).code;

/** What the program notes, line by line. */
function notes(code: string): string {
  const lines: unknown[] = [];
  runInNewContext(code, { note: (...values: unknown[]) => lines.push(values) });
  return JSON.stringify(lines);
}
/** The outer names declared with a value, so that only those within may be declared later. */
const declared = (body: string): string => `(()=>{var f=0,g=0,h=0;${body}})()`;
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
    [
      'the head of a for writes one, and every turn reads it',
      'f=()=>{var a,b,i;for(i=0,a=5;i<3;i++){note(a);b=i;note(b)}};f()',
    ],
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

describe('declared where it is first written', () => {
  it.each([
    ['f=()=>{var aa;note(1),aa=2,note(aa)};f()', 'f=()=>{note(1);var aa=2;note(aa)};f()'],
    ['f=()=>{var a,b;return a=2,b=a+1,note(b),a};note(f())', 'f=()=>{var a=2,b=a+1;note(b);return a};note(f())'],
    [
      'f=(c)=>{var aa,ab;c?(aa=2,ab=3,note(aa,ab)):note(c)};f(0),f(1)',
      'f=(c)=>{if(c){var aa=2,ab=3;note(aa,ab)}else{note(c)}};f(0),f(1)',
    ],
    ['f=()=>{var i;for(i=0;i<2;i++)note(i)};f()', 'f=()=>{for(var i=0;i<2;i++)note(i)};f()'],
    ['f=()=>{var ca,a=(ca=1,note(ca),ca+1);note(a)};f()', 'f=()=>{var ca=1;note(ca);var a=ca+1;note(a)};f()'],
  ])('%s', (before, after) => {
    expect(late(declared(before))).toBe(declared(after));
    expect(notes(declared(after))).toBe(notes(declared(before)));
  });

  it.each([
    ['it is read before', 'f=()=>{var a;note(a),a=2,note(a)};f()'],
    ['a function before names it', 'f=()=>{var a;g=()=>note(a),a=2,g()};f()'],
    ['it is used past its branch', 'f=(c)=>{var a;if(c){a=2;note(c)}note(a)};f(0)'],
    ['its old value goes in', 'f=()=>{var a;a=a||2,note(a)};f()'],
    ['another turn reads it first', 'f=()=>{var a,i=0;for(;i<2;i++){i&&note(a);a=i;note(a)}};f()'],
  ])('not where %s', (_what, body) => {
    expect(late(declared(body))).toBe(declared(body));
  });
});

describe('programs drawn at random', () => {
  it('do the same after each step and after all', () => {
    let changed = 0;
    fc.assert(
      fc.property(drawnProgram, (code) => {
        const told = notes(code);
        const single = withoutSecondNames(code);
        const both = sharing(single);
        expect(notes(single)).toBe(told);
        expect(notes(sharing(code))).toBe(told);
        expect(notes(both)).toBe(told);
        expect(notes(late(code))).toBe(told);
        expect(notes(late(both))).toBe(told);
        if (both !== code && late(both) !== both) changed++;
      }),
      { numRuns: 500, seed: 1 },
    );
    // Otherwise nothing was tried.
    expect(changed).toBeGreaterThan(100);
  }, 240_000);
});
