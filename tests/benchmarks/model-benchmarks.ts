/*
 * Benchmarks of reading and measuring a model: a binary STL of a million triangles against the C program admesh, and
 * the memory that it takes. Both programs are started afresh, in turn, and the quickest of each counts; the start of Node.js, which server and page have
 * behind them, is told and does not count.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Benchmark, Measured } from './benchmark.js';

const around = 1000;
const across = 500;
const rounds = 7;
const program = fileURLToPath(new URL('measure-model.js', import.meta.url));

/** A torus with ring 30 mm and tube 10 mm as binary STL of 1,000,000 triangles. */
function torusStl(): Buffer {
  const stl = Buffer.alloc(84 + 50 * 2 * around * across);
  stl.writeUInt32LE(2 * around * across, 80);
  let at = 84;
  const place = (i: number, j: number) => {
    const u = (2 * Math.PI * (i % around)) / around;
    const v = (2 * Math.PI * (j % across)) / across;
    const reach = 30 + 10 * Math.cos(v);
    return [reach * Math.cos(u), reach * Math.sin(u), 10 * Math.sin(v)];
  };
  const add = (...places: number[][]) => {
    places.flat().forEach((value, k) => stl.writeFloatLE(value, at + 12 + 4 * k));
    at += 50;
  };
  for (let i = 0; i < around; i++) {
    for (let j = 0; j < across; j++) {
      add(place(i, j), place(i + 1, j), place(i + 1, j + 1));
      add(place(i, j), place(i + 1, j + 1), place(i, j + 1));
    }
  }
  return stl;
}

function withTorus(measure: (file: string, bytes: number) => Measured): Measured {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-model-'));
  try {
    const stl = torusStl();
    const file = join(folder, 'torus.stl');
    writeFileSync(file, stl);
    return measure(file, stl.length);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

interface Said {
  readonly milliseconds: number;
  readonly megabytes: number;
}

function measured(file: string): Said {
  return JSON.parse(run(process.execPath, [program, file])) as Said;
}

function run(command: string, args: readonly string[]): string {
  const { status, stdout } = spawnSync(command, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${command} ended with ${String(status)}.`);
  return stdout;
}

function millisecondsOf(task: () => void): number {
  const began = performance.now();
  task();
  return performance.now() - began;
}

function timeAgainstAdmesh(): Measured {
  if (spawnSync('admesh', ['--version']).status !== 0) return { value: 0, note: 'skipped: admesh is not installed' };
  return withTorus((file) => {
    let reading = Infinity;
    let ours = Infinity;
    let theirs = Infinity;
    for (let round = 0; round < rounds; round++) {
      ours = Math.min(
        ours,
        millisecondsOf(() => (reading = Math.min(reading, measured(file).milliseconds))),
      );
      theirs = Math.min(
        theirs,
        millisecondsOf(() => run('admesh', [file])),
      );
    }
    const whole = `${String(Math.round(ours))} ms with the start of Node.js`;
    return {
      value: reading / theirs,
      note: `${String(Math.round(reading))} ms to read and measure, ${whole}; admesh ${String(Math.round(theirs))} ms`,
    };
  });
}

function memoryOfTheFile(): Measured {
  return withTorus((file, bytes) => {
    const said = JSON.parse(spawnSync(process.execPath, [program, file], { encoding: 'utf8' }).stdout) as {
      megabytes: number;
    };
    return {
      value: (said.megabytes * 1024 * 1024) / bytes,
      note: `${String(Math.round(said.megabytes))} MB more than before reading; a binary STL passes in pieces`,
    };
  });
}

export const modelBenchmarks: readonly Benchmark[] = [
  { name: 'model-time-against-admesh', unit: 'times', bound: 1, run: timeAgainstAdmesh },
  { name: 'model-memory', unit: 'times the file', bound: 4, run: memoryOfTheFile },
];
