/* Runs for the tests of export and import: a store with a drawn run in it, its file in each format, and a store to take it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { EventKind } from '@bathkeeper/shared-core/control';
import { keepImported } from '../../../../dashboard/server/export/keep-imported.js';
import { type RunName, type StoredRun, storedRun } from '../../../../dashboard/server/export/stored-run.js';
import { writtenCsv } from '../../../../dashboard/server/export/written-csv.js';
import { writtenJson } from '../../../../dashboard/server/export/written-json.js';
import { writtenParquet } from '../../../../dashboard/server/export/written-parquet.js';
import type { Store } from '../../../../dashboard/server/store/store.js';
import { eventRow, INCARNATION, recordRow } from '../quiet-bath.js';

export const EVENING_MS = Date.UTC(2026, 0, 10, 20);
export const RUN: RunName = { controllerId: 'north-bench', incarnation: INCARNATION, run: 1 };

export const writings = { zip: writtenCsv, json: writtenJson, parquet: writtenParquet } as const;
export type Ending = keyof typeof writings;
export const endings = Object.keys(writings) as Ending[];

/** A record within what a controller can tell; `first` follows from those before. */
const drawnRecord = fc
  .record({
    span: fc.oneof({ weight: 4, arbitrary: fc.constant(1) }, fc.integer({ min: 2, max: 64 })),
    gap: fc.oneof({ weight: 4, arbitrary: fc.constant(0) }, fc.integer({ min: 1, max: 900 })),
    phase: fc.integer({ min: 0, max: 9 }),
    conditions: fc.integer({ min: 0, max: 0xffffffff }),
    conditionsHigh: fc.integer({ min: 0, max: 0xffffffff }),
    milliCoulombs: fc.integer({ min: 0, max: 40_000_000_000 }),
    isElectric: fc.boolean(),
    isWarm: fc.boolean(),
    least: fc.integer({ min: -32_768, max: 32_000 }),
    spread: fc.integer({ min: 0, max: 700 }),
    millivolts: fc.integer({ min: -2000, max: 40_000 }),
    centidegrees: fc.integer({ min: -5500, max: 12_500 }),
    pulses: fc.integer({ min: 0, max: 90 }),
  })
  .map(({ gap, isElectric, isWarm, least, spread, millivolts, centidegrees, milliCoulombs, span, ...rest }) => ({
    gap, span, milliCoulombs, ...rest,
    electricCount: isElectric ? span : 0, currentSum: isElectric ? span * (least + (spread >> 1)) : 0,
    currentMin: isElectric ? least : 0, currentMax: isElectric ? least + spread : 0, voltageSum: isElectric ? span * millivolts : 0,
    temperatureCount: isWarm ? span : 0, temperatureSum: isWarm ? span * centidegrees : 0, permittedSum: span * 1920,
  })); // prettier-ignore

const drawnEvent = fc.record({
  kind: fc.integer({ min: 1, max: 19 }),
  code: fc.integer({ min: 0, max: 64 }),
  a: fc.integer({ min: -0x80000000, max: 0x7fffffff }),
  b: fc.integer({ min: -0x80000000, max: 0x7fffffff }),
});

const nightOf = (least: number) =>
  fc.record({
    records: fc.array(drawnRecord, { minLength: least, maxLength: least + 30, size: 'max' }),
    events: fc.array(drawnEvent, { minLength: least, maxLength: least + 12, size: 'max' }),
    isEnded: fc.boolean(),
    hasRecipe: fc.boolean(),
  });
export const drawnNight = nightOf(0);
type Night = typeof drawnNight extends fc.Arbitrary<infer T> ? T : never;
/** The same full night each time. */
export const fullNight: Night = {
  ...fc.sample(nightOf(20), { numRuns: 1, seed: 5 })[0]!,
  isEnded: true,
  hasRecipe: true,
};

/** Puts a run, and one before and after it, into a store as a controller tells them. */
export function tell(store: Store, night: Night): void {
  let first = 0;
  let charge = 0;
  const neighbour = (run: number): number[] => recordRow({ first: ++first, run });
  const records = [neighbour(99)];
  for (const { gap, span, milliCoulombs, ...fields } of night.records) {
    first += 1 + gap;
    charge += milliCoulombs;
    records.push(recordRow({ ...fields, first, span, charge }));
    first += span - 1;
  }
  records.push(neighbour(2));
  store.takeOutbox({
    controllerId: RUN.controllerId, incarnation: INCARNATION, boot: 1, uptimeTenths: 10 * first, receivedAtMs: EVENING_MS + 1000 * first,
    records,
    events: [
      ...night.events.map((fields, index) => eventRow({ ...fields, sequence: index + 1, uptime: 10 * (index + 1) })),
      eventRow({ sequence: night.events.length + 1, run: 2, kind: EventKind.runStarted, uptime: 10 * first }),
    ],
  }); // prettier-ignore
  const { database } = store;
  database
    .prepare(
      `INSERT INTO runs (controller_id, run, incarnation, recipe_id, started_at_ms, ended_at_ms, ended_code, charge_millicoulombs)
       VALUES (?, 1, ?, 3, CAST(? AS INTEGER), CAST(? AS INTEGER), ?, CAST(? AS INTEGER))`,
    )
    .run(RUN.controllerId, INCARNATION, EVENING_MS, night.isEnded ? EVENING_MS + 1000 * first : null, night.isEnded ? 17 : null, charge); // prettier-ignore
  if (night.hasRecipe)
    database
      .prepare('INSERT INTO recipes VALUES (3, ?, CAST(? AS INTEGER), ?, ?)')
      .run(RUN.controllerId, EVENING_MS - 1, '{"recipeId":3,"partName":"fluted bell, “large” <b>"}', '[3,12,1.5]');
}

export function runOf(store: Store, name: RunName = RUN): StoredRun {
  const run = storedRun(store, name, EVENING_MS);
  if (run === undefined) throw new Error('the run is not in the store');
  return run;
}

export async function fileOf(run: StoredRun, ending: Ending): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of writings[ending](run)) parts.push(Buffer.from(part as Uint8Array));
  return Buffer.concat(parts);
}

/** Imports these bytes into a store. Rejects as the import does. */
export async function imported(store: Store, folder: string, bytes: Uint8Array) {
  const path = join(folder, 'sent');
  writeFileSync(path, bytes);
  return keepImported(store, { path, fileName: 'night.file', importedBy: 'Mara' }, EVENING_MS + 5);
}

/** Everything of a run that is stored, as the exports see it. */
export async function contentOf(run: StoredRun) {
  const content = { records: [] as unknown[], events: [] as unknown[] };
  for (const table of ['records', 'events'] as const)
    for await (const page of run.pages(table)) content[table].push(...page);
  return { header: run.header, ...content };
}
