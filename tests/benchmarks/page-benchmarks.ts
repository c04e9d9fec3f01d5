/*
 * Benchmark of the page with a model of five million triangles: the longest task of its main thread while the file is read, measured,
 * drawn, pressed, cut off and taken back, in a headless Chromium whose graphics are computed by the processor as well. The page as built.
 */
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type { Page } from 'playwright-core';
import { startFixtureServer } from '../browser/fixture-server.js';
import { launchedBrowser, openPage, WIDE } from '../browser/open-page.js';
import type { Benchmark, Measured } from './benchmark.js';

const AROUND = 2500;
const ACROSS = 1000;
const ROUNDS = 3;
const PATIENCE_MS = 120_000;

/** A torus as binary STL of 5,000,000 triangles, 250 MB, written ring by ring. */
function writeTorus(path: string): void {
  const file = openSync(path, 'w');
  const head = Buffer.alloc(84);
  head.writeUInt32LE(2 * AROUND * ACROSS, 80);
  writeSync(file, head);
  const ring = Buffer.alloc(50 * 2 * ACROSS);
  const numbers = new DataView(ring.buffer, ring.byteOffset);
  const place = (i: number, j: number, at: number): void => {
    const u = (2 * Math.PI * (i % AROUND)) / AROUND;
    const v = (2 * Math.PI * (j % ACROSS)) / ACROSS;
    const reach = 60 + 20 * Math.cos(v);
    numbers.setFloat32(at, reach * Math.cos(u), true);
    numbers.setFloat32(at + 4, reach * Math.sin(u), true);
    numbers.setFloat32(at + 8, 20 * Math.sin(v), true);
  };
  for (let i = 0; i < AROUND; i++) {
    for (let j = 0; j < ACROSS; j++) {
      const at = j * 100 + 12;
      [[i, j], [i + 1, j], [i + 1, j + 1]].forEach(([a, b], k) => {
        place(a!, b!, at + 12 * k);
      }); // prettier-ignore
      [[i, j], [i + 1, j + 1], [i, j + 1]].forEach(([a, b], k) => {
        place(a!, b!, at + 50 + 12 * k);
      }); // prettier-ignore
    }
    writeSync(file, ring);
  }
  closeSync(file);
}

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  /** Thread time of an event with a length, in microseconds. */
  readonly tdur?: number;
  readonly args?: { readonly name?: string };
}

/** Of the longest task of a page's main thread the processor time in milliseconds: what is left when nobody else wants the processor. */
function longestProcessorMs(trace: Buffer): number {
  const { traceEvents } = JSON.parse(trace.toString()) as { traceEvents: TraceEvent[] };
  const thread = ({ pid, tid }: TraceEvent) => `${String(pid)}/${String(tid)}`;
  const main = new Set(
    traceEvents
      .filter((event) => event.name === 'thread_name' && event.args?.name === 'CrRendererMain')
      .map((event) => thread(event)),
  );
  return traceEvents
    .filter((event) => event.ph === 'X' && main.has(thread(event)))
    .reduce((longest, event) => Math.max(longest, (event.tdur ?? 0) / 1000), 0);
}

/** From now on the page keeps the lengths of tasks of 50 ms and more. */
async function watchTasks(page: Page): Promise<void> {
  await page.evaluate(() => {
    const kept: number[] = [];
    Object.assign(globalThis, { longTasksMs: kept });
    new PerformanceObserver((list) => {
      kept.push(...list.getEntries().map((entry) => entry.duration));
    }).observe({ type: 'longtask' });
  });
}

const longTasks = (page: Page): Promise<number[]> =>
  page.evaluate(() => (globalThis as unknown as { longTasksMs: number[] }).longTasksMs);

async function useLargeModel(page: Page, file: string): Promise<void> {
  const patience = { timeout: PATIENCE_MS };
  // Pictures of a machine without a graphics card take seconds each when it is busy, and a press waits for two of them.
  page.setDefaultTimeout(PATIENCE_MS);
  await page.getByLabel('Choose a model file').setInputFiles(file);
  await page.getByRole('heading', { level: 1, name: /^The part:/ }).waitFor(patience);
  await page.locator('.part-canvas[data-drawn]:not([data-drawn="0"])').waitFor(patience);
  await page.getByText(/^Recesses:/).waitFor(patience);
  const toPlate = (words: RegExp) => page.getByText(words).first().waitFor(patience);
  await page.getByRole('button', { name: 'From above' }).click();
  await page.locator('.part-canvas').click({ position: { x: 300, y: 200 } });
  await page.getByLabel('Everything beyond a height').check();
  await page.getByRole('slider', { name: 'Height over the lowest point' }).focus();
  for (let k = 0; k < 20; k++) await page.keyboard.press('ArrowLeft');
  await page.getByRole('button', { name: 'Take back the last step' }).click();
  await toPlate(/is not$/);
}

interface Round {
  /** 0 where no task took 50 ms. */
  readonly longestMs: number;
  readonly longestProcessorMs: number;
  readonly seconds: number;
}

/** One round in a browser of its own. */
async function round(address: string, file: string): Promise<Round> {
  const browser = await launchedBrowser();
  try {
    const { page, errors } = await openPage(browser, `${address}/#part`, { size: WIDE });
    await page.getByRole('heading', { level: 1, name: 'Which part' }).waitFor();
    await watchTasks(page);
    await browser.startTracing(page, { categories: ['toplevel'] });
    const began = performance.now();
    await useLargeModel(page, file);
    const seconds = (performance.now() - began) / 1000;
    if (errors.length > 0) throw new Error(`The page said: ${errors.join('; ')}`);
    return {
      longestMs: Math.max(0, ...(await longTasks(page))),
      longestProcessorMs: longestProcessorMs(await browser.stopTracing()),
      seconds,
    };
  } finally {
    await browser.close();
  }
}

/** The quietest of three rounds: on a busy machine a task waits for its turn with the worker, the drawing and everybody else. */
async function longestTask(): Promise<Measured> {
  const dashboard = dirname(createRequire(import.meta.url).resolve('@bathkeeper/dashboard/package.json'));
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-page-bench-'));
  const server = await startFixtureServer(join(dashboard, 'dist', 'page'));
  try {
    const file = join(folder, 'torus.stl');
    writeTorus(file);
    const rounds: Round[] = [];
    for (let k = 0; k < ROUNDS; k++) rounds.push(await round(server.address, file));
    const told = rounds.map(
      (each) =>
        `${String(each.longestMs)} ms (${String(Math.round(each.longestProcessorMs))} ms of the processor) in ${String(Math.round(each.seconds))} s`,
    );
    return {
      value: Math.min(...rounds.map(({ longestMs }) => longestMs)),
      note: `${told.join(', ')}; 0 ms says that no task took 50`,
    };
  } finally {
    await server.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

export const pageBenchmarks: readonly Benchmark[] = [
  { name: 'page-longest-task-with-five-million-triangles', unit: 'ms', bound: 100, run: longestTask },
];
