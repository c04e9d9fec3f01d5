/*
 * Runs programs in the real Espruino interpreter (its Linux build), and the same text in a bare Node context to compare.
 * Called by the tests of this folder; ESPRUINO_BIN names the interpreter, and without it they say that they were skipped.
 * The interpreter ends with code 0 whatever happens, so only a line printed at the very end proves that a run was whole.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createContext, runInContext } from 'node:vm';

/** Path of the interpreter, or undefined: then nothing of this folder can be proven on this machine. */
export const ESPRUINO_BIN: string | undefined = process.env['ESPRUINO_BIN'] || undefined;

/** Put this before the name of a suite that needs the interpreter, so that a skipped run says what is missing. */
export const SKIPPED_WITHOUT = ESPRUINO_BIN ? '' : 'SKIPPED, set ESPRUINO_BIN to the interpreter to run: ';

/** Where the stand-ins lie; seen from the compiled tests of the benchmarks too. */
const PRELUDE_FOLDER = new URL(
  import.meta.url.includes('/dist/') ? '../../interpreter/prelude/' : './prelude/',
  import.meta.url,
);

const BEGIN = '>>>BEGIN';
const END = '>>>END';

export interface PreludeChoice {
  /** `virtual`: only world.advance moves time. `real`: the interpreter's own timers. */
  readonly clock: 'virtual' | 'real';
  /** `memory`: sockets and the peer of the prelude. `real`: the interpreter's own. */
  readonly network: 'memory' | 'real';
}

/** The stand-ins for everything around the board, as one text to run before the bundle. */
export async function prelude(choice: PreludeChoice): Promise<string> {
  const files = ['world', 'pins', 'board', 'chips', 'modules', 'proof'];
  if (choice.clock === 'virtual') files.splice(1, 0, 'clock');
  if (choice.network === 'memory') files.push('sockets', 'peer');
  if (choice.clock === 'virtual' && choice.network === 'memory') files.push('night');
  const texts = await Promise.all(files.map((name) => readFile(new URL(`${name}.js`, PRELUDE_FOLDER), 'utf8')));
  return texts.join('\n');
}

export interface InterpreterRequest {
  readonly espruinoBin: string;
  /** Run one after the other as one program. */
  readonly scripts: readonly string[];
  /** The run is killed then, and counts as not ended. A guard against hanging, not a measure. */
  readonly timeoutMs: number;
  /**
   * False (default): the run is over when the scripts are. True: it goes on until a script prints `endLine`, as runs with
   * real time must.
   */
  readonly endsItself?: boolean;
  /** Takes the power from the board in the middle of whatever it does. */
  readonly powerCut?: AbortSignal;
  /** Told each line as it comes; lets a test act on what the program says. */
  readonly onLine?: (line: string) => void;
}

/** Printed by a script of a run with `endsItself` to end it. */
export const endLine = END;

export interface InterpreterRun {
  /** What the program printed, line by line. */
  readonly lines: readonly string[];
  /** True when the last line was reached; without it nothing else in the answer proves anything. */
  readonly hasEnded: boolean;
  /** Everything, for a person who reads a failure. */
  readonly stdout: string;
}

/** Runs the scripts in the interpreter; standard input stays open and silent, as a console that nobody types on. */
export async function runInInterpreter(request: InterpreterRequest): Promise<InterpreterRun> {
  const folder = await mkdtemp(join(tmpdir(), 'bathkeeper-interpreter-'));
  const path = join(folder, 'program.js');
  const parts = [`print(${JSON.stringify(BEGIN)});`, ...request.scripts];
  if (!request.endsItself) parts.push(`print(${JSON.stringify(END)});`);
  await writeFile(path, parts.join('\n'), 'latin1');
  try {
    return await new Promise<InterpreterRun>((resolve, reject) => {
      const child = spawn(request.espruinoBin, [path], { cwd: folder, stdio: ['pipe', 'pipe', 'pipe'] });
      let stdout = '';
      let seen = 0;
      request.powerCut?.addEventListener('abort', () => child.kill('SIGKILL'), { once: true });
      const guard = setTimeout(() => child.kill('SIGKILL'), request.timeoutMs);
      const take = (bytes: Buffer): void => {
        stdout += bytes.toString('latin1');
        const lines = cleanLines(stdout);
        // The last one may still grow.
        for (; seen < lines.length - 1; seen += 1) request.onLine?.(lines[seen]!);
        if (new RegExp(`(^|\\n)${END}\\r?\\n`).test(stdout)) child.kill('SIGKILL');
      };
      child.stdout.on('data', take);
      child.stderr.on('data', take);
      child.on('error', (error) => {
        clearTimeout(guard);
        reject(
          new Error(`The interpreter at ${request.espruinoBin} did not start: ${error.message}. Check ESPRUINO_BIN.`),
        );
      });
      child.on('close', () => {
        clearTimeout(guard);
        const all = cleanLines(stdout);
        const from = all.indexOf(BEGIN) + 1;
        const to = all.indexOf(END);
        resolve({ lines: all.slice(from, to < 0 ? undefined : to), hasEnded: to >= 0, stdout });
      });
    });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Lines without the console's carriage returns, prompts and erasures (ESC [ J). */
function cleanLines(stdout: string): string[] {
  return stdout.split('\n').map((line) =>
    line
      .replaceAll('\r', '')
      .replaceAll('\u001b[J', '')
      .replace(/^>(?=$|[^>])/, ''),
  );
}

/** The interpreter's own SHA-256: text carries bytes. */
function sha256(message: string): ArrayBuffer {
  return new Uint8Array(createHash('sha256').update(Buffer.from(message, 'latin1')).digest()).buffer;
}

/** The same scripts in a Node context that has `print`, `btoa`, SHA-256 and nothing else; answers the lines and what it threw. */
export function runInNode(scripts: readonly string[]): { lines: string[]; thrown: unknown } {
  const lines: string[] = [];
  const context = createContext({
    btoa: (bytes: Uint8Array) => Buffer.from(bytes).toString('base64'),
    print: (...values: unknown[]) => lines.push(...values.map(String).join(' ').split('\n')),
    require: (name: string) => {
      if (name !== 'crypto') throw new Error(`Module ${name} not found`);
      return { SHA256: sha256 };
    },
  });
  try {
    runInContext(scripts.join('\n'), context);
    return { lines, thrown: undefined };
  } catch (thrown) {
    return { lines, thrown };
  }
}
