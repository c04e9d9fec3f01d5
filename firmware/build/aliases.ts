/*
 * Takes second names away: where a variable is only ever another one (`kept = row`, left behind when a function was put in the place of its
 * call), the other one is written in its place. Each name less is a variable less in memory, and one less to walk past in each look-up. Called by the
 * minifying step, until nothing is left to take away. It never moves or repeats anything that has an effect.
 */
import {
  type AssignmentExpression,
  type ForInStatement,
  type Identifier,
  type Node,
  parse,
  type VariableDeclarator,
} from 'acorn';
import { fullAncestor } from 'acorn-walk';
import { type Edit, edited } from './boot-part.js';
import { declarationsByScope, holdsNames, isScope } from './scopes.js';

/** One variable of one scope, with every place where it stands. */
export interface Variable {
  readonly name: string;
  readonly scope: Node;
  readonly isParameter: boolean;
  readonly places: { readonly node: Identifier; readonly parents: readonly Node[] }[];
  /** Assignments by `=`; what is written in another way makes `isSimple` false. */
  readonly writes: { readonly node: AssignmentExpression; readonly parents: readonly Node[] }[];
  isSimple: boolean;
  isDeclaredWithValue: boolean;
}

export const LOOPS = ['ForStatement', 'ForInStatement', 'WhileStatement', 'DoWhileStatement'];

/** Every variable of the program with its places, and which one a name means at a place. */
export function variablesOf(program: Node): {
  variables: Variable[];
  variableAt: (name: string, parents: readonly Node[]) => Variable | undefined;
} {
  const declarations = declarationsByScope(program as never);
  const table = new Map<Node, Map<string, Variable>>();
  for (const [scope, names] of declarations) {
    const own = new Map<string, Variable>();
    for (const [name] of names) {
      const isParameter = 'params' in scope && scope.params.some((one) => (one as Identifier).name === name);
      own.set(name, {
        name,
        scope,
        isParameter,
        places: [],
        writes: [],
        isSimple: isScope(scope),
        isDeclaredWithValue: false,
      });
    }
    table.set(scope, own);
  }
  const variableAt = (name: string, parents: readonly Node[]): Variable | undefined => {
    for (let at = parents.length - 1; at >= 0; at--) {
      const found = holdsNames(parents[at]!) ? table.get(parents[at]!)?.get(name) : undefined;
      if (found) return found;
    }
    return undefined;
  };
  fullAncestor(program, (node, _state, ancestors) => {
    if (node.type !== 'Identifier' && (node.type as string) !== 'VariablePattern') return;
    const identifier = node as Identifier;
    const parents = ancestors.slice(0, -1) as Node[];
    const parent = parents.at(-1);
    // A parameter or a function's own name is a declaration, no place of use.
    if (parent && isScope(parent) && parent.type !== 'Program' && (parent as { body?: Node }).body !== node) {
      if (parent.type === 'FunctionDeclaration') variableAt(identifier.name, parents)!.isSimple = false;
      return;
    }
    const variable = variableAt(identifier.name, parents);
    if (!variable) return;
    if (parent?.type === 'VariableDeclarator' && (parent as VariableDeclarator).id === node) {
      // In the head of a for-in it gets values that are written nowhere.
      if (parents.at(-3)?.type === 'ForInStatement') variable.isSimple = false;
      // Declared with a value: as good as any function or constant, but not one of the aliases looked for.
      if ((parent as VariableDeclarator).init) {
        variable.isDeclaredWithValue = true;
        variable.isSimple = variable.isSimple && variable.places.length === 0;
        variable.writes.push({ node: parent as never, parents: parents.slice(0, -1) });
      }
      return;
    }
    if (parent?.type === 'AssignmentExpression' && (parent as AssignmentExpression).left === node) {
      const assignment = parent as AssignmentExpression;
      if (assignment.operator !== '=') variable.isSimple = false;
      variable.writes.push({ node: assignment, parents: parents.slice(0, -1) });
    } else if (
      parent?.type === 'UpdateExpression' ||
      (parent?.type === 'ForInStatement' && (parent as ForInStatement).left === node)
    ) {
      variable.isSimple = false;
    }
    variable.places.push({ node: identifier, parents });
  });
  return { variables: [...table.values()].flatMap((own) => [...own.values()]), variableAt };
}

