/*
 * Puts the names that the control step looks up into the front row. The interpreter keeps a program's names as one list and walks it from its
 * beginning at every look-up; with some three hundred of them that was a sixth of a step's work. So the functions and variables that the step and
 * the beat reach come first, the nearest ones before all. Called last by the minifying step. Only declarations are moved: functions and
 * plain constants whole, of others the bare name, and where they get their value stays as it was.
 */
import { type Expression, type Node, parse, type VariableDeclaration, type VariableDeclarator } from 'acorn';
import { full, fullAncestor } from 'acorn-walk';
import { assembled, type Piece } from './boot-part.js';
import { declarationsByScope, isScope, type ScopeNode } from './scopes.js';

/** How many names come first. Farther ones are looked up rarely, and a bare name costs its bytes. */
const NEAR_NAMES = 140;
/** Intervals with a longer period are not in a hurry, milliseconds. */
const PERIOD_MS_MAX = 500;

type Named = Node & { readonly name: string };

/** The function around the whole program. */
function wrapperOf(program: Node): ScopeNode | undefined {
  const [statement] = (program as Node & { body: Node[] }).body;
  const { callee } = ((statement as Node & { expression?: Node })?.expression ?? {}) as { callee?: Node };
  return callee && isScope(callee) ? callee : undefined;
}

const isFunction = (node: Node | null | undefined): node is ScopeNode => !!node && isScope(node);

function isConstant(node: Expression): boolean {
  if (node.type === 'UnaryExpression') return node.operator !== 'delete' && isConstant(node.argument);
  return node.type === 'Literal';
}

interface Place {
  readonly declarator: VariableDeclarator;
  readonly statement: VariableDeclaration;
  /** It stands by itself, not in the head of a loop. */
  readonly isStatement: boolean;
}

/** Every declaration of the program's own names. */
function declarationsOf(wrapper: ScopeNode): Map<string, Place[]> {
  const found = new Map<string, Place[]>();
  fullAncestor(wrapper, (node, _state, ancestors) => {
    const parents = (ancestors as Node[]).slice(0, -1);
    if (node.type !== 'VariableDeclarator' || parents.findLast(isScope) !== wrapper) return;
    const declarator = node;
    const { name } = declarator.id as Named;
    const statement = parents.at(-1) as VariableDeclaration;
    const isStatement = parents.at(-2)!.type === 'BlockStatement';
    found.set(name, [...(found.get(name) ?? []), { declarator, statement, isStatement }]);
  });
  return found;
}

/** Functions by the key under which an object holds them. */
function functionsByKey(wrapper: ScopeNode): Map<string, Node[]> {
  const byKey = new Map<string, Node[]>();
  full(wrapper, (node) => {
    const { key, value } = node as Node & { key?: Named; value?: Node };
    if (node.type === 'Property' && isFunction(value)) byKey.set(key!.name, [...(byKey.get(key!.name) ?? []), value]);
  });
  return byKey;
}

/** What intervals in a hurry call, the most frequent first. */
function hurriedCalls(wrapper: ScopeNode): Node[] {
  const calls: { act: Node; periodMs: number }[] = [];
  full(wrapper, (node) => {
    const { callee, arguments: given } = node as Node & { callee?: Named; arguments?: (Node & { value?: unknown })[] };
    if (node.type !== 'CallExpression' || callee!.name !== 'setInterval' || given!.length !== 2) return;
    const periodMs = Number(given![1]!.value);
    if (periodMs <= PERIOD_MS_MAX) calls.push({ act: given![0]!, periodMs });
  });
  return calls.sort((a, b) => a.periodMs - b.periodMs).map(({ act }) => act);
}

/** The program's names in the order in which a walk from these nodes, through the functions they name, comes to them: the nearest first. */
function namesByNearness(wrapper: ScopeNode, declarations: Map<string, Place[]>, from: readonly Node[]): string[] {
  const declared = declarationsByScope(wrapper as never);
  const byKey = functionsByKey(wrapper);
  const names: string[] = [];
  const seen = new Set<Node>(from);
  const row = [...from];
  const reach = (node: Node | null | undefined): void => {
    if (!isFunction(node) || seen.has(node)) return;
    seen.add(node);
    row.push(node);
  };
  for (const one of row) {
    fullAncestor(one, (node, _state, ancestors) => {
      const { name, computed, property } = node as Named & { computed?: boolean; property?: Named };
      if (node.type === 'MemberExpression' && !computed) for (const act of byKey.get(property!.name) ?? []) reach(act);
      if (node.type !== 'Identifier' && (node.type as string) !== 'VariablePattern') return;
      const isLocal = (ancestors as Node[]).some((scope) => isScope(scope) && declared.get(scope)?.has(name));
      if (isLocal || !declarations.has(name)) return;
      if (!names.includes(name)) names.push(name);
      for (const { declarator } of declarations.get(name)!) reach(declarator.init);
    });
  }
  return names;
}

/**
 * The text with its nearest names first. Example: `(()=>{var a=f(),b=1,c=()=>a+b;setInterval(c,200)})()` becomes
 * `(()=>{var c=()=>a+b,a,b=1;var a=f();setInterval(c,200)})()`.
 */
export function withNearNames(code: string, map: string): { code: string; map: string } {
  const wrapper = wrapperOf(parse(code, { ecmaVersion: 2015 }));
  if (!wrapper) return { code, map };
  const declarations = declarationsOf(wrapper);
  const near = namesByNearness(wrapper, declarations, hurriedCalls(wrapper)).slice(0, NEAR_NAMES);
  if (near.length === 0) return { code, map };
  const moved = new Set<VariableDeclarator>();
  const head: Piece[] = near.flatMap((name, index): Piece[] => {
    const places = declarations.get(name)!;
    const { declarator, isStatement } = places[0]!;
    const { init, start, end } = declarator;
    const comma = index === 0 ? 'var ' : ',';
    if (places.length > 1 || !isStatement || (init && !isFunction(init) && !isConstant(init))) return [comma, name];
    moved.add(declarator);
    return [comma, [start, end]];
  });
  const begin = (wrapper as Node & { body: Node }).body.start + 1;
  const pieces: Piece[] = [[0, begin], ...head, ';'];
  let at = begin;
  const statements = new Set([...declarations.values()].flatMap((places) => places.map(({ statement }) => statement)));
  for (const statement of [...statements].sort((a, b) => a.start - b.start)) {
    const kept = statement.declarations.filter((one) => !moved.has(one));
    if (kept.length === statement.declarations.length) continue;
    pieces.push([at, statement.start]);
    kept.forEach(({ start, end }, index) => pieces.push(index === 0 ? 'var ' : ',', [start, end]));
    at = statement.end;
    if (kept.length > 0 && code[at - 1] === ';') pieces.push(';');
  }
  return assembled(code, map, [...pieces, [at, code.length]]);
}
