/*
 * Declares a variable where it is first written instead of at the head of its function: `var b;f(),b=g(),h(b)` becomes `f();var b=g();h(b)`.
 * The minifier gathers all names at the head, since that suits it; in the interpreter each name there is text to read and a variable made before it
 * is needed. Called last by the minifying step. Only where nothing could have seen the name before, so the interpreter, which hoists nothing,
 * finds its own one; nothing is moved.
 */
import type { AssignmentExpression, Expression, LogicalExpression, Node, Program, Statement } from 'acorn';
import { parse } from 'acorn';
import { fullAncestor } from 'acorn-walk';
import { branchesAround, type Variable, variablesOf } from './aliases.js';
import { type Edit, edited } from './boot-part.js';
import { holdsNames } from './scopes.js';

/** The first writing of a variable that is declared bare, when nothing reads it before and none of its uses can be reached past it. */
function firstWriting(variable: Variable): AssignmentExpression | undefined {
  const { scope, places, isParameter, isDeclaredWithValue } = variable;
  if (isParameter || isDeclaredWithValue || places.length === 0) return undefined;
  const sorted = [...places].sort((a, b) => a.node.start - b.node.start);
  const first = sorted[0]!;
  const write = variable.writes.find(({ node }) => node.type === 'AssignmentExpression' && node.left === first.node);
  if (!write || write.node.operator !== '=') return undefined;
  if (write.parents.findLast(holdsNames) !== scope) return undefined;
  // Its own value before it is written, `b=b+1`; a function within may name it, it runs later.
  const ownScope = (parents: readonly Node[]) => parents.findLast(holdsNames) === scope;
  if (sorted.some(({ node, parents }) => node !== first.node && node.start < write.node.end && ownScope(parents)))
    return undefined;
  const branches = branchesAround(write.parents, write.node, scope);
  return places.every((place) => branches.every((branch) => place.parents.includes(branch))) ? write.node : undefined;
}

/** Expressions in a row, each as good as a statement. */
const inRow = (expression: Expression): readonly Expression[] =>
  expression.type === 'SequenceExpression' ? expression.expressions : [expression];

/** What a declaration in the middle of a row costs in tokens, and what a branch in braces costs more than one of signs. */
const VAR_BYTES = 1;
const BRANCH_BYTES = 4;

/** `var a=(f(),b=1,b+c),d` as `f(),b=1;var a=b+c,d`, so that the row within stands as a statement. */
function withRowsOutOfDeclarations(code: string, map: string): { code: string; map: string } {
  const edits: Edit[] = [];
  fullAncestor(parse(code, { ecmaVersion: 2015 }), (node, _state, ancestors) => {
    if (node.type !== 'VariableDeclaration' || (ancestors as Node[]).at(-2)?.type !== 'BlockStatement') return;
    let at = node.start;
    for (const { id, init, end } of node.declarations) {
      const row = init ? inRow(init) : [];
      if (row.slice(0, -1).some((one) => one.type === 'AssignmentExpression')) {
        edits.push({ from: at, to: row[0]!.start, text: at === node.start ? '' : ';' });
        const name = code.slice(id.start, id.end);
        edits.push({ from: row.at(-2)!.end, to: row.at(-1)!.start, text: `;var ${name}=` });
        edits.push({ from: row.at(-1)!.end, to: end, text: '' });
      }
      at = end;
    }
  });
  return edited(code, map, edits);
}

/** The text with names declared where they are first written. Example: see above. */
export function withLateDeclarations(code: string, map: string): { code: string; map: string } {
  const plain = withRowsOutOfDeclarations(code, map);
  return declaredLate(plain.code, plain.map);
}

