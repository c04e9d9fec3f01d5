/*
 * Cuts what runs only once, at boot and before anything can be energised, out of the minified program, into a second file that the
 * program evaluates from flash and forgets. A function of the sources is meant by `@onceAtBoot` in its comment. Called by the bundler and by
 * whoever writes or runs the two files. Both are cut from one checked and shortened text, so their names always fit; the check sum of the
 * second stands in the first, which without it, or with another one, starts nothing at all.
 */
import { crc32 } from 'node:zlib';
import { parse, type CallExpression, type Node } from 'acorn';
import { ancestor, full, fullAncestor } from 'acorn-walk';
import { eachMapping, TraceMap } from '@jridgewell/trace-mapping';
import { declarationsByScope, holdsNames, isScope } from './scopes.js';

/** Name in flash. */
export const BOOT_FILE = 'boot.js';
/** The call around a function that runs only once at boot, from transpile to here; no such function exists. */
export const BOOT_MARK = 'onceAtBoot';
/** Between the two files where both stand in one text, the one that runs at boot first. */
const SEPARATOR = '\n//# program\n';

export interface ProgramFiles {
  /** Text of BOOT_FILE; empty when nothing was cut out. */
  readonly bootPart: string;
  /** What the interpreter runs at power-up. */
  readonly program: string;
}

/** The two files of a bundle's text. */
export function programFiles(code: string): ProgramFiles {
  const at = code.indexOf(SEPARATOR);
  return at < 0
    ? { bootPart: '', program: code }
    : { bootPart: code.slice(0, at), program: code.slice(at + SEPARATOR.length) };
}

function seal(bootPart: string): string {
  return String(crc32(Buffer.from(bootPart, 'latin1')) | 0);
}

/** The same bundle with the check sum of a boot part that was changed, by marks of a test. */
export function resealed(code: string, sealedPart: string): string {
  const { bootPart, program } = programFiles(code);
  return bootPart === '' ? code : bootPart + SEPARATOR + program.replace(seal(sealedPart), () => seal(bootPart));
}

function markedCalls(code: string): CallExpression[] {
  const calls: CallExpression[] = [];
  ancestor(parse(code, { ecmaVersion: 6 }), {
    CallExpression(node) {
      if (node.callee.type === 'Identifier' && node.callee.name === BOOT_MARK) calls.push(node);
    },
  });
  return calls.sort((a, b) => a.start - b.start);
}

const AT_ONCE = new Set(['map', 'filter', 'forEach']);

/**
 * Offsets of functions within a boot part that might be called when it is forgotten. What stays in memory belongs into the program, or its
 * size would say too little: so a function there is called on the spot, given to `map` or its like, or has a name that is only ever called.
 */
export function outlivingFunctions(code: string): number[] {
  const program = parse(code, { ecmaVersion: 6 });
  const declared = declarationsByScope(program);
  const parts = new Set<Node>(markedCalls(code).map((call) => call.arguments[0]!));
  const partStarts = new Set([...parts].map((part) => part.start));
  /** The part around a node, itself not counted; and which scope a name belongs to. */
  const isInPart = (parents: readonly Node[]): boolean =>
    parents.slice(0, -1).some((one) => partStarts.has(one.start) && isScope(one));
  const holderOf = (name: string, parents: readonly Node[]): Node | undefined =>
    parents.findLast((one) => holdsNames(one) && declared.get(one)?.has(name));
  /** Names that stand for a function, and all that is done with them. */
  const named: { at: number; name: string; holder: Node | undefined }[] = [];
  const otherUses: { name: string; holder: Node | undefined }[] = [];
  const outliving: number[] = [];
  fullAncestor(program, (node: Node, _state: unknown, parents: Node[]) => {
    if (!isInPart(parents)) return;
    const above = parents[parents.length - 2]!;
    const call = above.type === 'CallExpression' ? (above as CallExpression) : undefined;
    const isCalled = call?.callee === node;
    if (node.type === 'Identifier') {
      const { name } = node as Node & { name: string };
      const isTarget = (above as { id?: Node }).id === node || (above as { left?: Node }).left === node;
      if (!isCalled && !isTarget) otherUses.push({ name, holder: holderOf(name, parents) });
      return;
    }
    if (!isScope(node) || isCalled || partStarts.has(node.start)) return;
    const { callee } = (call ?? {}) as { callee?: { property?: { name?: string } } };
    if (callee?.property && AT_ONCE.has(callee.property.name ?? '')) return;
    const { id, left } = above as { id?: Node; left?: Node };
    const target: (Node & { name?: string }) | undefined =
      above.type === 'VariableDeclarator' ? id : above.type === 'AssignmentExpression' ? left : undefined;
    const isStatement = above.type === 'VariableDeclarator' || parents[parents.length - 3]!.type !== 'ReturnStatement';
    if (target?.name !== undefined && isStatement) {
      named.push({ at: node.start, name: target.name, holder: holderOf(target.name, parents) });
    } else outliving.push(node.start);
  });
  for (const { at, name, holder } of named) {
    if (otherUses.some((use) => use.name === name && use.holder === holder)) outliving.push(at);
  }
  return outliving.sort((a, b) => a - b);
}

