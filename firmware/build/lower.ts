/*
 * Two steps over all modules together, before the minifier: values that never change are put where they are used, and what is left
 * is lowered to ES5, with the language's own functions under one short name each. Plugins of the bundler; both keep the source map.
 * Compiler helpers are left out on purpose: what needs one (spread, class inheritance) is refused by the gate.
 */
import type { Plugin } from 'rollup';
import { minify } from 'terser';
import ts from 'typescript';

/** Constants and tables of constants become their values. Nothing else is changed and nothing is shortened yet. */
export function inlineConstants(): Plugin {
  return {
    name: 'inline-constants',
    async renderChunk(code) {
      const result = await minify(code, {
        ecma: 2015,
        toplevel: false,
        mangle: false,
        compress: {
          defaults: false,
          ecma: 2015,
          reduce_vars: true,
          reduce_funcs: false,
          evaluate: true,
          hoist_props: true,
          // `payload['v']` has to stay quoted: the minifier shortens what is not.
          properties: false,
          unused: true,
          dead_code: true,
          keep_fargs: true,
          passes: 3,
        },
        format: { beautify: true, keep_quoted_props: true, preserve_annotations: true },
        sourceMap: true,
      });
      return { code: result.code!, map: result.map as string };
    },
  };
}

/** Functions of the language that are worth a name of their own when they are called often. */
const SHARED = [
  'Math.floor',
  'Math.round',
  'Math.min',
  'Math.max',
  'Math.abs',
  'String.fromCharCode',
  'isNaN',
  'Uint8Array',
];
/** Calls from which on the name costs less than it saves. */
const CALLS_MIN = 3;

/** `Math.floor` of `Math.floor(x)`, `Uint8Array` of `new Uint8Array(x)`. */
function calledName(node: ts.Node): string | undefined {
  if (!ts.isCallExpression(node) && !ts.isNewExpression(node)) return undefined;
  if (ts.isIdentifier(node.expression)) return node.expression.text;
  if (!ts.isPropertyAccessExpression(node.expression)) return undefined;
  const { expression, name } = node.expression;
  return ts.isIdentifier(expression) ? `${expression.text}.${name.text}` : undefined;
}

/** `Math.floor(x)` becomes `shared(x)`, with `var shared = Math.floor` at the top of the bundle's one function. */
const shareBuiltIns: ts.TransformerFactory<ts.SourceFile> = (context) => (file) => {
  const { factory } = context;
  const calls = new Map<string, number>();
  const count = (node: ts.Node): void => {
    const name = calledName(node);
    if (name !== undefined && SHARED.includes(name)) calls.set(name, (calls.get(name) ?? 0) + 1);
    ts.forEachChild(node, count);
  };
  count(file);
  const names = new Map(
    SHARED.filter((name) => (calls.get(name) ?? 0) >= CALLS_MIN).map((name) => [
      name,
      factory.createUniqueName(name.replace('.', '_')),
    ]),
  );
  if (names.size === 0) return file;

  let isPlaced = false;
  const declarations = [...names].map(([name, own]) => {
    const [object, member] = name.split('.') as [string, string?];
    const owner = factory.createIdentifier(object);
    const value = member === undefined ? owner : factory.createPropertyAccessExpression(owner, member);
    return factory.createVariableDeclaration(own, undefined, undefined, value);
  });
  const visit = (node: ts.Node): ts.Node => {
    const isWhole = !isPlaced && (ts.isFunctionExpression(node) || ts.isArrowFunction(node));
    if (isWhole) isPlaced = true;
    const visited = ts.visitEachChild(node, visit, context);
    if (isWhole && ts.isFunctionExpression(visited)) {
      const body = factory.createBlock(
        [factory.createVariableStatement(undefined, declarations), ...visited.body.statements],
        true,
      );
      return factory.updateFunctionExpression(
        visited,
        visited.modifiers,
        visited.asteriskToken,
        visited.name,
        visited.typeParameters,
        visited.parameters,
        visited.type,
        body,
      );
    }
    const own = names.get(calledName(visited) ?? '');
    if (own && ts.isCallExpression(visited))
      return factory.updateCallExpression(visited, own, undefined, visited.arguments);
    if (own && ts.isNewExpression(visited))
      return factory.updateNewExpression(visited, own, undefined, visited.arguments);
    return visited;
  };
  return ts.visitNode(file, visit) as ts.SourceFile;
};

/** ES5; the minifier writes the functions as arrows again where they can be. */
export function lowerForInterpreter(): Plugin {
  return {
    name: 'lower-for-interpreter',
    renderChunk(code) {
      const output = ts.transpileModule(code, {
        fileName: 'bundle.js',
        transformers: { before: [shareBuiltIns] },
        compilerOptions: {
          target: ts.ScriptTarget.ES5,
          module: ts.ModuleKind.ESNext,
          ignoreDeprecations: '6.0',
          allowJs: true,
          alwaysStrict: false,
          noEmitHelpers: true,
          sourceMap: true,
        },
      });
      return {
        code: output.outputText.replace(/\/\/# sourceMappingURL=.*\s*$/, ''),
        map: output.sourceMapText ?? null,
      };
    },
  };
}
