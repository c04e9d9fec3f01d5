/*
 * Minifies the bundle and shortens its property names, with the settings that the interpreter stands.
 * Called by the bundler. It never touches the interpreter's or the standard library's names, nor quoted keys:
 * what goes over the wire or into a file is written `payload['v']` and keeps its spelling.
 */
import { parse, type Node } from 'acorn';
import { ancestor, full } from 'acorn-walk';
import { minify } from 'terser';
import { withoutAliases } from './aliases.js';
import { assembled } from './boot-part.js';
import { withLateDeclarations } from './late-declarations.js';
import { withSharedLocals } from './shared-locals.js';
import { keptPropertyNames } from './kept-names.js';
import { withNearNames } from './near-names.js';
import { declarationsByScope, holdsNames } from './scopes.js';
import { permittedGlobals } from './static-gate.js';

export interface ShrunkCode {
  readonly code: string;
  /** Source map as JSON, from the minified text to the TypeScript. */
  readonly map: string;
}

/**
 * Short texts that the program uses as strings, each possibly a key (`row[Key.phase]` with `'p'`).
 * None of them may become the new name of some property, or the two would meet in one object.
 */
export function shortTexts(code: string): string[] {
  const texts = new Set<string>();
  full(parse(code, { ecmaVersion: 5 }), (node) => {
    const value = (node as { value?: unknown }).value;
    if (node.type === 'Literal' && typeof value === 'string' && /^[A-Za-z_$][\w$]{0,2}$/.test(value)) texts.add(value);
  });
  return [...texts].sort();
}

/** The minifier's own form of a name table: `$currentAmps` to `h`. */
type NameTable = Readonly<Record<string, string>>;

const NAME_LETTERS = 'abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_$';
/** Words of the language, and the one short name that the gate knows as a method which the interpreter lacks. */
const KEYWORDS = new Set(['do', 'if', 'in', 'of', 'as', 'is', 'at']);

/** Short names in order: one letter, then two. */
function* shortNames(taken: ReadonlySet<string>): Generator<string> {
  for (const first of ['', ...NAME_LETTERS]) {
    for (const letter of NAME_LETTERS) {
      const name = first + letter;
      if (!taken.has(name) && !KEYWORDS.has(name)) yield name;
    }
  }
}

/** The same properties with the shortest names for those that stand most often in the code. */
function namesByFrequency(code: string, names: NameTable, taken: ReadonlySet<string>): NameTable {
  const uses = new Map<string, number>();
  full(parse(code, { ecmaVersion: 6 }), (node) => {
    const { computed, property, key } = node as {
      computed?: boolean;
      property?: { name?: string };
      key?: { name?: string };
    };
    const name = node.type === 'Property' ? key?.name : !computed ? property?.name : undefined;
    if (name !== undefined) uses.set(name, (uses.get(name) ?? 0) + 1);
  });
  const usesOf = (own: string) => uses.get(names[own]!) ?? 0;
  const short = shortNames(taken);
  return Object.fromEntries(
    Object.keys(names)
      .sort((a, b) => usesOf(b) - usesOf(a) || (a < b ? -1 : 1))
      .map((own) => [own, short.next().value as string]),
  );
}

export async function shrunkCode(code: string, map: string): Promise<ShrunkCode> {
  const taken = new Set([...keptPropertyNames(), ...shortTexts(code)]);
  const shrink = async (names: NameTable) => {
    const nameCache = { props: { props: { ...names } } };
    const result = await minify(
      { 'bundle.js': code },
      {
        // Arrow functions are the one thing beyond ES5 that is let in: the interpreter runs them, and they save a tenth of the bundle.
        ecma: 2015,
        toplevel: false,
        nameCache,
        // hoist_funs is a must: the interpreter hoists nothing. A comma inside [ ], which it takes wrongly, is refused by the gate.
        compress: {
          ecma: 2015,
          unsafe_arrows: true,
          hoist_funs: true,
          hoist_vars: true,
          sequences: true,
          keep_infinity: true,
          // The firmware has no getters.
          pure_getters: true,
          reduce_funcs: true,
          // More than it needs: it stops when nothing changes. With three some single-use functions keep a name and a scope.
          passes: 6,
        },
        mangle: { reserved: ['E'], properties: { builtins: true, keep_quoted: true, reserved: [...taken] } },
        format: { ecma: 5, ascii_only: true, comments: false },
        sourceMap: { content: map },
      },
    );
    if (result.code === undefined || typeof result.map !== 'string') {
      throw new Error(
        'The minifier gave no code or no source map; it was given both. Check the installed version of terser.',
      );
    }
    return { code: result.code, map: result.map, names: nameCache.props.props as NameTable };
  };
  const first = await shrink({});
  const second = await shrink(namesByFrequency(first.code, first.names, taken));
  const single = withoutAliases(second.code, second.map);
  const shared = withSharedLocals(single.code, single.map);
  const short = await withShortNames(shared.code, shared.map);
  const late = withLateDeclarations(short.code, short.map);
  return withNearNames(late.code, late.map);
}

/** How often each name of the whole program stands in it, where no function has the same name for something of its own. */
function usesOfProgramNames(code: string): Map<string, number> {
  const program = parse(code, { ecmaVersion: 6 });
  const declared = declarationsByScope(program);
  const uses = new Map<string, number>();
  for (const name of declared.get(program)!.keys()) uses.set(name, 0);
  const count = (node: Node, _state: unknown, parents: Node[]): void => {
    const { name } = node as Node & { name: string };
    const isOfProgram = !parents.some((one) => holdsNames(one) && one !== program && declared.get(one)?.has(name));
    if (isOfProgram && uses.has(name)) uses.set(name, uses.get(name)! + 1);
  };
  ancestor(program, { Identifier: count, VariablePattern: count } as Parameters<typeof ancestor>[1]);
  return uses;
}

/** What the program is wrapped into, so that its names are nobody else's. */
const WRAPPER = /^(\(\(\) ?=> ?\{|\(function ?\(\) ?\{|!function ?\(\) ?\{)([^]*)(\}\)?\(\)\)?;?)$/;

/** Shortens the names of functions and variables, those of the whole program by how often they stand there. */
async function withShortNames(code: string, map: string): Promise<ShrunkCode> {
  const wrapped = WRAPPER.exec(code);
  // A program of a few statements may have lost its function: nothing is left to be shortened then.
  if (!wrapped) return { code, map };
  const [, opening, , closing] = wrapped as unknown as [string, string, string, string];
  const body = assembled(code, map, [[opening.length, code.length - closing.length]]);
  const uses = usesOfProgramNames(body.code);
  const short = shortNames(permittedGlobals());
  const names = [...uses].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1));
  const result = await minify(
    { 'bundle.js': body.code },
    {
      ecma: 2015,
      toplevel: true,
      nameCache: { vars: { props: Object.fromEntries(names.map(([name]) => [`$${name}`, short.next().value])) } },
      compress: {
        defaults: false,
        ecma: 2015,
        unused: true,
        side_effects: true,
        sequences: true,
        join_vars: true,
        hoist_vars: true,
        keep_infinity: true,
        pure_getters: true,
        conditionals: true,
        passes: 2,
      },
      mangle: { toplevel: true, reserved: ['E'] },
      format: { ecma: 5, ascii_only: true, comments: false },
      sourceMap: { content: body.map },
    },
  );
  return assembled(result.code!, result.map as string, [opening, [0, result.code!.length], closing]);
}
