/* Runs for the tests of export and import: a store with a drawn run in it, its file in each format, and a store to take it. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { EventKind } from '@bathkeeper/shared-core/control';
import type { ImportedRun } from '@bathkeeper/shared-core/messages';
import type { PhotographBody } from '@bathkeeper/shared-core/trade';
import type { KnownBefore } from '../../../../dashboard/server/export/imported-runs.js';
import { openImports } from '../../../../dashboard/server/export/imports.js';
import { setAside } from '../../../../dashboard/server/export/set-aside.js';
import { type RunName, type StoredRun, storedRun } from '../../../../dashboard/server/export/stored-run.js';
import { writtenCsv } from '../../../../dashboard/server/export/written-csv.js';
import { writtenJson } from '../../../../dashboard/server/export/written-json.js';
import { writtenParquet } from '../../../../dashboard/server/export/written-parquet.js';
import { openRunEntries } from '../../../../dashboard/server/logbook/run-entries.js';
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

/** Words as somebody might write or paste them. No form lets a byte order mark stand before them, and JSON readers drop one. */
const drawnWords = fc.oneof(
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }).filter((words) => !words.startsWith('\ufeff')),
  fc.constantFrom('=1+1', "'tis", '-5 °C', '@home', '+', 'one, “two”, "three"\r\nfour', '\n', '\r', '\t', ' ', '<script>x()</script>', '0', 'null'),
); // prettier-ignore
const orNull = <T>(drawn: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(drawn, { nil: null });
const drawnMoment = fc.integer({ min: 0, max: 40_000 }).map((second) => EVENING_MS + second);

export const drawnTold = fc.record({
  alarms: fc.array(
    fc.record({
      name: fc.constantFrom('trip', 'rotation-stalled', 'clip-hot'),
      priority: fc.constantFrom('high', 'medium', 'low'),
      title: drawnWords,
      detail: drawnWords,
      raisedAtMs: drawnMoment,
      acknowledged: orNull(fc.record({ atMs: drawnMoment, by: drawnWords })),
      returnedAtMs: orNull(drawnMoment),
      latches: fc.constantFrom(0, 1),
      reason: orNull(drawnWords),
    }),
    { maxLength: 6 },
  ),
  entries: fc.array(
    fc.record({
      who: drawnWords,
      note: fc.oneof(fc.constant(''), drawnWords),
      atMs: drawnMoment,
      body: fc.oneof(
        fc.constant({ kind: 'note' } as const),
        fc.record({
          kind: fc.constant('weighing' as const),
          when: fc.constantFrom('before' as const, 'after' as const),
          grams: fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
          uncertaintyGrams: fc.double({ min: 1e-6, max: 1e4, noNaN: true }),
        }),
        fc.constant<PhotographBody>({ kind: 'photograph', type: 'image/png', widthPixels: 800, heightPixels: 600, byteCount: 9 }),
      ),
      undone: orNull(drawnWords),
    }),
    { maxLength: 6 },
  ),
}); // prettier-ignore
type Told = typeof drawnTold extends fc.Arbitrary<infer T> ? T : never;

/** A trip that stands and that nobody has seen, one that Robin acknowledged, a weighing, a note that was undone, a photograph. */
export const fullTold: Told = {
  alarms: [
    { name: 'rotation-stalled', priority: 'medium', title: 'Rotation stopped', detail: 'No pulse.', raisedAtMs: EVENING_MS + 20_000, acknowledged: { atMs: EVENING_MS + 24_000, by: 'Robin' }, returnedAtMs: EVENING_MS + 26_000, latches: 0, reason: 'on my way' },
    { name: 'trip', priority: 'high', title: 'Tripped', detail: 'Over 150 %.', raisedAtMs: EVENING_MS + 28_000, acknowledged: null, returnedAtMs: null, latches: 1, reason: null },
  ],
  entries: [
    { who: 'Robin', note: '', atMs: EVENING_MS, body: { kind: 'weighing', when: 'before', grams: 812.4, uncertaintyGrams: 0.1 }, undone: null },
    { who: 'Ola', note: '<img src=x onerror=alert(1)>, and "so"\r\non', atMs: EVENING_MS + 9000, body: { kind: 'note' }, undone: 'of another run' },
    { who: 'Ola', note: 'the hooks', atMs: EVENING_MS + 10_000, body: { kind: 'photograph', type: 'image/jpeg', widthPixels: 800, heightPixels: 600, byteCount: 9 }, undone: null },
  ],
}; // prettier-ignore

/** What the dashboard and people told of the run of `tell`. */
export function tellMore(store: Store, { alarms, entries }: Told): void {
  const { database } = store;
  const entryBook = openRunEntries(store);
  const raise = database.prepare(
    `INSERT INTO alarms (controller_id, name, priority, title, detail, check_first, cause_at_ms, raised_at_ms, latches, acknowledged_at_ms,
       acknowledged_by, returned_at_ms, caused_by_alarm_id) VALUES (@controllerId, @name, @priority, @title, @detail, 'Look.',
       CAST(@raisedAtMs - 1000 AS INTEGER), CAST(@raisedAtMs AS INTEGER), CAST(@latches AS INTEGER), CAST(@atMs AS INTEGER), @by,
       CAST(@returnedAtMs AS INTEGER), (SELECT max(alarm_id) FROM alarms))`,
  );
  const change = database.prepare(
    `INSERT INTO alarm_transitions (at_ms, controller_id, name, alarm_id, what, state, who, reason)
     VALUES (CAST(? AS INTEGER), ?, ?, CAST(? AS INTEGER), ?, ?, ?, ?)`,
  );
  for (const { acknowledged, reason, ...alarm } of alarms) {
    const of = {
      ...alarm,
      controllerId: RUN.controllerId,
      atMs: acknowledged?.atMs ?? null,
      by: acknowledged?.by ?? null,
    };
    const id = Number(raise.run(of).lastInsertRowid);
    change.run(alarm.raisedAtMs, RUN.controllerId, alarm.name, id, 'raised', 'unacknowledged', 'bath', null);
    if (acknowledged !== null)
      change.run(
        acknowledged.atMs,
        RUN.controllerId,
        alarm.name,
        id,
        'acknowledged',
        'acknowledged',
        acknowledged.by,
        reason,
      );
  }
  for (const { undone, ...entry } of entries) {
    const { entryId } = entryBook.add(RUN, entry, entry.atMs + 60_000);
    if (undone !== null) entryBook.undo(RUN, entryId, 'Mara', undone, entry.atMs + 90_000);
  }
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
export async function imported(store: Store, folder: string, bytes: Uint8Array): Promise<ImportedRun | KnownBefore> {
  const path = join(folder, 'sent');
  writeFileSync(path, bytes);
  const failed = (what: string, fault: unknown): never => {
    throw new Error(what, { cause: fault });
  };
  // Here in this thread: hundreds of damaged files are read. In one of its own it is read by the tests of the routes.
  const imports = openImports({ store, failed, read: setAside });
  return imports.keep({ path, fileName: 'night.file', importedBy: 'Mara', nowMs: EVENING_MS + 5 });
}

/** Everything of a run that is stored, as the exports see it. */
export async function contentOf(run: StoredRun) {
  const content = {
    records: [] as unknown[],
    events: [] as unknown[],
    alarms: [] as unknown[],
    alarmJournal: [] as unknown[],
    entries: [] as unknown[],
  };
  for (const table of Object.keys(content) as (keyof typeof content)[])
    for await (const page of run.pages(table)) content[table].push(...page);
  return { header: run.header, ...content };
}