function declaredLate(code: string, map: string): { code: string; map: string } {
  const program: Program = parse(code, { ecmaVersion: 2015 });
  const late = new Map<Node, Variable>();
  const declared = new Set<Variable>();
  for (const variable of variablesOf(program).variables) {
    const write = variable.scope.type === 'Program' ? undefined : firstWriting(variable);
    if (write) late.set(write, variable);
  }
  const edits: Edit[] = [];
  const put = (from: number, to: number, text: string): void => {
    if (from < to || text !== '') edits.push({ from, to, text });
  };

  /** Bytes that a row would save if it stood as statements; less than one: it stays. */
  const gain = (row: readonly Expression[]): number => {
    let saved = 0;
    row.forEach((one, at) => {
      const variable = late.get(one);
      if (variable) saved += variable.name.length + 1 - (at > 0 && late.has(row[at - 1]!) ? 0 : VAR_BYTES);
      else saved += Math.max(0, branchGain(one));
    });
    return saved;
  };
  const branchGain = (one: Expression): number => {
    if (one.type === 'ConditionalExpression') {
      const { consequent, alternate } = one;
      return gain(inRow(consequent)) + gain(inRow(alternate)) - BRANCH_BYTES;
    }
    if (one.type === 'LogicalExpression' && one.operator === '&&') return gain(inRow(one.right)) - BRANCH_BYTES;
    return 0;
  };

  /**
   * Writes a row as statements into the place [from, to]; what stood before and behind it there goes. `last` is an expression that a word
   * (`return`, `var a=`) stands before.
   */
  const statements = (
    row: readonly Expression[],
    from: number,
    to: number,
    last?: { word: string; joined: string },
    behind = '',
  ): void => {
    let at = from;
    let before: 'none' | 'var' | 'plain' | 'block' = 'none';
    row.forEach((one, index) => {
      const variable = late.get(one);
      const isLast = last !== undefined && index === row.length - 1;
      const isBranch = !variable && !isLast && branchGain(one) > 0;
      const end = before === 'none' || before === 'block' ? '' : ';';
      if (isLast) put(at, one.start, before === 'var' ? last.joined : end + last.word);
      else if (variable) {
        declared.add(variable);
        put(at, one.start, before === 'var' ? ',' : `${end}var `);
      } else if (isBranch) put(at, one.start, `${end}if(`);
      else put(at, one.start, before === 'plain' ? ',' : end);
      at = one.end;
      before = variable && !isLast ? 'var' : isBranch ? 'block' : 'plain';
      if (!isBranch) return;
      const [test, ...branches] =
        one.type === 'ConditionalExpression'
          ? [one.test, one.consequent, one.alternate]
          : [(one as LogicalExpression).left, (one as LogicalExpression).right]; // prettier-ignore
      put(one.start, test.start, '');
      let branchAt = test.end;
      branches.forEach((branch, which) => {
        const opening = which === 0 ? '){' : '}else{';
        put(branchAt, branchAt, '');
        branchStatements(inRow(branch), branchAt, branch.start, opening);
        branchAt = branch.end;
      });
      put(branchAt, one.end, '}');
    });
    put(at, to, (before as string) === 'block' ? '' : behind);
  };
  /** A row within braces of its own; `opening` takes the place of what stood before it. */
  const branchStatements = (row: readonly Expression[], from: number, to: number, opening: string): void => {
    put(from, to, opening);
    statements(row, row[0]!.start, row.at(-1)!.end);
  };

  const isInBlock = (parents: readonly Node[]): boolean => parents.at(-2)?.type === 'BlockStatement';
  fullAncestor(program, (node, _state, ancestors) => {
    const parents = ancestors as Node[];
    if (node.type === 'ForStatement') {
      const init = (node as Node & { init?: Node }).init as Expression | undefined;
      const row = init && init.type !== ('VariableDeclaration' as string) ? inRow(init) : [];
      if (row.length > 0 && row.every((one) => late.has(one))) {
        for (const one of row) declared.add(late.get(one)!);
        put(init!.start, init!.start, 'var ');
      }
      return;
    }
    if (!isInBlock(parents)) return;
    const statement = node as Statement;
    if (statement.type === 'ExpressionStatement') {
      const row = inRow(statement.expression);
      if (gain(row) > 0) statements(row, statement.start, statement.end, undefined, code[statement.end - 1] === ';' ? ';' : '');
      return;
    }
    if (statement.type === 'ReturnStatement' && statement.argument) {
      const row = inRow(statement.argument);
      if (row.length > 1 && gain(row.slice(0, -1)) > 0)
        statements(row, statement.start, row.at(-1)!.end, { word: 'return ', joined: ';return ' });
      return;
    }
  }); // prettier-ignore
  // What is declared late leaves the head.
  fullAncestor(program, (node, _state, ancestors) => {
    if (node.type !== 'VariableDeclaration') return;
    const parents = ancestors as Node[];
    if (parents.at(-2)!.type === 'ForInStatement') return;
    const scope = parents.findLast(holdsNames);
    const { declarations } = node;
    const isLate = declarations.map(
      ({ id, init }) =>
        !init && [...declared].some((one) => one.scope === scope && one.name === (id as Node & { name: string }).name),
    );
    if (!isLate.includes(true)) return;
    const kept = declarations.filter((_one, at) => !isLate[at]);
    if (kept.length === 0) put(node.start, node.end, '');
    else {
      let at = declarations[0]!.start;
      kept.forEach((one, index) => {
        put(at, one.start, index === 0 ? '' : ',');
        at = one.end;
      });
      put(at, declarations.at(-1)!.end, '');
    }
  });

  return edited(code, map, edits);
}
