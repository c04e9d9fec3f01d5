/*
 * Turns the firmware's TypeScript into modules without types while rollup gathers them, and picks board, supply and version.
 * Called by the bundler; types are checked elsewhere (`npm run typecheck`), here they are only taken away. `const` is left
 * standing: lower.ts needs it to see what never changes, and lowers the whole to what the interpreter runs.
 */
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { basename, dirname, join, relative } from 'node:path';
import type { Plugin } from 'rollup';
import ts from 'typescript';
import { arrowsForFunctions } from './arrow-functions.js';
import { firmwareFolder } from './firmware-folder.js';

/** What a bundle is for, each the name of a file: in firmware/src/boards, supplies, memories and clocks. */
export interface BuildTarget {
  readonly board: string;
  readonly supply: string;
  readonly memory: string;
  readonly clock: string;
}

/** What the sources import by name; the build puts what was asked for in their place. */
export const DEFAULT_TARGET: BuildTarget = { board: 'esp32', supply: 'analogue', memory: 'fram', clock: 'ds3231' };

/** Files of a folder of firmware/src that hold an `export` of this name, without their ending. */
function filesThatExport(folder: string, name: string): string[] {
  const path = join(firmwareFolder(), 'src', folder);
  if (!existsSync(path)) return [];
  return readdirSync(path)
    .filter(
      (file) => file.endsWith('.ts') && readFileSync(join(path, file), 'utf8').includes(`export function ${name}(`),
    )
    .map((file) => basename(file, '.ts'))
    .sort();
}

/** Boards that a bundle can be built for: the files in firmware/src/boards. */
export function boardNames(): string[] {
  return filesThatExport('boards', 'openBoard');
}

/** Kinds of supply that a bundle can be built for: the files in firmware/src/supplies. */
export function supplyNames(): string[] {
  return filesThatExport('supplies', 'supplyOutput');
}

/** Memories that a bundle can be built for: the files in firmware/src/memories. */
export function memoryNames(): string[] {
  return filesThatExport('memories', 'openMemory');
}

/** Clock chips that a bundle can be built for, or none. */
export function clockNames(): string[] {
  return ['ds3231', 'none'];
}

/** Faults of a target, as messages: a name that no file has, or flash on a board whose flash is one page that holds the program too. */
export function targetFaults(target: BuildTarget): string[] {
  const faults: string[] = [];
  const check = (what: string, all: string, name: string, known: readonly string[], folder: string): void => {
    if (known.includes(name)) return;
    faults.push(
      `There is no ${what} "${name}". ${all}: ${known.join(', ')}. Each is a file in firmware/src/${folder}.`,
    );
  };
  check('board', 'Boards', target.board, boardNames(), 'boards');
  check('kind of supply', 'Kinds', target.supply, supplyNames(), 'supplies');
  check('memory', 'Memories', target.memory, memoryNames(), 'memories');
  check('clock', 'Clocks', target.clock, clockNames(), 'clocks');
  if (target.memory === 'flash' && target.board !== 'esp32') {
    faults.push(
      `The ${target.board} cannot keep a run in its own flash, which is one page and holds the program: fit FRAM, build with --memory fram.`,
    );
  }
  return faults;
}

/** The version in firmware/package.json, board and supply: `0.1.0 esp32 analogue`. It replaces the text in src/build-info.ts. */
export function versionText(target: BuildTarget): string {
  const { version } = JSON.parse(readFileSync(join(firmwareFolder(), 'package.json'), 'utf8')) as { version: string };
  const others = [target.memory, target.clock].filter(
    (name) => name !== DEFAULT_TARGET.memory && name !== DEFAULT_TARGET.clock,
  );
  return [version, target.board, target.supply, ...others.map((name) => (name === 'none' ? 'no-clock' : name))].join(
    ' ',
  );
}

/** Non-ASCII text in a module, as messages with file, line and column; comments may hold what they like. */
function nonAsciiTexts(file: ts.SourceFile, shownPath: string): string[] {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if ((ts.isStringLiteralLike(node) || ts.isTemplateExpression(node)) && /[^\x00-\x7f]/.test(node.getText(file))) {
      const { line, character } = file.getLineAndCharacterOfPosition(node.getStart(file));
      found.push(
        `${shownPath}:${line + 1}:${character + 1} holds text that is not ASCII; strings are bytes on a board: write ASCII.`,
      );
    }
    ts.forEachChild(node, visit);
  };
  visit(file);
  return found;
}

/** In shared-core's run-state.ts: what a bundle for one kind of supply knows beforehand. */
const SET_BY_HAND = 'return state.supplyKind === SupplyKind.byHand;';

/** The rollup plugin. Imports of the default target's files, as `boards/esp32.js`, become those that were asked for. */
export function transpileForInterpreter(target: BuildTarget): Plugin {
  return {
    name: 'transpile-for-interpreter',
    resolveId(source, importer) {
      if (!importer || !source.startsWith('.') || !source.endsWith('.js')) return null;
      const chosen = source
        .replace(new RegExp(`boards/${DEFAULT_TARGET.board}\\.js$`), `boards/${target.board}.js`)
        .replace(new RegExp(`supplies/${DEFAULT_TARGET.supply}\\.js$`), `supplies/${target.supply}.js`)
        .replace(new RegExp(`memories/${DEFAULT_TARGET.memory}\\.js$`), `memories/${target.memory}.js`)
        .replace(new RegExp(`clocks/${DEFAULT_TARGET.clock}\\.js$`), `clocks/${target.clock}.js`);
      const path = join(dirname(importer), chosen.replace(/\.js$/, '.ts'));
      return existsSync(path) ? path : null;
    },
    transform(code, path) {
      if (!path.endsWith('.ts')) return null;
      const shownPath = relative(process.cwd(), path);
      const faults = nonAsciiTexts(ts.createSourceFile(path, code, ts.ScriptTarget.ES2022, true), shownPath);
      if (faults.length > 0) this.error(faults.join('\n'));
      const source = code
        .replace("'built from sources'", () => `'${versionText(target)}'`)
        .replace(SET_BY_HAND, () => `return ${String(target.supply === 'by-hand')};`);
      const output = ts.transpileModule(source, {
        fileName: path,
        transformers: { before: [arrowsForFunctions] },
        compilerOptions: {
          target: ts.ScriptTarget.ES2015,
          module: ts.ModuleKind.ESNext,
          ignoreDeprecations: '6.0',
          noEmitHelpers: true,
          verbatimModuleSyntax: true,
          removeComments: false,
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