function isInLoop(parents: readonly Node[], scope: Node): boolean {
  return parents.slice(parents.indexOf(scope)).some((one) => LOOPS.includes(one.type));
}

/** Parts that may be passed over: what is written within counts only there. */
export function branchesAround(parents: readonly Node[], node: Node, scope: Node): Node[] {
  const way = [...parents.slice(parents.indexOf(scope)), node];
  return way.filter((one, at) => {
    const parent = way[at - 1] as (Node & Record<string, unknown>) | undefined;
    if (!parent || (parent.type === 'ForStatement' && parent['init'] === one)) return false;
    return (
      (parent.type === 'LogicalExpression' && parent['right'] === one) ||
      (['ConditionalExpression', 'IfStatement'].includes(parent.type) && parent['test'] !== one) ||
      ['TryStatement', 'CatchClause', 'SwitchCase', 'SwitchStatement', ...LOOPS].includes(parent.type)
    );
  });
}

/** The text without one round of second names; the same text when there is none. */
function withoutSomeAliases(code: string, map: string): { code: string; map: string } {
  const program = parse(code, { ecmaVersion: 2015 });
  const { variables, variableAt } = variablesOf(program);
  const touched = new Set<Variable>();
  const edits: Edit[] = [];
  for (const alias of variables) {
    const write = alias.writes[0];
    if (
      !alias.isSimple ||
      alias.isParameter ||
      alias.writes.length !== 1 ||
      write!.node.type !== 'AssignmentExpression'
    )
      continue;
    const { node, parents } = write!;
    // `alias = other`, or `alias = other = value`.
    const inner = node.right.type === 'AssignmentExpression' ? node.right : undefined;
    const named = inner?.operator === '=' ? inner.left : node.right;
    if (named.type !== 'Identifier' || isInLoop(parents, alias.scope)) continue;
    // Written as the minifier writes it, without parentheses: they would be left behind.
    if (code.slice(node.start, node.right.start) !== `${alias.name}=` || node.right.end !== node.end) continue;
    // In the scope itself, before any other use of it.
    if (parents.findLast(holdsNames) !== alias.scope) continue;
    if (alias.places.some((place) => place.node.start < node.start)) continue;
    const other = variableAt(named.name, parents);
    if (!other || other === alias || touched.has(other) || touched.has(alias)) continue;
    const isConstant =
      other.isSimple &&
      (other.isParameter
        ? other.writes.length === 0
        : other.writes.length === 1 &&
          (inner ? other.writes[0]!.node === inner : other.writes[0]!.node.end <= node.start) &&
          !isInLoop(other.writes[0]!.parents, other.scope));
    if (!isConstant) continue;
    // Written by a function within, nobody can tell when: the second name may be what keeps the value from before.
    if (!other.isParameter && other.writes[0]!.parents.findLast(holdsNames) !== other.scope) continue;
    if (alias.places.some((place) => variableAt(other.name, place.parents) !== other)) continue;
    const branches = branchesAround(parents, node, alias.scope);
    if (
      alias.places.some((place) => branches.some((branch) => branch !== place.node && !place.parents.includes(branch)))
    )
      continue;
    touched.add(alias);
    touched.add(other);
    for (const { node: place } of alias.places) {
      if (place.start !== node.left.start) edits.push({ from: place.start, to: place.end, text: other.name });
    }
    edits.push({ from: node.start, to: node.right.start, text: '' });
  }
  return edited(code, map, edits);
}

/** The text without second names. Example: `(a=>{var b;b=a,f(b)})` becomes `(a=>{var b;a,f(a)})`; the minifier drops what is left over. */
export function withoutAliases(code: string, map: string): { code: string; map: string } {
  let now = { code, map };
  for (;;) {
    const next = withoutSomeAliases(now.code, now.map);
    if (next.code === now.code) return now;
    now = next;
  }
}
