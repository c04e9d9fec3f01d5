/*
 * Lets local variables of one function that are never needed at the same time share a name. Functions that were put in the place of their call
 * leave their variables behind, dozens in one function; the interpreter makes each anew at every call and walks past them in each look-up.
 * Called by the minifying step after second names are gone. Variables that a function within can see are left alone.
 */
import { type Node, parse } from 'acorn';
import { branchesAround, LOOPS, type Variable, variablesOf } from './aliases.js';
import { type Edit, edited } from './boot-part.js';
import { holdsNames } from './scopes.js';

interface Stretch {
  readonly variable: Variable;
  readonly from: number;
  readonly to: number;
}

/**
 * Where the value of a name is surely taken. An interpreter before 2v25 keeps a left operand by its name until the right one is there
 * (`a + (a = 1)` is 2; its change log, 2547), so a use lasts until the end of the whole expression: only what decides a branch, or is dropped
 * by a comma, is taken at once.
 */
function takenAt({ node, parents }: Variable['places'][number]): number {
  let one: Node = node;
  for (let at = parents.length - 1; at >= 0; at--) {
    const parent = parents[at]! as Node & { test?: Node; expressions?: Node[] };
    const isDropped = parent.type === 'SequenceExpression' && parent.expressions!.at(-1) !== one;
    if (isDropped || parent.test === one || !/Expression$/.test(parent.type) || holdsNames(parent)) break;
    one = parent;
  }
  return one.end;
}

/** From its first writing to its last use, loops that it lives through included; undefined when it cannot be told. */
function stretchOf(variable: Variable): Stretch | undefined {
  const { scope, places, isParameter } = variable;
  if (isParameter || scope.type === 'Program' || places.length === 0 || variable.isDeclaredWithValue) return undefined;
  const inner = ({ parents }: Variable['places'][number]) =>
    parents.slice(parents.indexOf(scope) + 1).some((one) => holdsNames(one));
  if (places.some(inner)) return undefined;
  const sorted = [...places].sort((a, b) => a.node.start - b.node.start);
  const first = sorted[0]!;
  const write = variable.writes.find(({ node }) => node.type === 'AssignmentExpression' && node.left === first.node);
  if (!write || write.node.operator !== '=') return undefined;
  // Its own value before it is written: `a = a + 1`.
  if (sorted.some(({ node }) => node !== first.node && node.start < write.node.end && node.start > first.node.start))
    return undefined;
  const branches = branchesAround(write.parents, write.node, scope);
  if (places.some((place) => branches.some((branch) => !place.parents.includes(branch)))) return undefined;
  let to = Math.max(write.node.end, ...places.map(takenAt));
  // Written in the head of a for, it is written once and read in every turn.
  const isWrittenInEachTurn = (loop: Node & { init?: Node }): boolean =>
    write.parents.includes(loop) && !(loop.init && (loop.init === write.node || write.parents.includes(loop.init)));
  for (const { parents } of places) {
    for (const loop of parents.slice(parents.indexOf(scope))) {
      if (LOOPS.includes(loop.type) && !isWrittenInEachTurn(loop)) to = Math.max(to, loop.end);
    }
  }
  return { variable, from: first.node.start, to };
}

/** The text with fewer local names. Example: `var b,c;b=f(),g(b),c=f(),h(c)` becomes `var b,c;b=f(),g(b),b=f(),h(b)`. */
export function withSharedLocals(code: string, map: string): { code: string; map: string } {
  const program = parse(code, { ecmaVersion: 2015 });
  const { variables, variableAt } = variablesOf(program);
  const byScope = new Map<Node, Stretch[]>();
  for (const variable of variables) {
    const stretch = stretchOf(variable);
    if (stretch) byScope.set(variable.scope, [...(byScope.get(variable.scope) ?? []), stretch]);
  }
  const edits: Edit[] = [];
  for (const stretches of byScope.values()) {
    const shared: { variable: Variable; until: number }[] = [];
    for (const { variable, from, to } of stretches.sort((a, b) => a.from - b.from)) {
      const free = shared.find(
        (one) =>
          one.until < from &&
          variable.places.every(({ parents }) => variableAt(one.variable.name, parents) === one.variable),
      );
      if (free) {
        free.until = to;
        for (const { node } of variable.places)
          edits.push({ from: node.start, to: node.end, text: free.variable.name });
      } else shared.push({ variable, until: to });
    }
  }
  return edited(code, map, edits);
}
