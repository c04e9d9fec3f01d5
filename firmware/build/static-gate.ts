/*
 * The static gate: refuses a bundle that holds syntax or calls which the interpreter lacks or takes otherwise than ES5 says.
 * The interpreter does not parse a function before it is called, so such a fault would wait for the night it is needed.
 * Called by the bundler on the final text; it never changes it. What differs only in value (Math.round of -2.5, the order
 * of whole-number keys, the sign of zero) it cannot see: the interpreter itself is asked for that, in the tests.
 */
import { parse, type CallExpression, type Function as FunctionNode, type Node, type Program } from 'acorn';
import { ancestor, full } from 'acorn-walk';
import { LANGUAGE_GLOBALS, MISSING_METHODS, STATIC_MEMBERS, TREACHEROUS_METHODS } from './interpreter-surface.js';
import { interpreterNames } from './kept-names.js';
import { declarationsByScope, holdsNames, isScope } from './scopes.js';

/** One thing that the gate refuses. Lines count from 1, columns from 0, as in a source map. */
export interface Refusal {
  readonly offset: number;
  readonly line: number;
  readonly column: number;
  /** What stands there. */
  readonly found: string;
  /** What to write in its place, and why. */
  readonly instead: string;
}

const ADDED_NODES = new Set([
  'ArrayPattern',
  'AssignmentPattern',
  'ClassDeclaration',
  'ClassExpression',
  'ForOfStatement',
  'MetaProperty',
  'ObjectPattern',
  'RestElement',
  'SpreadElement',
  'TaggedTemplateExpression',
  'TemplateLiteral',
  'YieldExpression',
]);
const BEYOND_ES5 = 'write it in ES5 terms: the interpreter would stop here when it is called';
const CLEARING_CALLS = new Set(['clearInterval', 'clearTimeout', 'clearWatch']);

/** Globals that a bundle may use: the language's, and the board's as espruino.d.ts declares them. */
export function permittedGlobals(): ReadonlySet<string> {
  return new Set([...LANGUAGE_GLOBALS, ...interpreterNames().globals]);
}

/**
 * Everything in the code that the interpreter would not run as meant; empty when there is nothing to refuse.
 * Example: `refusals('switch (a) { default: b(); case 1: c(); }')` finds `default` before the last case.
 */
export function refusals(code: string, globals: ReadonlySet<string> = permittedGlobals()): Refusal[] {
  const found: Refusal[] = [];
  const refuse = (offset: number, what: string, instead: string): void => {
    found.push({ offset, ...positionAt(code, offset), found: what, instead });
  };

  let program: Program;
  try {
    program = parse(code, { ecmaVersion: 6, sourceType: 'script' });
  } catch (error) {
    const { pos, message } = error as SyntaxError & { pos: number };
    refuse(pos, `syntax beyond ES5 (${message})`, BEYOND_ES5);
    return found;
  }

  for (let offset = 0; offset < code.length; offset += 1) {
    if (code.charCodeAt(offset) > 126) {
      refuse(offset, `the character ${JSON.stringify(code[offset])}`, 'write ASCII only: strings are bytes on a board');
    }
  }
  refuseBeyondEs5(program, refuse);
  refuseByNode(program, code, refuse);
  refuseByScope(program, globals, refuse);
  return found.sort((a, b) => a.offset - b.offset);
}

type Refuse = (offset: number, what: string, instead: string) => void;

/** What ES2015 added, all but arrow functions. Some of it the interpreter runs; the bundle needs none of it. */
function refuseBeyondEs5(program: Program, refuse: Refuse): void {
  const added = (node: Node, what: string): void => {
    refuse(node.start, `syntax beyond ES5 (${what})`, BEYOND_ES5);
  };
  full(program, (node) => {
    const { kind, generator, shorthand, method, computed, raw } = node as Node & {
      kind?: string;
      generator?: boolean;
      shorthand?: boolean;
      method?: boolean;
      computed?: boolean;
      raw?: string;
    };
    if (ADDED_NODES.has(node.type)) added(node, node.type);
    else if (node.type === 'VariableDeclaration' && kind !== 'var') added(node, kind!);
    else if (generator) added(node, 'generator');
    else if (node.type === 'Property' && (shorthand || method || computed)) added(node, 'short property');
    else if (node.type === 'Literal' && raw !== undefined && /^0[bo]/i.test(raw)) added(node, raw);
  });
}

