/*
 * Which names each function of a program declares, and where: what the static gate needs to see use before declaration.
 * Called by the gate only. In ES5 a scope is the program, a function, or (for its one name) a catch clause.
 */
import type { CatchClause, Function as FunctionNode, Identifier, Node, Program } from 'acorn';
import { ancestor } from 'acorn-walk';

export type ScopeNode = Program | FunctionNode;

/** For each scope and catch clause the names it declares, with the offset of the first declaration; parameters count as declared at once. */
export type Declarations = Map<ScopeNode | CatchClause, Map<string, number>>;

/** True for the nodes that hold names of their own. */
export function isScope(node: Node): node is ScopeNode {
  return (
    node.type === 'Program' ||
    node.type === 'FunctionDeclaration' ||
    node.type === 'FunctionExpression' ||
    node.type === 'ArrowFunctionExpression'
  );
}

/** A catch clause holds its parameter and nothing else; the interpreter keeps it apart as well. */
export function holdsNames(node: Node): node is ScopeNode | CatchClause {
  return isScope(node) || node.type === 'CatchClause';
}

/** The innermost scope among a node's parents. */
export function scopeOf(parents: readonly Node[]): ScopeNode {
  for (let at = parents.length - 1; at >= 0; at -= 1) {
    const node = parents[at]!;
    if (isScope(node)) return node;
  }
  throw new Error('A node without a program above it: walk from the program.');
}

/** Declarations of every scope in the program. */
export function declarationsByScope(program: Program): Declarations {
  const declarations: Declarations = new Map([[program, new Map()]]);
  const declare = (scope: ScopeNode | CatchClause, name: string, at: number): void => {
    const names = declarations.get(scope) ?? new Map<string, number>();
    declarations.set(scope, names);
    const earlier = names.get(name);
    if (earlier === undefined || at < earlier) names.set(name, at);
  };
  ancestor(program, {
    Function(node, _state, parents) {
      if (!declarations.has(node)) declarations.set(node, new Map());
      for (const parameter of node.params) declare(node, (parameter as Identifier).name, 0);
      if (!node.id) return;
      if (node.type === 'FunctionExpression') declare(node, node.id.name, 0);
      else declare(scopeOf(parents.slice(0, -1)), node.id.name, node.start);
    },
    VariableDeclarator(node, _state, parents) {
      declare(scopeOf(parents), (node.id as Identifier).name, node.start);
    },
    CatchClause(node: CatchClause) {
      if (node.param) declare(node, (node.param as Identifier).name, 0);
    },
  });
  return declarations;
}
