/*
 * Benchmarks of a year: three baths at one record a second, each second of 90 days and the minutes of all of it. Opened, zoomed, checked and
 * backed up through the program's own routes while all three go on writing. Some minutes to load, and 4 GB below the system's folder for temporary files (TMPDIR).
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createDashboard, PAIRED_RIG, systemClock } from '@bathkeeper/dashboard';
import type { KeepingView } from '@bathkeeper/shared-core/messages';
import type { Benchmark, Measured } from './benchmark.js';
import { startYearProgram, writingController, type YearProgram } from './year-program.js';
import { inexactMinutes, type LoadedYear, loadYear, MEMORY_OF_YEAR } from './year-store.js';
import { drawn } from '../seeded-draws.js';

const BATHS = ['north-bench', 'south-bench', 'window-bench'];
const SECRET = 'c0'.repeat(32);
const DAYS = 365;
const RAW_DAYS = 90;
const DAY_MS = 86_400_000;
const OPENINGS = 60;
const ZOOMS = 240;
/** Windows of a chart on the way from a year to a minute. */
const ZOOM_MS = [90 * DAY_MS, 7 * DAY_MS, DAY_MS, 3_600_000, 60_000, 60_000];
/** Then several people at once, who are not measured and must not hold up a sample. */
const CROWD = 6;
const CROWD_MS = 30_000;
const LATE_MS = 30_000;
/** Of the last days, and what was written meanwhile, each minute is compared with its records. */
const COMPARED_DAYS = 10;

interface Year {
  readonly openMs: readonly number[];
  readonly zoomMs: readonly number[];
  readonly waitMs: readonly number[];
  readonly fileBytes: number;
  readonly inexact: number;
  readonly note: string;
}

const bathAt = (index: number): string => BATHS[index % BATHS.length]!;
const seriesPath = (controllerId: string, fromMs: number, toMs: number): string =>
  `/api/series?controllerId=${controllerId}&fromMs=${String(fromMs)}&toMs=${String(toMs)}&points=1200`;

async function timed(program: YearProgram, path: string, points: (count: number) => boolean): Promise<number> {
  const startedMs = performance.now();
  const { startMs } = (await program.get(path)) as { startMs: number[] };
  const tookMs = performance.now() - startedMs;
  if (!points(startMs.length)) throw new Error(`${path} answered ${String(startMs.length)} buckets`);
  return tookMs;
}

/** Anywhere in the year; every second one where each second is kept. */
function zoomPath(year: LoadedYear, index: number, random: () => number): string {
  const lengthMs = ZOOM_MS[index % ZOOM_MS.length]!;
  const earliestMs = index % 2 === 0 ? year.beginMs : year.rawFromMs;
  const fromMs = Math.round(earliestMs + random() * (year.endMs - earliestMs - lengthMs));
  return seriesPath(bathAt(index), fromMs, fromMs + lengthMs);
}

async function crowd(program: YearProgram, year: LoadedYear): Promise<void> {
  const untilMs = performance.now() + CROWD_MS;
  const person = async (seed: number): Promise<void> => {
    const random = drawn(seed);
    for (let index = seed; performance.now() < untilMs; index++)
      await program.get(index % 3 === 0 ? seriesPath(bathAt(index), year.beginMs, year.endMs) : zoomPath(year, index, random));
  };
  await Promise.all(Array.from({ length: CROWD }, (_, index) => person(index + 1)));
} // prettier-ignore

/** All of the store is read, and backed up from the page, while it is written. Answers how long that took, seconds. */
async function keptMeanwhile(program: YearProgram): Promise<number> {
  const beganMs = performance.now();
  await program.post('/api/keeping/check');
  await program.post('/api/keeping/backups');
  for (;;) {
    const { check, backups } = (await program.get('/api/keeping')) as KeepingView;
    if (check.state !== 'under-way' && !backups.isUnderWay) {
      if (check.state !== 'sound' || backups.newest === null) throw new Error(JSON.stringify({ check, backups }));
      return (performance.now() - beganMs) / 1000;
    }
    await new Promise((done) => setTimeout(done, 500));
  }
}

