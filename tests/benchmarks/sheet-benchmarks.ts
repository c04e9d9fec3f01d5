/*
 * Benchmarks of the run sheet: the PDF of a night of twelve hours, each second of which is in the store, asked of the program as `npm start` runs it, while a
 * controller writes each second.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createDashboard, PAIRED_RIG, systemClock } from '@bathkeeper/dashboard';
import { Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { eventRow, recordRow } from '../dashboard/server/quiet-bath.js';
import type { Benchmark } from './benchmark.js';
import { startYearProgram, writingController } from './year-program.js';

const CONTROLLER = 'north-bench';
const WRITER = 'south-bench';
const SECRET = 'c0'.repeat(32);
const SECONDS = 12 * 3600;
const MEMORY = 7;
const SHEETS = 12;
const ROWS_AT_ONCE = 500;
const LATE_MS = 10_000;

interface Sheets {
  /** In order of length. */
  readonly tookMs: readonly number[];
  readonly waitMs: readonly number[];
  readonly bytes: number;
}

async function storeWithANight(folder: string): Promise<void> {
  const dashboard = await createDashboard({ clock: systemClock(), dataFolder: folder });
  for (const id of [CONTROLLER, WRITER]) await dashboard.pair(id, `Bath ${id}`, false, PAIRED_RIG, SECRET);
  const startedAtMs = Math.floor(Date.now() / 1000) * 1000 - (SECONDS + 3600) * 1000;
  const { store } = dashboard;
  for (let first = 1; first <= SECONDS; first += ROWS_AT_ONCE) {
    const last = Math.min(SECONDS, first + ROWS_AT_ONCE - 1);
    const records = Array.from({ length: last - first + 1 }, (_, index) => {
      const second = first + index;
      return recordRow({ first: second, uptime: 10 * second, run: 1, charge: 19_000 * second, currentMax: 1910 + ((second * 7) % 23) });
    });
    store.takeOutbox({ controllerId: CONTROLLER, incarnation: MEMORY, boot: 1, uptimeTenths: 10 * last, receivedAtMs: startedAtMs + 1000 * last, records, events: [] });
  }
  const event = (sequence: number, second: number, kind: number, code = 0, a = 0): number[] =>
    eventRow({ sequence, uptime: 10 * second, kind, code, a, run: 1 });
  store.takeOutbox({
    controllerId: CONTROLLER, incarnation: MEMORY, boot: 1, uptimeTenths: 10 * SECONDS, receivedAtMs: startedAtMs + 1000 * SECONDS, records: [],
    events: [event(1, 0, EventKind.phaseEntered, Phase.strike), event(2, 600, EventKind.phaseEntered, Phase.plate), event(3, 9000, EventKind.interruption, 0, 90), event(4, SECONDS, EventKind.runEnded, Condition.chargeReached)],
  });
  store.database
    .prepare(
      `INSERT INTO runs (controller_id, run, incarnation, recipe_id, started_at_ms, ended_at_ms, ended_code, charge_millicoulombs)
       VALUES (?, 1, ?, 0, CAST(? AS INTEGER), CAST(? AS INTEGER), ?, CAST(? AS INTEGER))`,
    )
    .run(CONTROLLER, MEMORY, startedAtMs, startedAtMs + 1000 * SECONDS, Condition.chargeReached, 19_000 * SECONDS);
  await dashboard.close();
} // prettier-ignore

async function measure(): Promise<Sheets> {
  const folder = mkdtempSync(join(tmpdir(), 'bathkeeper-sheet-'));
  try {
    await storeWithANight(folder);
    const program = await startYearProgram(folder);
    try {
      const writer = await writingController({ port: program.mqttPort, controllerId: WRITER, secret: SECRET, year: { newest: 0, beginMs: Date.now() - 1000 }, incarnation: MEMORY, lateMs: LATE_MS }); // prettier-ignore
      const tookMs: number[] = [];
      let bytes = 0;
      for (let index = 0; index < SHEETS; index++) {
        const [paper, units] = index % 2 === 0 ? ['a4', 'metric'] : ['letter', 'imperial'];
        const askedMs = performance.now();
        const pdf = await program.fetched(`/api/runs/${CONTROLLER}/${String(MEMORY)}/1/sheet.pdf?paper=${paper}&units=${units}`); // prettier-ignore
        tookMs.push(performance.now() - askedMs);
        if (Buffer.from(pdf).toString('latin1', 0, 5) !== '%PDF-') throw new Error('what came is no PDF');
        bytes = pdf.length;
      }
      await writer.stop();
      const inOrder = (values: readonly number[]): readonly number[] => [...values].sort((one, other) => one - other);
      return { tookMs: inOrder(tookMs), waitMs: inOrder(writer.waits), bytes };
    } finally {
      await program.end();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

let measured: Promise<Sheets> | undefined;
const theSheets = (): Promise<Sheets> => (measured ??= measure());

export const sheetBenchmarks: readonly Benchmark[] = [
  {
    name: 'run-sheet-pdf',
    unit: 'ms',
    bound: 3000,
    run: async () => {
      const { tookMs, bytes } = await theSheets();
      const median = tookMs[Math.floor(tookMs.length / 2)]!;
      return {
        value: tookMs.at(-1)!,
        note: `${String(tookMs.length)} of a run of 12 h: median ${median.toFixed(0)} ms, ${(bytes / 1000).toFixed(0)} kB each`,
      };
    },
  },
  {
    name: 'run-sheet-longest-acknowledgement-ms',
    unit: 'ms',
    bound: 500,
    run: async () => {
      const { waitMs } = await theSheets();
      return { value: waitMs.at(-1) ?? Infinity, note: `${String(waitMs.length)} samples written meanwhile` };
    },
  },
];
