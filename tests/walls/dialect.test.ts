/*
 * The lint rules for interpreted code notice what the interpreter lacks, and leave other rooms alone.
 * The rules are selectors of syntax: one with a slip in it would match nothing and say nothing.
 */
import { fileURLToPath } from 'node:url';
import { ESLint } from 'eslint';
import tseslint from 'typescript-eslint';
import { expect, test } from 'vitest';

const eslint = new ESLint({
  cwd: fileURLToPath(new URL('../../', import.meta.url)),
  // The snippets are no files, so they have no types.
  overrideConfig: tseslint.configs.disableTypeChecked,
});

async function refusals(file: string, code: string): Promise<string[]> {
  const rules = ['no-restricted-syntax', '@typescript-eslint/no-use-before-define', 'no-var'];
  const [result] = await eslint.lintText(code, { filePath: file });
  const messages = result?.messages ?? [];
  expect(messages.filter((message) => message.fatal)).toEqual([]);
  return messages.filter((message) => rules.includes(message.ruleId ?? '')).map((message) => message.message);
}

const lacking: readonly (readonly [string, string])[] = [
  ['optional chaining', 'export const a = (x?: { b: number }) => x?.b;'],
  ['an optional call', 'export const a = (x?: () => number) => x?.();'],
  ['spread in a call', 'export const a = (x: number[]) => Math.max(...x);'],
  ['spread in an array', 'export const a = (x: number[]) => [...x];'],
  ['spread in an object', 'export const a = (x: object) => ({ ...x });'],
  ['rest', 'export function a(...x: number[]) { return x; }'],
  ['a default parameter', 'export function a(x = 1) { return x; }'],
  ['destructuring of an object', 'export const a = (x: { b: number }) => { const { b } = x; return b; };'],
  ['destructuring of an array', 'export const a = (x: number[]) => { const [b] = x; return b; };'],
  ['destructuring of a parameter', 'export const a = ({ b }: { b: number }) => b;'],
  ['async', 'export async function a() { return 1; }'],
  ['a generator', 'export function* a() { yield 1; }'],
  ['a label', 'out: for (;;) { break out; }'],
  ['a power', 'export const a = (x: number) => x ** 2;'],
  ['a power by assignment', 'let a = 2; a **= 2; export const b = a;'],
  ['nullish assignment', 'let a: number | undefined; a ??= 2; export const b = a;'],
  ['or-assignment', 'let a = 0; a ||= 2; export const b = a;'],
  ['a computed key', 'export const a = (x: string) => ({ [x]: 1 });'],
  ['a class field without a value', 'export class A { count: number; constructor() { this.count = 1; } }'],
  ['a private name', 'export class A { #count = 1; get count() { return this.#count; } }'],
  ['an error of its own', 'export class Refusal extends Error {}'],
  [
    'default before the last case',
    'export const a = (x: number) => { switch (x) { default: return 1; case 2: return 3; } };',
  ],
  ['a function within a function', 'export function a() { function b() { return 1; } return b(); }'],
  ['a function used before it is defined', 'export const a = b(); function b() { return 1; }'],
  ['a regular expression', 'export const a = (x: string) => /a/.test(x);'],
  ['a regular expression made by name', "export const a = new RegExp('a');"],
  ['a big integer', 'export const a = 1n;'],
  ['text beyond ASCII', "export const a = '°C';"],
  ['text beyond ASCII in a template', 'export const a = (x: number) => `${x} µm`;'],
  ['setting the length of an array', 'export const a = (x: number[]) => { x.length = 0; };'],
  ['taking one off the length of an array', 'export const a = (x: number[]) => { x.length--; };'],
  ['toFixed', 'export const a = (x: number) => x.toFixed(2);'],
  ['toPrecision', 'export const a = (x: number) => x.toPrecision(2);'],
  ['toExponential', 'export const a = (x: number) => x.toExponential(2);'],
  ['flat', 'export const a = (x: number[][]) => x.flat();'],
  ['Array.from', 'export const a = Array.from([1]);'],
  ['Array.of', 'export const a = Array.of(1);'],
  ['Array.prototype', 'export const a = (x: number[]) => Array.prototype.slice.call(x);'],
  ['Number.isFinite', 'export const a = (x: number) => Number.isFinite(x);'],
  ['Number.isInteger', 'export const a = (x: number) => Number.isInteger(x);'],
  ['Math.trunc', 'export const a = (x: number) => Math.trunc(x);'],
  ['Math.hypot', 'export const a = (x: number) => Math.hypot(x, 1);'],
  ['Math.log10', 'export const a = (x: number) => Math.log10(x);'],
  ['Object.freeze', 'export const a = Object.freeze({});'],
  ['a Map', 'export const a = new Map();'],
  ['a Set', 'export const a = new Set();'],
  ['a Symbol', "export const a = Symbol('a');"],
  ['clearTimeout without an argument', 'clearTimeout();'],
  ['clearInterval without an argument', 'clearInterval();'],
];

test.each(lacking)('refuses %s in code that the interpreter runs', async (_what, code) => {
  expect(await refusals('firmware/src/example.ts', code)).not.toEqual([]);
  expect(await refusals('shared-core/src/control/example.ts', code)).not.toEqual([]);
  expect(await refusals('shared-core/src/messages/example.ts', code)).not.toEqual([]);
});

test.each([
  ['the clock', 'export const a = () => Date.now();'],
  ['the clock as a date', 'export const a = () => new Date();'],
  ['chance', 'export const a = () => Math.random();'],
])('refuses %s in the whole core', async (_what, code) => {
  expect(await refusals('shared-core/src/trade/example.ts', code)).not.toEqual([]);
  expect(await refusals('shared-core/src/control/example.ts', code)).not.toEqual([]);
  expect(await refusals('dashboard/server/example.ts', code)).toEqual([]);
});

test('lets the interpreter have what it can run', async () => {
  const code = `
    export interface Reading { readonly amps: number; readonly at: (...rest: number[]) => void }
    export class Ring { private count = 0; add(amps: number) { this.count += amps; return this.count; } }
    export const amps = (x: number | undefined) => (x === undefined ? 0 : Math.round(x * 100) / 100);
    export function words(x: number[]) { let text = 'A '; for (const each of x) text += each + ','; return text; }
    export const known = (x: number) => { switch (x) { case 1: return 'a'; default: return 'b'; } };
    export const later = () => later2() + String(known(1));
    const later2 = () => 1;`;
  expect(await refusals('firmware/src/example.ts', code)).toEqual([]);
});

test('leaves the dashboard, the bench and the rest of the core their whole language', async () => {
  const code = 'export const a = (x?: number[]) => [...(x ?? [])].flat().map((y) => y.toFixed(2)).at(0)?.length;';
  expect(await refusals('dashboard/server/example.ts', code)).toEqual([]);
  expect(await refusals('firmware/bench/example.ts', code)).toEqual([]);
  expect(await refusals('shared-core/src/trade/example.ts', code)).toEqual([]);
});
