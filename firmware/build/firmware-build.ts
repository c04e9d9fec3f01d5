/*
 * Builds the one file that the interpreter runs: TypeScript to ES5 and arrow functions, gathered, minified, and passed through the gate.
 * Called by the command `npm run firmware -- build`, by set-up, by tests and benchmarks. The same sources give the same bytes.
 * It never writes a bundle that the gate refuses.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { gzipSync } from 'node:zlib';
import { nodeResolve } from '@rollup/plugin-node-resolve';
import { originalPositionFor, TraceMap } from '@jridgewell/trace-mapping';
import { rollup } from 'rollup';
import { cutProgram, outlivingFunctions, programFiles, wholeProgram } from './boot-part.js';
import { firmwareFolder } from './firmware-folder.js';
import { functionPlaces, type FunctionPlace } from './function-coverage.js';
import { inlineConstants, lowerForInterpreter } from './lower.js';
import { shrunkCode } from './shrink.js';
import { permittedGlobals, refusals } from './static-gate.js';
import { inTokens } from './tokens.js';
import { type BuildTarget, DEFAULT_TARGET, targetFaults, transpileForInterpreter, versionText } from './transpile.js';
import { uniqueNames } from './unique-names.js';

export interface BuildRequest {
  /** A file name in firmware/src/boards without its ending. Default `esp32`. */
  readonly board?: string;
  /** A file name in firmware/src/supplies without its ending. Default `analogue`. */
  readonly supply?: string;
  /** A file name in firmware/src/memories. Default `fram`; `flash` for an ESP32 without. */
  readonly memory?: string;
  /** A file name in firmware/src/clocks. Default `ds3231`; the settings say whether it is fitted. */
  readonly clock?: string;
  /** Written when given. */
  readonly outFile?: string;
  /** Default firmware/src/main.ts. */
  readonly entry?: string;
}

export interface BuiltFirmware {
  /** Both files in one text: what the virtual bath takes, and what is written to firmware/dist. */
  readonly code: string;
  /** The two files by themselves. */
  readonly bootPart: string;
  readonly program: string;
  /** The program in tokens, a character a byte: what is written to flash. */
  readonly tokens: string;
  /** Of the program in flash, which stays there while the board runs; and of what is forgotten after boot. */
  readonly bytes: number;
  readonly bootPartBytes: number;
  readonly gzipBytes: number;
  readonly version: string;
  /** Source map as JSON; its sources are relative to the firmware folder. */
  readonly map: string;
  readonly functions: readonly FunctionPlace[];
}

/** The bundle cannot be built as asked; the message says where and what to write instead. */
export class BuildRefused extends Error {}

/**
 * Where `npm run firmware -- build` writes to. Example: `bundlePath('esp32', 'scpi')` ends in `bathkeeper-esp32-scpi.js`; of the default
 * pair it is `bathkeeper.js`.
 */
export function bundlePath(
  board = DEFAULT_TARGET.board,
  supply = DEFAULT_TARGET.supply,
  options: { memory?: string; clock?: string } = {},
): string {
  const { memory = DEFAULT_TARGET.memory, clock = DEFAULT_TARGET.clock } = options;
  const others = [
    ...(memory === DEFAULT_TARGET.memory ? [] : [`-${memory}`]),
    ...(clock === DEFAULT_TARGET.clock ? [] : [`-${clock === 'none' ? 'no-clock' : clock}`]),
  ].join('');
  const pair = board === DEFAULT_TARGET.board && supply === DEFAULT_TARGET.supply ? '' : `-${board}-${supply}`;
  return join(firmwareFolder(), 'dist', `bathkeeper${pair}${others}.js`);
}

/**
 * Builds a bundle; throws BuildRefused with every fault listed.
 * Example: `(await buildFirmware({ board: 'esp32' })).bytes`.
 */
