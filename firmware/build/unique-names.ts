/*
 * Gives every parameter and local variable of the gathered program a name that occurs nowhere else, so that the minifier can put the body of a
 * function that is called once in the place of its call: where two names would meet it keeps the function instead, which costs a scope, and for
 * each closure within a list of scopes. Called by the bundler after lowering. Changes names only; the minifier shortens them again.
 */
import { type Node, parse } from 'acorn';
import { full, fullAncestor } from 'acorn-walk';
import { encodedMap, type SourceMapSegment, TraceMap } from '@jridgewell/trace-mapping';
import type { Plugin } from 'rollup';
import { declarationsByScope, holdsNames } from './scopes.js';

interface Renaming {
  readonly at: number;
  readonly length: number;
  readonly name: string;
}

/** The text with other names, and where each of its pieces came from. Example: `(function(){function f(a){return a}})()` gets `a$1`. */
export function withUniqueNames(code: string): { code: string; map: string } {
  const program = parse(code, { ecmaVersion: 2015 });
  const declarations = declarationsByScope(program);
  const taken = new Map<object, Map<string, string>>();
  let count = 0;
  const uniqueName = (names: object, name: string): string => {
    const own = taken.get(names) ?? new Map<string, string>();
    taken.set(names, own);
    const unique = own.get(name) ?? `${name}$${++count}`;
    own.set(name, unique);
    return unique;
  };

  const renamings: Renaming[] = [];
  fullAncestor(program, (node, _state, ancestors) => {
    if (node.type !== 'Identifier') return;
    const { name } = node;
    const parents = ancestors.slice(0, -1) as Node[];
    const owner = parents.at(-1);
    // A declared function's own name belongs outside of it.
    if (owner?.type === 'FunctionDeclaration' && (owner as { id?: Node }).id === node) parents.pop();
    const scopes = parents.filter(holdsNames);
    for (let depth = scopes.length - 1; depth >= 0; depth--) {
      const names = declarations.get(scopes[depth]!);
      if (!names?.has(name)) continue;
      // The whole program, and the one function around it, keep theirs.
      if (depth > 1) renamings.push({ at: node.start, length: node.end - node.start, name: uniqueName(names, name) });
      return;
    }
  });

  const places = new Set<number>();
  full(program, (node) => places.add(node.start));
  return renamed(code, renamings, places);
}

/** `places`: offsets that keep a place in the map. */
function renamed(
  code: string,
  renamings: readonly Renaming[],
  places: ReadonlySet<number>,
): { code: string; map: string } {
  const nameAt = new Map(renamings.map((renaming) => [renaming.at, renaming]));
  const mappings: SourceMapSegment[][] = [[]];
  let text = '';
  let lineStart = 0;
  let lineBegins = 0;
  for (let at = 0; at < code.length;) {
    if (at === lineBegins || places.has(at) || nameAt.has(at)) {
      mappings.at(-1)!.push([text.length - lineStart, 0, mappings.length - 1, at - lineBegins]);
    }
    const renaming = nameAt.get(at);
    text += renaming ? renaming.name : code[at]!;
    at += renaming ? renaming.length : 1;
    if (!renaming && text.endsWith('\n')) {
      lineStart = text.length;
      lineBegins = at;
      mappings.push([]);
    }
  }
  const map = new TraceMap({ version: 3, names: [], sources: ['bundle.js'], mappings });
  return { code: text, map: JSON.stringify(encodedMap(map)) };
}

export function uniqueNames(): Plugin {
  return {
    name: 'unique-names',
    renderChunk(code) {
      return withUniqueNames(code);
    },
  };
}
