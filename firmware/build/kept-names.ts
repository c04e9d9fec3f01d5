/*
 * Which property names the bundler must leave alone: the interpreter's own, and those of ES5's standard library.
 * Both are read from declarations, so a name declared in espruino.d.ts is kept without another list to forget.
 * Called by the bundler and the static gate; it never looks at the firmware's own names.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import ts from 'typescript';
import { firmwareFolder } from './firmware-folder.js';

export interface DeclaredNames {
  /** Names of properties and methods. */
  readonly properties: ReadonlySet<string>;
  /** Names of top-level constants and functions, that is, of the interpreter's globals. */
  readonly globals: ReadonlySet<string>;
}

/** Every name that a declaration file declares. Example: `interface I2C { setup(): void }` declares the property `setup`. */
export function declaredNames(fileName: string, declarations: string): DeclaredNames {
  const properties = new Set<string>();
  const globals = new Set<string>();
  const file = ts.createSourceFile(fileName, declarations, ts.ScriptTarget.ES2022, true);
  const visit = (node: ts.Node): void => {
    const isMember =
      ts.isPropertySignature(node) ||
      ts.isMethodSignature(node) ||
      ts.isPropertyDeclaration(node) ||
      ts.isMethodDeclaration(node) ||
      ts.isGetAccessor(node) ||
      ts.isSetAccessor(node);
    if (isMember && (ts.isIdentifier(node.name) || ts.isStringLiteral(node.name))) properties.add(node.name.text);
    ts.forEachChild(node, visit);
  };
  visit(file);
  for (const statement of file.statements) {
    if (ts.isFunctionDeclaration(statement) && statement.name) globals.add(statement.name.text);
    if (ts.isVariableStatement(statement)) {
      for (const one of statement.declarationList.declarations) {
        if (ts.isIdentifier(one.name)) globals.add(one.name.text);
      }
    }
  }
  return { properties, globals };
}

/** The interpreter's API as firmware/src/espruino.d.ts declares it. */
export function interpreterNames(): DeclaredNames {
  const path = join(firmwareFolder(), 'src', 'espruino.d.ts');
  return declaredNames(path, readFileSync(path, 'utf8'));
}

/** Property names of TypeScript's lib.es5.d.ts: `length`, `charCodeAt`, `byteLength`... */
export function standardPropertyNames(): ReadonlySet<string> {
  const libraries = dirname(createRequire(import.meta.url).resolve('typescript'));
  const path = join(libraries, 'lib.es5.d.ts');
  return declaredNames(path, readFileSync(path, 'utf8')).properties;
}

/** All property names that keep their spelling in the bundle, sorted so that the outcome never depends on order. */
export function keptPropertyNames(): string[] {
  return [...new Set([...interpreterNames().properties, ...standardPropertyNames()])].sort();
}
