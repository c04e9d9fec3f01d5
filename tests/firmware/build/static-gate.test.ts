/*
 * The static gate: one bad snippet for each rule, and a good program that uses the neighbours of all of them.
 * The facts behind the rules were measured on Espruino 2v29; tests/interpreter asks the interpreter again when it is there.
 */
import { describe, expect, it } from 'vitest';
import { refusals } from '@bathkeeper/firmware/build';

/** rule, program, what the gate must find, where (offset) */
const BAD: readonly (readonly [string, string, string, number])[] = [
  ['a parse error', 'var a = ;', 'syntax beyond ES5', 8],
  ['a constant', 'const a = 1;', 'syntax beyond ES5', 0],
  ['a default parameter', 'var f = function (a = 1) { return a; };', 'syntax beyond ES5', 18],
  ['destructuring', 'var f = function (a) { var { b } = a; return b; };', 'syntax beyond ES5', 27],
  ['a class', 'class A {}', 'syntax beyond ES5', 0],
  ['a short property', 'var a = 1; print({ a });', 'syntax beyond ES5', 19],
  ['a generator', 'function* f() { return 1; }', 'syntax beyond ES5', 0],
  ['a for-of loop', 'for (var a of [1]) print(a);', 'syntax beyond ES5', 0],
  ['a binary number', 'print(0b11);', 'syntax beyond ES5', 6],
  ['this in an arrow function', 'var f = () => this;', 'this in an arrow function', 14],
  ['arguments in an arrow function', 'var f = () => arguments;', 'the global arguments', 14],
  ['optional chaining', 'var a = {}; a?.b;', 'syntax beyond ES5', 14],
  ['spread', 'print.apply(null, [...[1]]);', 'syntax beyond ES5', 19],
  ['a template literal', 'print(`a`);', 'syntax beyond ES5', 6],
  ['non-ASCII text', 'print("\u00b0C");', 'the character', 7],
  ['an escape beyond one byte', 'print("\\u2022");', 'beyond one byte', 6],
  ['an unknown global', 'var m = new Map();', 'the global Map', 12],
  ['a compiler helper', 'var a = __spreadArray([], [1]);', 'the global __spreadArray', 8],
  ['assigning an undeclared variable', 'count = 1;', 'the global count', 0],
  ['eval', 'eval("1");', 'the global eval', 0],
  ['a missing static of Math', 'print(Math.trunc(1.5));', 'Math.trunc', 6],
  ['a missing static written with quotes', "print(Math['hypot'](3, 4));", 'Math.hypot', 6],
  ['a missing static of Number', 'print(Number.isFinite(1));', 'Number.isFinite', 6],
  ['a missing static of Object', 'Object.freeze({});', 'Object.freeze', 0],
  ['a missing static of Array', 'Array.from("ab");', 'Array.from', 0],
  [
    'a method borrowed from a prototype',
    'function f() { return Array.prototype.slice.call(arguments); }',
    'Array.prototype',
    22,
  ],
  ['a missing array method', 'print([1].lastIndexOf(1));', '.lastIndexOf()', 6],
  ['a missing number method', 'print((1.5).toPrecision(2));', '.toPrecision()', 6],
  ['toFixed, which truncates', 'print((1.7).toFixed(0));', '.toFixed()', 6],
  ['a regular expression', 'print(/a+/.test("a"));', 'a regular expression', 6],
  ['setting the length of an array', 'var a = [1]; a.length = 0;', '.length', 13],
  ['counting a length down', 'var a = [1]; a.length--;', '.length', 13],
  ['clearTimeout without an id', 'clearTimeout();', 'clearTimeout()', 0],
  ['clearInterval of undefined', 'clearInterval(void 0);', 'clearInterval()', 0],
  ['clearWatch without an id', 'clearWatch();', 'clearWatch()', 0],
  ['default before a case', 'switch (1) { default: print(1); case 1: print(2); }', 'default before', 13],
  ['a bare return as the last token', 'function f(a) { if (a) return }', 'a bare return', 30],
  ['a label', 'a: for (;;) { break a; }', 'a label', 0],
  ['with', 'with ({ a: 1 }) { print(1); }', 'with', 0],
  ['debugger', 'debugger;', 'debugger', 0],
  ['a function declared in a block', 'if (1) { function f() {} }', 'in a block', 9],
  ['a function declared after a statement', 'print(1); function f() {}', 'after a statement', 10],
  ['a function declared after a return', 'function f() { return g(); function g() {} }', 'after a statement', 27],
  ['a variable used before its var', 'function f() { print(x); var x = 1; }', 'x before its declaration', 21],
  ['a variable assigned before its var', 'var x; function f() { x = 1; var x; }', 'x before its declaration', 22],
  ['a comma inside [ ]', 'var a = [1, 2]; print(a[0, 1]);', 'a comma inside', 24],
];

describe('the static gate', () => {
  it.each(BAD)('refuses %s', (_rule, program, found, offset) => {
    const seen = refusals(program);
    expect(seen.map((one) => one.found).join(' | ')).toContain(found);
    const match = seen.find((one) => one.found.includes(found));
    expect(match?.offset).toBe(offset);
    expect(match?.column).toBe(offset);
    expect(match?.line).toBe(1);
    expect(match?.instead.length).toBeGreaterThan(10);
  });

  it('accepts what stands close to every rule and is right', () => {
    const program = `
      (function () {
        function outer(a) { if (a) { return; } print(a); }
        function later() { return inOrder + Math.max(1, 2) + "\\xff".length; }
        var inOrder, rows = [3, 1], timer = setInterval(outer, 200);
        inOrder = 1;
        clearInterval(timer);
        switch (rows.length) { case 1: print(1); break; default: print(2); }
        try { outer(rows[(0, 1)]); } catch (fault) { print(fault.message); }
        var sum = function add(n) { return n ? n + add(n - 1) : 0; };
        print(sum(3), later(), Object.keys({ of: 1 }), arguments.length, isFinite(1), typeof ESP32);
        digitalWrite(D18, 1); E.kickWatchdog(); require("net");
      })();`;
    expect(refusals(program)).toEqual([]);
  });

  it('says the line and the column of what it found', () => {
    expect(refusals('print(1);\nprint(2); debugger;')).toMatchObject([{ line: 2, column: 10, offset: 20 }]);
  });

  it('lists every fault of a program, in order', () => {
    const seen = refusals('debugger; print(Math.trunc(1)); Object.freeze({});');
    expect(seen.map((one) => one.found)).toEqual(['debugger', 'Math.trunc', 'Object.freeze']);
  });

  it('lets an inner function name a variable that its outer function declares further down', () => {
    expect(refusals('var f = function () { return late; }; var late = 1; print(f());')).toEqual([]);
  });

  it('does not mistake the name of a function for a variable of the same name inside it', () => {
    expect(refusals('function r(n) { try { var r = n + 1; return r; } catch (fault) {} }\nprint(r(1));')).toEqual([]);
  });
});