export async function buildFirmware(request: BuildRequest = {}): Promise<BuiltFirmware> {
  const target: BuildTarget = {
    board: request.board ?? DEFAULT_TARGET.board,
    supply: request.supply ?? DEFAULT_TARGET.supply,
    memory: request.memory ?? DEFAULT_TARGET.memory,
    clock: request.clock ?? DEFAULT_TARGET.clock,
  };
  const entry = resolve(request.entry ?? join(firmwareFolder(), 'src', 'main.ts'));
  const wrong = request.entry === undefined ? targetFaults(target) : [];
  if (wrong.length > 0) throw new BuildRefused(wrong.join('\n'));

  const gathered = await gatheredModules(entry, target);
  const shrunk = await shrunkCode(gathered.code, gathered.map);
  const whole = wholeProgram(shrunk.code, shrunk.map);
  const faults = refusals(whole.code, permittedGlobals());
  if (faults.length > 0) {
    const traced = new TraceMap(whole.map);
    const lines = faults.map((fault) => {
      const original = originalPositionFor(traced, { line: fault.line, column: fault.column });
      const place = original.source
        ? `${original.source}:${original.line}:${original.column + 1}`
        : `bundle:${fault.line}:${fault.column + 1} (${whole.code.slice(Math.max(0, fault.offset - 20), fault.offset + 30)})`;
      return `  ${place}  found ${fault.found}; ${fault.instead}.`;
    });
    throw new BuildRefused(`The interpreter would not run this bundle as meant:\n${lines.join('\n')}`);
  }

  const outliving = outlivingFunctions(shrunk.code);
  if (outliving.length > 0) {
    const traced = new TraceMap(shrunk.map);
    const lines = outliving.map((offset) => {
      const before = shrunk.code.slice(0, offset).split('\n');
      const { source, line } = originalPositionFor(traced, { line: before.length, column: before.at(-1)!.length });
      return `  ${source}:${line}  ${shrunk.code.slice(offset, offset + 40)}`;
    });
    throw new BuildRefused(
      `A function within one that runs once at boot may be called later, when that is forgotten; take the mark away or the function out:\n${lines.join('\n')}`,
    );
  }

  // A program of another entry is one file, and keeps all to itself.
  const { code, map } = request.entry === undefined ? cutProgram(shrunk.code, shrunk.map) : whole;
  const { bootPart, program } = programFiles(code);
  const tokens = await inTokens(program);
  if (request.outFile !== undefined) {
    mkdirSync(dirname(request.outFile), { recursive: true });
    writeFileSync(request.outFile, code);
  }
  return {
    code,
    bootPart,
    program,
    tokens,
    bytes: tokens.length,
    bootPartBytes: Buffer.byteLength(bootPart),
    gzipBytes: gzipSync(Buffer.from(tokens, 'latin1'), { level: 9 }).length,
    version: versionText(target),
    map,
    functions: functionPlaces(code, map),
  };
}

async function gatheredModules(entry: string, target: BuildTarget): Promise<{ code: string; map: string }> {
  const warnings: string[] = [];
  const gathering = await rollup({
    input: entry,
    plugins: [
      transpileForInterpreter(target),
      nodeResolve({ exportConditions: ['source'], extensions: ['.ts', '.js'] }),
      inlineConstants(),
      lowerForInterpreter(),
      uniqueNames(),
    ],
    treeshake: { propertyReadSideEffects: false },
    onwarn: (warning) => warnings.push(warning.message),
  }).catch((error: Error) => {
    throw new BuildRefused(error.message);
  });
  const { output } = await gathering.generate({
    format: 'iife',
    strict: false,
    generatedCode: 'es2015',
    freeze: false,
    esModule: false,
    sourcemap: true,
    // Where the map is laid; sources are named from the firmware folder.
    file: join(firmwareFolder(), 'bundle.js'),
  });
  await gathering.close();
  if (warnings.length > 0) throw new BuildRefused(`The modules do not fit together:\n${warnings.join('\n')}`);
  const [chunk] = output;
  if (!chunk.map)
    throw new Error('The bundler gave no source map though one was asked for. Check the installed version of rollup.');
  return { code: chunk.code, map: chunk.map.toString() };
}

/** A path as a person at the project's root would type it. */
export function shownPath(path: string): string {
  return relative(process.cwd(), path) || path;
}
