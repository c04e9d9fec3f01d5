/*
 * Checks the imports of source files against the table of rooms. Called by the walls' test.
 * It reads syntax only (imports of every form, types included), and never runs or resolves what it reads.
 */
import { readFileSync } from 'node:fs';
import { builtinModules } from 'node:module';
import { dirname, join, normalize } from 'node:path/posix';
import ts from 'typescript';
import { rooms, type Room } from './rooms.js';

/** An import as it stands in a file; `from` is undefined where it is not a plain text and so cannot be checked. */
export interface FoundImport {
  readonly from: string | undefined;
  readonly line: number;
  readonly isRequire: boolean;
}

/** The names that a workspace's package.json lists. */
export type DeclaredPackages = (workspace: string) => readonly string[];

/** The room that a file belongs to; undefined for files outside every wall, such as tests. */
export function roomOf(file: string): Room | undefined {
  let innermost: Room | undefined;
  for (const room of rooms) {
    const isInside = file.startsWith(`${room.folder}/`);
    if (isInside && room.folder.length > (innermost?.folder.length ?? 0)) innermost = room;
  }
  return innermost;
}

/**
 * Every import of a file: import and export declarations, `import x = require()`, `import('x')` as a value and as a
 * type, `require('x')`.
 *
 * @example
 * importsOf('a.ts', "export * from './b.js';"); // [{ from: './b.js', line: 1, isRequire: false }]
 */
export function importsOf(file: string, code: string): FoundImport[] {
  const kind = /\.(tsx|jsx)$/.test(file) ? ts.ScriptKind.TSX : ts.ScriptKind.TS;
  const source = ts.createSourceFile(file, code, ts.ScriptTarget.Latest, true, kind);
  const found: FoundImport[] = [];

  function keep(node: ts.Node, specifier: ts.Node | undefined, isRequire: boolean): void {
    const from = specifier && ts.isStringLiteralLike(specifier) ? specifier.text : undefined;
    found.push({ from, line: source.getLineAndCharacterOfPosition(node.getStart()).line + 1, isRequire });
  }

  function visit(node: ts.Node): void {
    if (ts.isImportDeclaration(node)) keep(node, node.moduleSpecifier, false);
    else if (ts.isExportDeclaration(node) && node.moduleSpecifier) keep(node, node.moduleSpecifier, false);
    else if (ts.isExternalModuleReference(node)) keep(node, node.expression, false);
    else if (ts.isImportTypeNode(node))
      keep(node, ts.isLiteralTypeNode(node.argument) ? node.argument.literal : undefined, false);
    else if (ts.isCallExpression(node)) {
      const isImport = node.expression.kind === ts.SyntaxKind.ImportKeyword;
      const isRequire = ts.isIdentifier(node.expression) && node.expression.text === 'require';
      if (isImport || isRequire) keep(node, node.arguments[0], isRequire);
    }
    ts.forEachChild(node, visit);
  }
  visit(source);
  return found;
}

/** What is wrong with a file's imports, in whole sentences; empty when its walls hold, or when it stands in no room. */
export function brokenWalls(file: string, code: string, declared: DeclaredPackages): string[] {
  const room = roomOf(file);
  if (room === undefined) return [];
  return importsOf(file, code).flatMap((found) => {
    const objection = objectionTo(found, file, room, declared);
    return objection === undefined ? [] : [`${file}:${String(found.line)} ${objection} ${room.because}`];
  });
}

function objectionTo(found: FoundImport, file: string, room: Room, declared: DeclaredPackages): string | undefined {
  const { from } = found;
  if (from === undefined) return 'imports by a computed name, which cannot be checked: write the name out.';

  if (from.startsWith('.')) {
    const target = normalize(join(dirname(file), from));
    const isOpen = [room.folder, ...room.folders].some((folder) => target.startsWith(`${folder}/`));
    return isOpen ? undefined : `imports "${from}", which lies outside ${room.folder}.`;
  }
  if (found.isRequire && room.interpreterModules) {
    if (room.interpreterModules.includes(from)) return undefined;
    return `requires "${from}", which is not one of the interpreter's modules in use (${room.interpreterModules.join(', ')}).`;
  }
  if (from.startsWith('node:') || builtinModules.includes(from)) {
    return room.mayUseNode ? undefined : `imports "${from}" from Node.js.`;
  }
  const open = room.packages === 'declared' ? declared(room.folder.split('/')[0] ?? '') : room.packages;
  if (open.some((name) => from === name || from.startsWith(`${name}/`))) return undefined;
  const instead = room.packages === 'declared' ? "the workspace's package.json does not list it" : openWords(open);
  return `imports the package "${from}": ${instead}.`;
}

function openWords(packages: readonly string[]): string {
  return packages.length === 0 ? 'it may import none' : `it may import ${packages.join(', ')}`;
}

/**
 * The packages that a workspace of the repository at `root` lists, its own and the tools of the root.
 * The firmware and the dashboard are never open to each other through a package either.
 */
export function declaredPackagesAt(root: string): DeclaredPackages {
  type Manifest = Partial<Record<'dependencies' | 'devDependencies', Record<string, string>>>;
  const namesIn = (path: string): string[] => {
    const manifest = JSON.parse(readFileSync(path, 'utf8')) as Manifest;
    return Object.keys({ ...manifest.dependencies, ...manifest.devDependencies });
  };
  const closed = ['@bathkeeper/firmware', '@bathkeeper/dashboard', '@bathkeeper/tests'];
  return (workspace) =>
    [...namesIn(join(root, workspace, 'package.json')), ...namesIn(join(root, 'package.json'))].filter(
      (name) => !closed.includes(name),
    );
}