/** Rules that need no more than the node and its parents. */
function refuseByNode(program: Program, code: string, refuse: Refuse): void {
  const refuseLength = (target: Node): void => {
    if (memberName(target) === 'length')
      refuse(target.start, '.length = ...', 'make a new array: length cannot be set');
  };
  const refuseOpenReturn = (fn: FunctionNode): void => {
    if (/\breturn\s*$/.test(code.slice(fn.body.start, fn.body.end - 1))) {
      refuse(
        fn.body.end - 1,
        'a bare return as the last token of a function',
        'leave it out, or turn the condition round',
      );
    }
  };
  ancestor(program, {
    AssignmentExpression(node) {
      refuseLength(node.left);
    },
    UpdateExpression(node) {
      refuseLength(node.argument);
    },
    CallExpression(node) {
      refuseCall(node, refuse);
    },
    DebuggerStatement(node) {
      refuse(node.start, 'debugger', 'leave it out: the interpreter would stop and wait');
    },
    ThisExpression(node, _state, parents) {
      const holder = parents.filter(isScope).pop();
      if (holder?.type === 'ArrowFunctionExpression') refuse(node.start, 'this in an arrow function', 'use a variable');
    },
    Function(node, _state, parents) {
      if (node.body.type === 'BlockStatement') refuseOpenReturn(node);
      if (node.type !== 'FunctionDeclaration') return;
      const block = parents[parents.length - 2];
      const holder = parents[parents.length - 3];
      const isTopOfScope =
        block?.type === 'Program' || (block?.type === 'BlockStatement' && holder !== undefined && isScope(holder));
      if (!isTopOfScope)
        refuse(node.start, 'a function declared in a block', 'assign it to a variable before its first use');
    },
    LabeledStatement(node) {
      refuse(node.start, 'a label', 'use a flag or a function that returns: labels are not known');
    },
    Literal(node) {
      if (node.regex)
        refuse(node.start, 'a regular expression', 'compare characters: only the simplest expressions work');
      if (typeof node.value === 'string' && /[^\x00-\xff]/.test(node.value)) {
        refuse(node.start, 'a string with a character beyond one byte', 'write ASCII, or bytes up to \\xff');
      }
    },
    MemberExpression(node) {
      const name = memberName(node);
      if (node.computed && node.property.type === 'SequenceExpression' && code[node.property.start - 1] === '[') {
        refuse(node.property.start, 'a comma inside [ ]', 'compute the index before');
      }
      if (node.object.type !== 'Identifier' || name === undefined) return;
      const members = Object.hasOwn(STATIC_MEMBERS, node.object.name) ? STATIC_MEMBERS[node.object.name] : undefined;
      if (members && !members.includes(name)) {
        refuse(
          node.start,
          `${node.object.name}.${name}`,
          `write it out: ${node.object.name} has ${members.join(', ') || 'no members'}`,
        );
      }
    },
    SwitchStatement(node) {
      const at = node.cases.findIndex((one) => !one.test);
      if (at >= 0 && at < node.cases.length - 1) {
        refuse(node.cases[at]!.start, 'default before the last case', 'put default last');
      }
    },
    WithStatement(node) {
      refuse(node.start, 'with', 'name the object: with is not known');
    },
  });
}

