/*
 * Counts which functions of a finished bundle have run: finds them, and puts a mark at the entry of each.
 * Called by the bundler (number and places) and by the tests that run every function in the real interpreter.
 * The marked bundle is for tests; it is never flashed.
 */
import { parse, type ArrowFunctionExpression, type Function as FunctionNode } from 'acorn';
import { ancestor } from 'acorn-walk';
import { programFiles, resealed } from './boot-part.js';
import { originalPositionFor, TraceMap } from '@jridgewell/trace-mapping';

export interface FunctionPlace {
  /** Its number, in the order in which the functions begin. */
  readonly index: number;
  /** Offset of the first character of its text in the bundle. */
  readonly offset: number;
  /** Offset just behind the opening brace of its body, or of the expression that is its body. */
  readonly bodyOffset: number;
  /** Offset behind the expression that is its body; undefined when the body has braces. */
  readonly expressionEnd: number | undefined;
  /** Name in the bundle, or of what it is assigned to; empty for others. */
  readonly name: string;
  /** `src/drivers/ina226.ts:41`, or `bundle:1:200` where no source map reaches. */
  readonly source: string;
}

/** All functions of a program, outermost first. Example: `functionPlaces('function a(){}')[0].name` is `a`. */
export function functionPlaces(code: string, map?: string): FunctionPlace[] {
  const traced = map === undefined ? undefined : new TraceMap(map);
  const places: Omit<FunctionPlace, 'index'>[] = [];
  ancestor(parse(code, { ecmaVersion: 6 }), {
    Function(node, _state, parents) {
      const before = code.slice(0, node.start);
      const line = before.split('\n').length;
      const column = node.start - (before.lastIndexOf('\n') + 1);
      const original = traced && originalPositionFor(traced, { line, column });
      const [bodyOffset, expressionEnd] = bodyRange(node, code);
      places.push({
        offset: node.start,
        bodyOffset,
        expressionEnd,
        name: nameOf(node, parents[parents.length - 2]),
        source: original?.source ? `${original.source}:${original.line}` : `bundle:${line}:${column}`,
      });
    },
  });
  return places.sort((a, b) => a.offset - b.offset).map((place, index) => ({ index, ...place }));
}

/** Where a mark goes: behind the brace, or in front of and behind the expression, its own parentheses included. */
function bodyRange(node: FunctionNode | ArrowFunctionExpression, code: string): [number, number | undefined] {
  if (node.body.type === 'BlockStatement') return [node.body.start + 1, undefined];
  // `()=>({a:1})`, `()=>(a,b)`: what stands between the arrow and the end of the function, parentheses and all.
  return [code.lastIndexOf('=>', node.body.start) + 2, node.end];
}

function nameOf(fn: FunctionNode, parent: unknown): string {
  if (fn.id) return fn.id.name;
  const holder = parent as { id?: { name?: string }; key?: { name?: string; value?: unknown } } | undefined;
  return holder?.id?.name ?? holder?.key?.name ?? (typeof holder?.key?.value === 'string' ? holder.key.value : '');
}

/** The global of a marked bundle: a Uint8Array with 1 for each function that was entered. */
export const RAN_GLOBAL = 'functionsRan';

export interface MarkedBundle {
  /** The declaration of the marks in a line of its own, then what was built: both files in one text, if there are two. */
  readonly code: string;
  readonly count: number;
  readonly places: readonly FunctionPlace[];
}

/** The same program, noting in `functionsRan` which of its functions were entered. */
export function instrumentFunctions(code: string, map?: string): MarkedBundle {
  const places = functionPlaces(code, map);
  const marks = places.flatMap((place) => {
    const mark = `${RAN_GLOBAL}[${place.index}]=1`;
    return place.expressionEnd === undefined
      ? [{ at: place.bodyOffset, text: `${mark};` }]
      : [
          { at: place.bodyOffset, text: `{${mark};return ` },
          { at: place.expressionEnd, text: '}' },
        ];
  });
  let marked = '';
  let from = 0;
  // Sorting is stable: of functions that end at the same place the closing braces are all alike.
  for (const { at, text } of marks.sort((a, b) => a.at - b.at)) {
    marked += code.slice(from, at) + text;
    from = at;
  }
  marked += code.slice(from);
  return {
    code: `var ${RAN_GLOBAL}=new Uint8Array(${places.length});\n${resealed(marked, programFiles(code).bootPart)}`,
    count: places.length,
    places,
  };
}
