/*
 * Benchmarks of a run of a week, a record a second: taken away as a file and brought into another dashboard, in each format, through the program's own routes, while a controller
 * has its records acknowledged once a second. Some minutes, and 2 GB below the system's folder for temporary files (TMPDIR).
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createDashboard, type Dashboard, PAIRED_RIG, systemClock } from '@bathkeeper/dashboard';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import { tellLong } from '../dashboard/server/export/long-run.js';
import type { Benchmark, Measured } from './benchmark.js';
import { startYearProgram, writingController, type YearProgram } from './year-program.js';

const SECONDS = 7 * 86_400;
const FORMATS = ['zip', 'json', 'parquet'] as const;
const RUN = { controllerId: 'south-bench', incarnation: 3, run: 1 };
const WRITER = 'north-bench';
const SECRET = 'c0'.repeat(32);
const LATE_MS = 30_000;
/** What the computer is busy with besides shows in it. */
const QUIET_MS = 30_000;

interface Week {
  readonly exportWaitMs: number;
  readonly importWaitMs: number;
  readonly importSeconds: number;
  /** Of the whole process: Linux alone tells it. */
  readonly peakMegabytes: number;
  readonly notes: readonly string[];
}

async function pairedFolder(fill = (_store: Dashboard['store']): void => undefined): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-week-'));
  process.once('exit', () => {
    rmSync(folder, { recursive: true, force: true });
  });
  const empty = await createDashboard({ clock: systemClock(), dataFolder: folder });
  await empty.pair(WRITER, 'Bath one', false, PAIRED_RIG, SECRET);
  fill(empty.store);
  await empty.close();
  return folder;
}

/** What it takes while a controller writes each second, and the longest wait of a record for its acknowledgement. */
async function meanwhile(program: YearProgram & { readonly mqttPort: number }, work: () => Promise<void>): Promise<{ seconds: number; waitMs: number }> {
  const year = { newest: 0, beginMs: Date.now() - 60_000 };
  const writer = await writingController({ port: program.mqttPort, controllerId: WRITER, secret: SECRET, year, incarnation: Math.floor(Math.random() * 1e9), lateMs: LATE_MS });
  const beganMs = performance.now();
  await work();
  const seconds = (performance.now() - beganMs) / 1000;
  await writer.stop();
  return { seconds, waitMs: Math.max(...writer.waits) };
} // prettier-ignore

function peakMegabytes(pid: number): number {
  const [, kilobytes] = /VmHWM:\s*(\d+) kB/.exec(readFileSync(`/proc/${String(pid)}/status`, 'utf8')) ?? [];
  return Number(kilobytes) / 1000;
}

async function measure(): Promise<Week> {
  const home = await pairedFolder((store) => {
    tellLong(store, RUN, SECONDS, Date.now() - 30 * 86_400_000);
  });
  const files = new Map<string, Uint8Array>();
  const notes: string[] = [];
  let [exportWaitMs, importWaitMs, importSeconds, peak] = [0, 0, 0, 0];
  const program = await startYearProgram(home);
  try {
    const quiet = await meanwhile(program, () => new Promise((done) => setTimeout(done, QUIET_MS)));
    notes.push(`with nothing beside it the longest wait is ${quiet.waitMs.toFixed(0)} ms`);
    for (const format of FORMATS) {
      const { seconds, waitMs } = await meanwhile(program, async () => {
        files.set(format, await program.fetched(`/api/runs/${RUN.controllerId}/${String(RUN.incarnation)}/1/export.${format}`)); // prettier-ignore
      });
      exportWaitMs = Math.max(exportWaitMs, waitMs);
      notes.push(`${format} of ${(files.get(format)!.length / 1e6).toFixed(0)} MB taken away in ${seconds.toFixed(0)} s, longest wait ${waitMs.toFixed(0)} ms`); // prettier-ignore
    }
  } finally {
    await program.end();
  }
  for (const format of FORMATS) {
    const other = await startYearProgram(await pairedFolder());
    try {
      const { seconds, waitMs } = await meanwhile(other, async () => {
        const body = files.get(format)!;
        const headers = { 'content-type': 'application/octet-stream' };
        const answer = await other.fetched(`/api/run-imports?fileName=week.${format}&importedBy=Mara`, { method: 'POST', headers, body: Buffer.from(body) }); // prettier-ignore
        const { recordCount } = JSON.parse(Buffer.from(answer).toString('utf8')) as ImportedRun;
        if (recordCount !== SECONDS) throw new Error(`${format}: ${String(recordCount)} records came back`);
        await other.get(`/api/runs/imported%3A1/${String(RUN.incarnation)}/1`);
      });
      const megabytes = peakMegabytes(other.pid);
      importWaitMs = Math.max(importWaitMs, waitMs);
      importSeconds = Math.max(importSeconds, seconds);
      peak = Math.max(peak, megabytes);
      notes.push(`${format} brought in and its record opened in ${seconds.toFixed(0)} s, longest wait ${waitMs.toFixed(0)} ms, ${megabytes.toFixed(0)} MB`); // prettier-ignore
    } finally {
      await other.end();
    }
  }
  return { exportWaitMs, importWaitMs, importSeconds, peakMegabytes: peak, notes };
}

let measured: Promise<Week> | undefined;
const theWeek = (): Promise<Week> => (measured ??= measure());

function row(name: string, unit: string, bound: number, of: (week: Week) => Measured): Benchmark {
  return { name, unit, bound, run: async () => of(await theWeek()) };
}

export const importBenchmarks: readonly Benchmark[] = [
  row('import-week-longest-acknowledgement-ms', 'ms', 500, ({ importWaitMs, notes }) => ({ value: importWaitMs, note: notes.join('; ') })), // prettier-ignore
  row('import-week-seconds', 's', 240, ({ importSeconds }) => ({ value: importSeconds })),
  row('import-week-peak-megabytes', 'MB', 1000, ({ peakMegabytes: value }) => ({ value })),
  row('export-week-longest-acknowledgement-ms', 'ms', 500, ({ exportWaitMs: value }) => ({ value })),
];
