/*
 * Counts what the interpreter itself works off for the program's callbacks, in machine instructions: by valgrind's callgrind, so that a busy
 * machine changes nothing. Called by the interpreter benchmarks. What stands in for the board (chips, pins, sockets, the clock) is not counted.
 *
 * How: a callback is called by the interpreter's own `forEach`, at which counting begins, and each stand-in by its own `call`, at which counting
 * ends until it returns. Only a build with its symbols can be counted so. The C library is left out: on Linux it opens and reads a file for each
 * few bytes of program in flash, which a board has in its address space.
 */
import { spawn } from 'node:child_process';
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Whose work a count is; each ends with a call of a function of the interpreter that nothing else uses. */
const MARKS = { step: 'asin', beat: 'sin', received: 'cos', nothing: 'atan' } as const;
export type Counted = Exclude<keyof typeof MARKS, 'nothing'>;

export interface Count {
  readonly of: Counted;
  readonly instructions: number;
}

/**
 * Put between the prelude and the scenario. `world.isCounting`: set by the scenario when counting is to begin. Intervals of 200 and 500 ms are
 * the program's step and beat; what sockets and datagrams bring is `received`.
 */
export const COUNTING_PRELUDE = `
  world.isCounting = false;
  world.inside = function (act, mark) {
    return function (argument) {
      if (!world.isCounting) return act(argument);
      Math.atan(0);
      [argument].forEach(act);
      mark(0);
    };
  };
  world.outside = function (owner, name) {
    var act = owner[name];
    owner[name] = act.call.bind(act, owner);
  };
  (function () {
    var every = setInterval;
    setInterval = function (act, milliseconds) {
      return every(milliseconds > 1000 ? act : world.inside(act, milliseconds < 300 ? Math.asin : Math.sin), milliseconds);
    };
    getTime = getTime.call.bind(getTime, undefined);
    digitalRead = digitalRead.call.bind(digitalRead, undefined);
    ['getErrorFlags', 'kickWatchdog', 'setConsole'].forEach(function (name) { world.outside(E, name); });
    world.outside(I2C1, 'writeTo');
    world.outside(I2C1, 'readFrom');
    [D2, D13, D16, D17, D18, D19, D23, D25, D26, D32, D33, D34, D35, D36, D39, D5].forEach(function (pin) {
      world.outside(pin, 'read');
      world.outside(pin, 'write');
    });
    ['reset', 'skip', 'select', 'write', 'read'].forEach(function (name) {
      var act = OneWire.prototype[name];
      // (The probe's stand-in keeps its state in the bus; there is one.)
      var bus = { command: 0 };
      OneWire.prototype[name] = act.call.bind(act, (world.countedBus = world.countedBus || bus));
    });
    var connect = world.modules.net.connect;
    world.modules.net.connect = function (options, opened) {
      var socket = connect(options, opened);
      var on = socket.on;
      socket.on = function (event, listener) { on(event, world.inside(listener, Math.cos)); };
      world.outside(socket, 'write');
      return socket;
    };
    var createSocket = world.modules.dgram.createSocket;
    world.modules.dgram.createSocket = function () {
      var socket = createSocket();
      var on = socket.on;
      socket.on = function (event, listener) { on(event, world.inside(listener, Math.cos)); };
      return socket;
    };
  })();`;

/** The prelude with a clock of its own, which counting may not mistake for the program's. */
export function preludeForCounting(prelude: string): string {
  return `${prelude.replaceAll('getTime()', 'world.time()')}
    world.time = function () { return world.nowMicros / 1000000; };
    ${COUNTING_PRELUDE}`;
}

/** Is there a valgrind on this machine? */
export async function valgrindIsThere(): Promise<boolean> {
  return await new Promise((resolve) => {
    const child = spawn('valgrind', ['--version'], { stdio: 'ignore' });
    child.on('error', () => resolve(false));
    child.on('close', (code) => resolve(code === 0));
  });
}

/** What a dump of callgrind counts of all but the C library. (Lines after `calls=` say again what the called one took.) */
function ownInstructions(dump: string): number {
  const libraries = new Set<string>();
  let isLibrary = false;
  let isRepeated = false;
  let sum = 0;
  for (const line of dump.split('\n')) {
    const object = /^(c?)ob=\((\d+)\)(?: (.*))?$/.exec(line);
    if (object) {
      if (object[3]?.includes('/libc.')) libraries.add(object[2]!);
      if (!object[1]) isLibrary = libraries.has(object[2]!);
    } else if (line.startsWith('calls=')) isRepeated = true;
    else if (/^[\d+*-]/.test(line)) {
      if (!isRepeated && !isLibrary) sum += Number(line.split(' ')[1] ?? 0);
      isRepeated = false;
    }
  }
  return sum;
}

/** Runs a program under callgrind; what each counted callback took, in their order. Throws when the program did not print `done` last. */
export async function countInstructions(espruinoBin: string, program: string, done: string): Promise<Count[]> {
  const folder = await mkdtemp(join(tmpdir(), 'bathkeeper-count-'));
  try {
    await writeFile(join(folder, 'program.js'), `${program}\nprint('${done}');\nquit();\n`, 'latin1');
    const printed = await new Promise<string>((resolve, reject) => {
      const child = spawn(
        'valgrind',
        [
          '--tool=callgrind',
          '--callgrind-out-file=count',
          '--collect-atstart=no',
          '--toggle-collect=jswrap_array_forEach',
          '--toggle-collect=jswrap_function_apply_or_call',
          ...Object.values(MARKS).map((mark) => `--dump-before=jswrap_math_${mark}`),
          espruinoBin,
          'program.js',
        ],
        { cwd: folder, stdio: ['pipe', 'pipe', 'pipe'] },
      );
      let text = '';
      child.stdout.on('data', (bytes: Buffer) => (text += bytes.toString('latin1')));
      child.stderr.on('data', (bytes: Buffer) => (text += bytes.toString('latin1')));
      child.on('error', reject);
      child.on('close', () => resolve(text));
    });
    if (!printed.includes(done)) {
      throw new Error(`The program did not come to its end under valgrind. It printed last: ${printed.slice(-800)}`);
    }
    const counts: Count[] = [];
    const dumps = (await readdir(folder)).filter((name) => /^count\.\d+$/.test(name));
    dumps.sort((a, b) => Number(a.slice(6)) - Number(b.slice(6)));
    for (const dump of dumps) {
      const text = await readFile(join(folder, dump), 'latin1');
      const mark = /--dump-before=jswrap_math_(\w+)/.exec(text)?.[1];
      const of = Object.entries(MARKS).find(([, name]) => name === mark)?.[0] as keyof typeof MARKS | undefined;
      if (of && of !== 'nothing') counts.push({ of, instructions: ownInstructions(text) });
    }
    return counts;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
