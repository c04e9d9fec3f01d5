/*
 * Runs the tests of the control room for the mutation run: bundled once, with every mutant asleep in the bundle, and called in one process.
 * Loading test files anew for each of thousands of mutants would take hours; so it takes minutes. A test counts as it does elsewhere:
 * the same files, the same `expect`. Loaded by stryker.config.json beside it. The slow tests with drawn inputs are left out: they find
 * what nobody thought of, but cost more than all others together, and no limit should be held by them alone.
 */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { format } from 'node:util';
import { runInThisContext } from 'node:vm';
import { declareClassPlugin, PluginKind } from '@stryker-mutator/api/plugin';
import {
  determineHitLimitReached,
  DryRunStatus,
  TestStatus,
  toMutantRunResult,
} from '@stryker-mutator/api/test-runner';
import { chai, JestAsymmetricMatchers, JestChaiExpect, JestExtend } from '@vitest/expect';
import { rolldown } from 'rolldown';

const TESTS = 'tests/shared-core/control';
const LEFT_OUT = ['any-input.test.ts', 'properties.test.ts'];
const ENTRY = '\0tests';
/** In the instrumented sources: calls that count the mutants that were passed, and calls that ask whether a mutant is awake. Both are slow. */
const COUNTS = /stryCov_[\w$]+\(((?:"\d+",?\s*)+)\)/g;
const ASKS = /stryMutAct_[\w$]+\("(\d+)"\)/g;

for (const plugin of [JestExtend, JestChaiExpect, JestAsymmetricMatchers]) chai.use(plugin);

/** The tests, one script for all, on the instrumented sources of this copy. */
async function bundled() {
  const files = readdirSync(TESTS).filter((name) => name.endsWith('.test.ts') && !LEFT_OUT.includes(name));
  const build = await rolldown({
    input: ENTRY,
    treeshake: false,
    tsconfig: false,
    plugins: [
      {
        name: 'tests',
        resolveId(id) {
          if (id === ENTRY) return id;
          if (id === 'vitest') return '\0vitest';
          const room = /^@bathkeeper\/shared-core\/(\w+)$/.exec(id);
          return room ? join(process.cwd(), 'shared-core/src', room[1], 'index.ts') : undefined;
        },
        load(id) {
          if (id === '\0vitest') return 'export const { describe, expect, test } = globalThis.__tests__;';
          if (id !== ENTRY) return undefined;
          const path = (name) => JSON.stringify(join(process.cwd(), TESTS, name));
          // Each file is told which it is before it declares its tests.
          return [
            ...files.map((name) => `import ${JSON.stringify(`\0file:${name}`)};\nimport ${path(name)};`),
            `import { forgetBaths } from ${path('scripted-bath.ts')};`,
            'globalThis.__tests__.forgetBaths = forgetBaths;',
          ].join('\n');
        },
      },
      {
        name: 'file',
        resolveId: (id) => (id.startsWith('\0file:') ? { id, moduleSideEffects: true } : undefined),
        load: (id) =>
          id.startsWith('\0file:') ? `globalThis.__tests__.file = ${JSON.stringify(id.slice(6))};` : undefined,
      },
    ],
  });
  const { output } = await build.generate({ format: 'iife', name: 'tests', sourcemap: false });
  await build.close();
  return output[0].code;
}

function nameOf(template, row, index) {
  const isRecord = row !== null && typeof row === 'object' && !Array.isArray(row);
  const name = template.replace(/\$(\w+)/g, (all, key) => (isRecord ? String(row[key]) : all));
  const values = Array.isArray(row) ? row : [row];
  const wanted = (name.match(/%[sdifjo]/g) ?? []).length;
  return `${format(name, ...values.slice(0, wanted).map(String))} [${index}]`;
}

/** What the test files call; gathers each test with the name of its file and its groups. */
function gatherer() {
  const tests = new Map();
  const groups = [];
  const registry = { file: '', forgetBaths: () => undefined };
  const each = (declare) => (rows) => (template, body) =>
    rows.forEach((row, index) =>
      declare(nameOf(template, row, index), () => body(...(Array.isArray(row) ? row : [row]))),
    );
  registry.describe = (name, body) => {
    groups.push(name);
    body();
    groups.pop();
  };
  registry.test = (name, body) => {
    const id = [registry.file, ...groups, name].join(' > ');
    if (tests.has(id)) throw new Error(`Two tests have the name "${id}". Name one of them anew.`);
    tests.set(id, body);
  };
  registry.describe.each = each(registry.describe);
  registry.test.each = each(registry.test);
  registry.expect = chai.expect;
  return { registry, tests };
}

