/*
 * `npm run bench -- --json`: measures and prints `{ "results": [ { name, value, unit, bound, met } ] }`. `--only NAME` runs one, or all whose names begin with NAME.
 * Ends with 1 when a bound is not met.
 */
import type { Benchmark, Result } from './benchmark.js';
import { callingBenchmarks } from './calling-benchmarks.js';
import { controllerBenchmarks } from './controller-benchmarks.js';
import { importBenchmarks } from './import-benchmarks.js';
import { interpreterBenchmarks } from './interpreter-benchmarks.js';
import { modelBenchmarks } from './model-benchmarks.js';
import { nightBenchmarks } from './night-benchmarks.js';
import { pageBenchmarks } from './page-benchmarks.js';
import { sheetBenchmarks } from './sheet-benchmarks.js';
import { watchBenchmarks } from './watch-benchmarks.js';
import { yearBenchmarks } from './year-benchmarks.js';

const all: readonly Benchmark[] = [
  ...nightBenchmarks,
  ...controllerBenchmarks,
  ...interpreterBenchmarks,
  ...callingBenchmarks,
  ...watchBenchmarks,
  ...modelBenchmarks,
  ...pageBenchmarks,
  ...sheetBenchmarks,
  ...yearBenchmarks,
  ...importBenchmarks,
];
const args = process.argv.slice(2);
const only = args.includes('--only') ? args[args.indexOf('--only') + 1] : undefined;
const isNamed = (name: string): boolean =>
  only === undefined || name === only || (name.startsWith(only) && all.every((other) => other.name !== only));
const chosen = all.filter(({ name }) => isNamed(name));
if (chosen.length === 0) {
  console.error(
    `There is no benchmark "${String(only)}". These exist:\n${all.map((one) => `  ${one.name}`).join('\n')}`,
  );
  process.exit(2);
}
const results: Result[] = [];
for (const benchmark of chosen) {
  const { value, note } = await benchmark.run();
  const { name, unit, bound } = benchmark;
  const met = value <= bound;
  results.push({ name, value, unit, bound, met });
  if (!args.includes('--json')) {
    const rounded = Math.round(value * 1000) / 1000;
    console.log(
      `${met ? 'met    ' : 'NOT MET'}  ${name}: ${String(rounded)} ${unit} (at most ${String(bound)})${note === undefined ? '' : ` · ${note}`}`,
    );
  }
}
if (args.includes('--json')) console.log(JSON.stringify({ results }, null, 2));
process.exit(results.every((result) => result.met) ? 0 : 1);