function refuseCall(node: CallExpression, refuse: Refuse): void {
  if (node.callee.type === 'Identifier' && CLEARING_CALLS.has(node.callee.name)) {
    const first = node.arguments[0];
    const isUndefined =
      !first ||
      (first.type === 'Identifier' && first.name === 'undefined') ||
      (first.type === 'UnaryExpression' && first.operator === 'void');
    if (isUndefined) {
      refuse(
        node.start,
        `${node.callee.name}() without an id`,
        'pass the id: without one it clears every timer of the program',
      );
    }
  }
  const name = memberName(node.callee);
  if (name === undefined) return;
  // A text's search has a pattern; that of a 1-Wire bus needs nothing, and is there.
  const isOfBus = name === 'search' && node.arguments.length === 0;
  if (MISSING_METHODS.includes(name) && !isOfBus)
    refuse(node.callee.start, `.${name}()`, 'write the loop: the interpreter lacks this method');
  if (Object.hasOwn(TREACHEROUS_METHODS, name)) refuse(node.callee.start, `.${name}()`, TREACHEROUS_METHODS[name]!);
}

/** Rules about names: unknown globals, and use before declaration (nothing is hoisted). */
function refuseByScope(program: Program, globals: ReadonlySet<string>, refuse: Refuse): void {
  const declared = declarationsByScope(program);
  for (const scope of declared.keys()) {
    const inside = scope.body as Node | readonly Node[];
    if ('type' in inside && inside.type !== 'BlockStatement') continue;
    const body: readonly Node[] = 'type' in inside ? (inside as Node & { body: Node[] }).body : inside;
    let isPastDeclarations = false;
    for (const statement of body) {
      if (statement.type === 'FunctionDeclaration') {
        const { id } = statement as FunctionNode;
        if (isPastDeclarations) {
          refuse(
            statement.start,
            `function ${id?.name ?? ''} after a statement`,
            'declare functions first: they are not hoisted',
          );
        }
      } else if (!isBareDeclaration(statement)) isPastDeclarations = true;
    }
  }

  const reference = (node: Node & { name: string }, parents: readonly Node[]): void => {
    const scopes = parents.filter(holdsNames).reverse();
    const innermost = scopes.find(isScope);
    for (const scope of scopes) {
      const start = declared.get(scope)?.get(node.name);
      if (start === undefined) continue;
      if (scope === innermost && node.start < start) {
        refuse(
          node.start,
          `${node.name} before its declaration`,
          'declare it first: var is not hoisted, an outer variable would be taken',
        );
      }
      return;
    }
    if (globals.has(node.name) || (node.name === 'arguments' && innermost?.type !== 'ArrowFunctionExpression')) return;
    refuse(
      node.start,
      `the global ${node.name}`,
      node.name.startsWith('__')
        ? 'write it without spread, rest or class inheritance: this is a compiler helper that the bundle does not hold'
        : 'use what the interpreter has; if it has this, declare it in firmware/src/espruino.d.ts',
    );
  };
  ancestor(program, {
    Identifier(node, _state, parents) {
      reference(node, parents);
    },
    // The left side of an assignment; declared names come here too and are found declared.
    VariablePattern(node: Node, _state: unknown, parents: Node[]) {
      // A function's own name belongs outside of it, whatever its body declares.
      if ((parents[parents.length - 2] as { id?: Node } | undefined)?.id === node) return;
      reference(node as Node & { name: string }, parents);
    },
  } as Parameters<typeof ancestor>[1]);
}

/** `var a, b` or a directive: nothing runs here, so functions may still follow. */
function isBareDeclaration(statement: Node): boolean {
  if (statement.type === 'VariableDeclaration') {
    return (statement as Node & { declarations: { init?: unknown }[] }).declarations.every((one) => !one.init);
  }
  return statement.type === 'ExpressionStatement' && 'directive' in statement;
}

/** `a.name` or `a['name']`: the name; else undefined. */
function memberName(node: Node): string | undefined {
  if (node.type !== 'MemberExpression') return undefined;
  const { property, computed } = node as Node & { property: Node; computed: boolean };
  if (!computed) return (property as Node & { name: string }).name;
  const { value } = property as Node & { value?: unknown };
  return property.type === 'Literal' && typeof value === 'string' ? value : undefined;
}

function positionAt(code: string, offset: number): { line: number; column: number } {
  const before = code.slice(0, offset);
  const lastBreak = before.lastIndexOf('\n');
  return { line: before.split('\n').length, column: offset - lastBreak - 1 };
}