/** Two names that stand nowhere in the program. */
function freeNames(code: string): [string, string] {
  const taken = new Set<string>();
  full(parse(code, { ecmaVersion: 6 }), (node: Node) => {
    const { name } = node as Node & { name?: unknown };
    if (typeof name === 'string') taken.add(name);
  });
  const letters = '$_ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz'.split('');
  const free = [...letters, ...letters.map((letter) => `$${letter}`)].filter((name) => !taken.has(name));
  return [free[0]!, free[1]!];
}

/** A piece of the new text: from the old one, from an offset to another, or written here. */
export type Piece = readonly [from: number, to: number] | string;

/** Without the marks, whole: the program of one file, as other entries and checks need it. */
export function wholeProgram(code: string, map: string): { code: string; map: string } {
  const calls = markedCalls(code);
  return calls.length === 0 ? { code, map } : assembled(code, map, withoutMarks(calls, 0, code.length));
}

function withoutMarks(calls: readonly CallExpression[], from: number, to: number): Piece[] {
  const pieces: Piece[] = [];
  let at = from;
  // A mark's own name and its parenthesis go; what stands between stays, in parentheses.
  for (const call of calls.filter((one) => one.start >= from && one.end <= to)) {
    pieces.push([at, call.start]);
    at = call.start + BOOT_MARK.length;
  }
  return [...pieces, [at, to]];
}

/** The two files in one text, and the map of both. */
export function cutProgram(code: string, map: string): { code: string; map: string } {
  const calls = markedCalls(code);
  const outermost = calls.filter((call) => !calls.some((other) => other.start < call.start && other.end >= call.end));
  if (outermost.length === 0) return { code, map };
  const [parts, text] = freeNames(code);
  const bootPieces: Piece[] = [];
  const programPieces: Piece[] = [];
  const begin = code.indexOf('{') + 1;
  const end = code.lastIndexOf('}');
  let at = begin;
  outermost.forEach((call, index) => {
    const { start, end: behind } = call.arguments[0]!;
    bootPieces.push(index === 0 ? '[' : ',', ...withoutMarks(calls, start, behind));
    programPieces.push([at, call.start], `${parts}[${index}]`);
    at = call.end;
  });
  const bootPart = assembled(code, map, [...bootPieces, ']']).code;
  // Nothing has touched a pin yet: without its boot part the board stays as it is without a program.
  const opening =
    `var ${text}=require("Storage").read("${BOOT_FILE}")||"";` +
    `if(E.CRC32(${text})^${seal(bootPart)})throw"${BOOT_FILE} missing or foreign: flash again";` +
    `var ${parts}=eval(${text});`;
  return assembled(code, map, [
    ...bootPieces,
    ']',
    SEPARATOR,
    [0, begin],
    opening,
    ...programPieces,
    [at, end],
    `;${parts}=0`,
    [end, code.length],
  ]);
}

/** The new text, and the old map moved to where its pieces went. */
export function assembled(code: string, map: string, pieces: readonly Piece[]): { code: string; map: string } {
  const lineStarts = (text: string): number[] =>
    [...text.matchAll(/\n/g)].reduce<number[]>((starts, found) => [...starts, found.index + 1], [0]);
  const oldLines = lineStarts(code);
  const traced = new TraceMap(map);
  const marks: { at: number; segment: number[] }[] = [];
  const sources = new Map(traced.sources.map((source, index) => [source, index]));
  eachMapping(traced, ({ generatedLine, generatedColumn, source, originalLine, originalColumn }) => {
    if (source === null) return;
    marks.push({
      at: oldLines[generatedLine - 1]! + generatedColumn,
      segment: [sources.get(source)!, originalLine - 1, originalColumn],
    });
  });
  let text = '';
  const moved: { at: number; segment: number[] }[] = [];
  for (const piece of pieces) {
    if (typeof piece === 'string') {
      text += piece;
      continue;
    }
    const [from, to] = piece;
    const shift = text.length - from;
    for (const { at, segment } of marks) if (at >= from && at < to) moved.push({ at: at + shift, segment });
    text += code.slice(from, to);
  }
  const newLines = lineStarts(text);
  const mappings = newLines.map((start, index) =>
    moved
      .filter(({ at }) => at >= start && at < (newLines[index + 1] ?? Infinity))
      .map(({ at, segment }) => [at - start, ...segment])
      .sort((a, b) => a[0]! - b[0]!),
  );
  const { sourcesContent } = JSON.parse(map) as { sourcesContent?: unknown };
  return {
    code: text,
    map: JSON.stringify({ version: 3, names: [], sources: traced.sources, sourcesContent, mappings }),
  };
}

/** A piece of a text that gives way to another one. */
export interface Edit {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** The text with every edit made, in whatever order they are given; none lies within another. */
export function edited(code: string, map: string, edits: readonly Edit[]): { code: string; map: string } {
  if (edits.length === 0) return { code, map };
  const pieces: Piece[] = [];
  let at = 0;
  for (const { from, to, text } of [...edits].sort((a, b) => a.from - b.from || a.to - b.to)) {
    if (from > at) pieces.push([at, from]);
    pieces.push(text);
    at = Math.max(at, to);
  }
  pieces.push([at, code.length]);
  return assembled(code, map, pieces);
}