async function measure(): Promise<Year> {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-year-'));
  process.once('exit', () => {
    rmSync(folder, { recursive: true, force: true });
  });
  const file = join(folder, 'bathkeeper.sqlite');
  const empty = await createDashboard({ clock: systemClock(), dataFolder: folder });
  for (const controllerId of BATHS) await empty.pair(controllerId, `Bath ${controllerId}`, false, PAIRED_RIG, SECRET);
  await empty.close();
  const beganMs = performance.now();
  const endMs = Math.floor(Date.now() / DAY_MS) * DAY_MS;
  const year = loadYear({ file, controllerIds: BATHS, days: DAYS, rawDays: RAW_DAYS, endMs });
  const loadSeconds = (performance.now() - beganMs) / 1000;
  const program = await startYearProgram(folder);
  const openMs: number[] = [];
  const zoomMs: number[] = [];
  const waitMs: number[] = [];
  let keptSeconds: number;
  try {
    const writers = [];
    for (const controllerId of BATHS)
      writers.push(await writingController({ port: program.mqttPort, controllerId, secret: SECRET, year, incarnation: MEMORY_OF_YEAR, lateMs: LATE_MS })); // prettier-ignore
    for (let index = 0; index < OPENINGS; index++)
      openMs.push(await timed(program, seriesPath(bathAt(index), year.beginMs, year.endMs), (count) => count > 1000));
    const random = drawn(1);
    for (let index = 0; index < ZOOMS; index++)
      zoomMs.push(await timed(program, zoomPath(year, index, random), (count) => count > 0));
    await crowd(program, year);
    keptSeconds = await keptMeanwhile(program);
    for (const writer of writers) {
      await writer.stop();
      waitMs.push(...writer.waits);
    }
  } finally {
    await program.end();
  }
  return {
    openMs: inOrder(openMs),
    zoomMs: inOrder(zoomMs),
    waitMs: inOrder(waitMs),
    fileBytes: statSync(file).size,
    inexact: inexactMinutes(file, year.endMs - COMPARED_DAYS * DAY_MS),
    note: `${String(year.rawRecords)} records loaded in ${loadSeconds.toFixed(0)} s, checked and backed up in ${keptSeconds.toFixed(0)} s`,
  };
}

/** One year serves all of them. */
let measured: Promise<Year> | undefined;
const theYear = (): Promise<Year> => (measured ??= measure());
const inOrder = (values: readonly number[]): readonly number[] => [...values].sort((one, other) => one - other);
function quantile(ordered: readonly number[], share: number): number {
  return ordered[Math.min(ordered.length - 1, Math.ceil(share * ordered.length) - 1)]!;
}
function spread(ordered: readonly number[]): string {
  const at = (share: number): string => quantile(ordered, share).toFixed(0);
  return `${String(ordered.length)} of them: median ${at(0.5)} ms, 95 % ${at(0.95)} ms, most ${at(1)} ms`;
}

function row(name: string, unit: string, bound: number, of: (year: Year) => Measured): Benchmark {
  return { name, unit, bound, run: async () => of(await theYear()) };
}

export const yearBenchmarks: readonly Benchmark[] = [
  row('year-open-p95-ms', 'ms', 300, ({ openMs }) => ({ value: quantile(openMs, 0.95), note: spread(openMs) })),
  row('year-zoom-p95-ms', 'ms', 300, ({ zoomMs }) => ({ value: quantile(zoomMs, 0.95), note: spread(zoomMs) })),
  row('year-longest-acknowledgement-ms', 'ms', 500, ({ waitMs }) => ({ value: quantile(waitMs, 1), note: spread(waitMs) })), // prettier-ignore
  row('year-file-megabytes', 'MB', 2000, ({ fileBytes, note }) => ({ value: fileBytes / 1e6, note })),
  row('year-inexact-minutes', 'minutes', 0, ({ inexact, note }) => ({ value: inexact, note })),
];
