/*
 * Minifies the ES5 bundle and shortens its property names, with the settings that the interpreter stands.
 * Called by the bundler. It never touches the interpreter's or the standard library's names, nor quoted keys:
 * what goes over the wire or into a file is written `payload['v']` and keeps its spelling.
 */
import { parse } from 'acorn';
import { full } from 'acorn-walk';
import { minify } from 'terser';
import { keptPropertyNames } from './kept-names.js';

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

export async function shrunkCode(code: string, map: string): Promise<ShrunkCode> {
  const result = await minify(
    { 'bundle.js': code },
    {
      ecma: 5,
      toplevel: false,
      // hoist_funs is a must: the interpreter hoists nothing. No sequences: a comma inside [ ] is an error there.
      compress: {
        hoist_funs: true,
        hoist_vars: true,
        sequences: false,
        keep_infinity: true,
        pure_getters: true,
        passes: 6,
      },
      mangle: {
        reserved: ['E'],
        properties: { builtins: true, keep_quoted: true, reserved: [...keptPropertyNames(), ...shortTexts(code)] },
      },
      format: { ascii_only: true, comments: false },
      sourceMap: { content: map },
    },
  );
  if (result.code === undefined || typeof result.map !== 'string') {
    throw new Error(
      'The minifier gave no code or no source map; it was given both. Check the installed version of terser.',
    );
  }
  return { code: result.code, map: result.map };
}
