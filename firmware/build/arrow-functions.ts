/*
 * Writes the functions of a module as arrow functions in constants: shorter in the bundle, and, unlike a declaration that may be
 * called before the constants above it are set, it lets the bundler put a constant's value in its place.
 * A step of transpile.ts. Leaves alone whatever needs a `this` or `arguments` of its own, or is not at the top of its module.
 */
import ts from 'typescript';
import { BOOT_MARK } from './boot-part.js';

/** True when the function speaks of its own `this` or `arguments`. */
function needsItsOwn(node: ts.Node): boolean {
  if (node.kind === ts.SyntaxKind.ThisKeyword) return true;
  if (ts.isIdentifier(node) && node.text === 'arguments') return true;
  return ts.forEachChild(node, needsItsOwn) ?? false;
}

/** `@onceAtBoot` in the function's comment. */
function runsOnceAtBoot(node: ts.Node): boolean {
  return ts.getJSDocTags(node).some((tag) => tag.tagName.text === BOOT_MARK);
}

/** `(a, b) => onceAtBoot((a, b) => ...)(a, b)`: the mark stands where the function is called, whatever the minifier moves. */
function markedArrow(node: ts.FunctionDeclaration, whole: ts.ArrowFunction): ts.ArrowFunction {
  const { factory } = ts;
  const marked = factory.createCallExpression(factory.createIdentifier(BOOT_MARK), undefined, [whole]);
  const names = node.parameters.map((parameter) => factory.createIdentifier((parameter.name as ts.Identifier).text));
  const parameters = names.map((name) => factory.createParameterDeclaration(undefined, undefined, name));
  const call = factory.createCallExpression(marked, undefined, names);
  return factory.createArrowFunction(undefined, undefined, parameters, undefined, undefined, call);
}

function asArrow(node: ts.Statement, file: ts.SourceFile): ts.Statement {
  if (!ts.isFunctionDeclaration(node) || !node.body || !node.name || node.asteriskToken || needsItsOwn(node.body)) {
    return node;
  }
  const modifiers = node.modifiers ?? [];
  if (!modifiers.every((one) => one.kind === ts.SyntaxKind.ExportKeyword)) return node;
  const { factory } = ts;
  const whole = factory.createArrowFunction(undefined, undefined, node.parameters, undefined, undefined, node.body);
  const arrow = runsOnceAtBoot(node) ? markedArrow(node, whole) : whole;
  ts.setSourceMapRange(arrow, { pos: node.getStart(file), end: node.end });
  return factory.createVariableStatement(
    modifiers,
    factory.createVariableDeclarationList(
      [factory.createVariableDeclaration(node.name, undefined, undefined, arrow)],
      ts.NodeFlags.Const,
    ),
  );
}

/** The transformer. A function that is called while its module is still being set up must stand above that call. */
export const arrowsForFunctions: ts.TransformerFactory<ts.SourceFile> = () => (file) =>
  ts.factory.updateSourceFile(
    file,
    file.statements.map((statement) => asArrow(statement, file)),
  );