class InOneProcess {
  /** The mutant that is awake, and how often it was passed; a mutant that loops without an end is stopped by its limit. */
  #awake = { hits: 0, hitsMax: Infinity };
  #script = '';
  #tests = new Map();
  #registry;
  /** Milliseconds of each test in the first run; and how often each killed: what kills often and fast is asked first. */
  #durations = new Map();
  #kills = new Map();

  capabilities() {
    return { reloadEnvironment: true };
  }

  async init() {
    this.#script = await bundled();
  }

  /** Loads the tests anew, with this mutant awake or none (-1). `counted`: what stands for the counting. */
  #load(mutant = -1, counted = '0') {
    const { registry, tests } = gatherer();
    globalThis.__tests__ = Object.assign(registry, { isHit: () => this.#isHit() });
    const script = this.#script.replace(ASKS, '(__awake__ === $1 && __isHit__())').replace(COUNTS, counted);
    const head = `let __awake__ = ${mutant}; const __isHit__ = __tests__.isHit; __tests__.wake = (mutant) => (__awake__ = mutant);`;
    runInThisContext(`(() => {${head}\n${script}\n})()`, { filename: 'tests-of-control.js' });
    this.#registry = registry;
    this.#tests = tests;
  }

  #isHit() {
    if (++this.#awake.hits > this.#awake.hitsMax) throw new Error('The mutant was passed too often: it loops.');
    return true;
  }

  async #result(id) {
    const startedAtMs = performance.now();
    const said = { id, name: id, fileName: `${TESTS}/${id.split(' > ', 1)[0]}` };
    try {
      await this.#tests.get(id)();
      return { ...said, status: TestStatus.Success, timeSpentMs: performance.now() - startedAtMs };
    } catch (error) {
      const failureMessage = String(error?.message ?? error);
      return { ...said, status: TestStatus.Failed, failureMessage, timeSpentMs: performance.now() - startedAtMs };
    }
  }

  async dryRun() {
    const hits = (globalThis.__hits__ = new Int32Array(100_000));
    const passed = () => {
      const counted = {};
      hits.forEach((count, id) => count && (counted[id] = count));
      hits.fill(0);
      return counted;
    };
    this.#load(-1, (_call, ids) => `(${ids.replace(/"(\d+)"/g, '__hits__[$1]++')})`);
    const mutantCoverage = { static: passed(), perTest: {} };
    const results = [];
    for (const id of this.#tests.keys()) {
      // What leads to a phase is covered by every test that begins there.
      this.#registry.forgetBaths();
      results.push(await this.#result(id));
      mutantCoverage.perTest[id] = passed();
    }
    for (const { id, timeSpentMs } of results) this.#durations.set(id, timeSpentMs);
    this.#load();
    return { status: DryRunStatus.Complete, tests: results, mutantCoverage };
  }

  async mutantRun({ activeMutant, hitLimit, testFilter, mutantActivation, reloadEnvironment }) {
    const mutant = Number(activeMutant.id);
    this.#awake = { hits: 0, hitsMax: hitLimit ?? Infinity };
    const results = [];
    try {
      if (reloadEnvironment || this.#tests.size === 0) this.#load(mutantActivation === 'static' ? mutant : -1);
      this.#registry.wake(mutant);
      this.#registry.forgetBaths();
      const ids = testFilter ?? [...this.#tests.keys()];
      const cost = (id) => (this.#durations.get(id) ?? 0) / (1 + (this.#kills.get(id) ?? 0));
      const inOrder = ids.map((id) => ({ id, cost: cost(id) })).sort((one, other) => one.cost - other.cost);
      for (const { id } of inOrder) {
        const result = await this.#result(id);
        results.push(result);
        if (result.status === TestStatus.Failed) {
          this.#kills.set(id, (this.#kills.get(id) ?? 0) + 1);
          break;
        }
      }
    } catch (error) {
      // It could not even be loaded.
      const failureMessage = String(error?.message ?? error);
      results.push({ id: 'load', name: 'load', status: TestStatus.Failed, failureMessage, timeSpentMs: 0 });
    }
    // What was loaded with a mutant awake is of no use for the next.
    if (reloadEnvironment) this.#load();
    const late = determineHitLimitReached(this.#awake.hits, hitLimit);
    return toMutantRunResult(late ?? { status: DryRunStatus.Complete, tests: results });
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.TestRunner, 'in-one-process', InOneProcess)];
