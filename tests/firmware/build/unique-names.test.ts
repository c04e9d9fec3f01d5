/* Names that occur once: the program does what it did, and its places can still be found. */
import { runInNewContext } from 'node:vm';
import { originalPositionFor, TraceMap } from '@jridgewell/trace-mapping';
import { describe, expect, it } from 'vitest';
import { withUniqueNames } from '../../../firmware/build/unique-names.js';

/** One function around everything, as the bundler gathers it. */
const whole = (body: string): string => `var answer = (function () {\n${body}\n})();`;

const PROGRAMS = {
  'parameters and locals that hide outer ones':
    'var a = 1; function f(a) { var b = a + 1; return function (a) { return a * b; }; } return [a, f(2)(3), f(4)(5)];',
  'a function that uses an outer name and one of its own':
    'var step = 5; function f(count) { var sum = 0; for (var i = 0; i < count; i++) sum += step; return sum; } return f(3);',
  'a caught exception with the name of a parameter':
    'function f(why) { try { throw why + 1; } catch (why) { var kept = why; } return [why, kept]; } return f(1);',
  'a function expression that calls itself by its name':
    'var fact = function own(n) { return n < 2 ? 1 : n * own(n - 1); }; var own = 7; return [fact(5), own];',
  'a declared function with a local of its own name':
    'function f(n) { var f = n * 2; return f; } function g() { function f() { return 9; } return f(); } return [f(4), g()];',
  'names of properties':
    'function f(waiting) { var chain = { waiting: waiting }; chain.waiting++; return chain["waiting"]; } return f(1);',
  'a closure that changes what its maker declared':
    'function counter(start) { var at = start; return { next: function () { return at++; }, at: function () { return at; } }; }' +
    'var one = counter(1), two = counter(10); one.next(); two.next(); two.next(); return [one.at(), two.at()];',
};

describe('unique names', () => {
  it.each(Object.entries(PROGRAMS))('%s: the answer is the same', (_what, body) => {
    const code = whole(body);
    const renamed = withUniqueNames(code);
    const answerOf = (text: string): unknown => {
      const context: { answer?: unknown } = {};
      runInNewContext(text, context);
      return JSON.parse(JSON.stringify(context.answer));
    };
    expect(renamed.code).not.toBe(code);
    expect(answerOf(renamed.code)).toEqual(answerOf(code));
  });

  it('no two functions share the name of a parameter or local, and the outermost names stay', () => {
    const { code } = withUniqueNames(
      whole('var kept = 1; function f(a) { return a + kept; } function g(a) { return f(a); } return g(1);'),
    );
    expect(code).toContain(
      'var kept = 1; function f(a$1) { return a$1 + kept; } function g(a$2) { return f(a$2); } return g(1);',
    );
  });

  it('the map leads each place back to where it was', () => {
    const code = whole('function f(first, second) {\n  return first + second.third;\n}\nreturn f(1, { third: 2 });');
    const renamed = withUniqueNames(code);
    const map = new TraceMap(renamed.map);
    const at = renamed.code.split('\n');
    const line = at.findIndex((text) => text.includes('second$2.third'));
    const found = originalPositionFor(map, { line: line + 1, column: at[line]!.indexOf('second$2.third') });
    expect(code.split('\n')[found.line! - 1]!.slice(found.column!)).toBe('second.third;');
  });
});
