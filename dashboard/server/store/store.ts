/*
 * The store: one SQLite file, WAL with synchronous FULL, so that what was acknowledged survives a power cut.
 * Opened once by the composition root; every other room asks its small functions. It judges nothing and sends nothing.
 */
import Database from 'better-sqlite3';
import { chmodSync, mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { EventColumn, RecordColumn } from '@bathkeeper/shared-core/messages';
import { OWNER_ONLY } from '../settings/owner-file.js';
import { openLoggedRecords, type Row, type TimedRecord, wholes } from './logged-records.js';
import { migrate } from './schema.js';
import { checkStoreFile } from './store-file.js';

export type { Row };

/** In the folder of the data. */
export const STORE_FILE = 'bathkeeper.sqlite';

export interface FreshEvent {
  readonly row: Row;
  readonly takenAtMs: number;
  readonly incarnation: number;
}

export interface TakenBatch {
  readonly recordsThrough: number;
  readonly eventsThrough: number;
  /** Events that were new, in order, with their time on the dashboard's clock. */
  readonly freshEvents: readonly FreshEvent[];
  /** Rows whose numbers cannot be believed: neither stored nor acknowledged. */
  readonly disbelieved: readonly Row[];
}

export interface Store {
  readonly database: Database.Database;
  /** Runs all of it in one transaction. */
  together<T>(work: () => T): T;
  /**
   * Told whether what was written so far is kept, once the outermost `together` has ended: a full disk mostly fails there, and not where a row is
   * written. Outside of one: at once.
   */
  whenSettled(told: (isKept: boolean) => void): void;
  setting(name: string): string | undefined;
  setSetting(name: string, value: string): void;
  /** Stores what is new of an outbox message, counts what came twice or is missing, and says what may be acknowledged. */
  takeOutbox(batch: OutboxBatch): TakenBatch;
  close(): void;
}

export interface OutboxBatch {
  readonly controllerId: string;
  readonly incarnation: number;
  readonly boot: number;
  readonly uptimeTenths: number;
  readonly receivedAtMs: number;
  readonly records: readonly Row[];
  readonly events: readonly Row[];
  /** Numbers of rows that cannot be stored, inclusive: they are acknowledged all the same, or they would block the queue. */
  readonly refusedRecords?: readonly SequenceRange[];
  readonly refusedEvents?: readonly SequenceRange[];
}

export interface SequenceRange {
  readonly first: number;
  readonly last: number;
}

/**
 * How far a number may lie beyond the last one known and still be believed: 90 days of records, one a second. A number beyond
 * that comes from a damaged row; to follow it would acknowledge, and so erase, everything that the controller still holds.
 */
export const SEQUENCE_JUMP_MAX = 90 * 86_400;

/**
 * Throws DamagedStore where the file is none, see store-file.ts; nothing was changed then. `begins` is told before an older store is brought to the
 * schema of today, which can take minutes.
 */
export function openStore(
  file: string,
  begins: (fromSchema: number, toSchema: number) => void = () => undefined,
): Store {
  if (file !== ':memory:') {
    mkdirSync(dirname(file), { recursive: true, mode: 0o700 });
    checkStoreFile(file);
  }
  const database = new Database(file);
  // Mail addresses and the hash of the passphrase lie in it, and the folder may be one that others can read. SQLite gives its log the same mode.
  if (file !== ':memory:') chmodSync(file, OWNER_ONLY);
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = FULL');
  database.pragma('busy_timeout = 5000');
  migrate(database, begins);

  const readSetting = database.prepare<[string], { value: string }>('SELECT value FROM settings WHERE name = ?');
  const writeSetting = database.prepare(
    'INSERT INTO settings (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
  );
  const readBoot = database.prepare<[string, number, number], { at: number }>(
    'SELECT epoch_at_boot_ms AS at FROM boots WHERE controller_id = ? AND incarnation = ? AND boot = ?',
  );
  const writeBoot = database.prepare(
    `INSERT INTO boots VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))
     ON CONFLICT DO UPDATE SET epoch_at_boot_ms = excluded.epoch_at_boot_ms`,
  );
  const nextBoot = database.prepare<[string, number, number], { at: number; boot: number }>(
    `SELECT epoch_at_boot_ms AS at, boot FROM boots WHERE controller_id = ? AND incarnation = ? AND boot > ? ORDER BY boot LIMIT 1`,
  );
  const readQueue = database.prepare<[string, number], { r: number; e: number }>(
    'SELECT records_through AS r, events_through AS e FROM queues WHERE controller_id = ? AND incarnation = ?',
  );
  const writeQueue = database.prepare(
    `INSERT INTO queues VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER))
     ON CONFLICT DO UPDATE SET records_through = excluded.records_through, events_through = excluded.events_through,
       records_doubled = records_doubled + excluded.records_doubled, records_missing = records_missing + excluded.records_missing,
       records_stored = records_stored + excluded.records_stored`,
  );
  const addRecords = openLoggedRecords(database);
  const addEvent = database.prepare(`INSERT OR IGNORE INTO events VALUES (?, ${wholes(10)})`);

  /** When this boot began, as near as messages tell: the smallest difference of arrival and uptime, so a slow network never shifts it. */
  const bootAtMs = (batch: OutboxBatch): number => {
    const seen = batch.receivedAtMs - batch.uptimeTenths * 100;
    const known = readBoot.get(batch.controllerId, batch.incarnation, batch.boot)?.at;
    // A clock that was set back makes everything arrive early: then the newer view counts.
    if (known !== undefined && known <= seen && seen - known < 60_000) return known;
    if (known !== seen) writeBoot.run(batch.controllerId, batch.incarnation, batch.boot, seen);
    return seen;
  };
  const takenAtMs = (batch: OutboxBatch, boot: number, uptimeTenths: number, currentBootAtMs: number): number => {
    if (boot === batch.boot) return currentBootAtMs + uptimeTenths * 100;
    const known = readBoot.get(batch.controllerId, batch.incarnation, boot)?.at;
    if (known !== undefined) return known + uptimeTenths * 100;
    // A boot that was never heard live: its end is taken as the start of the next one that was.
    const next = nextBoot.get(batch.controllerId, batch.incarnation, boot)?.at ?? currentBootAtMs;
    const estimated = next - uptimeTenths * 100 - 5000;
    writeBoot.run(batch.controllerId, batch.incarnation, boot, estimated);
    return estimated + uptimeTenths * 100;
  };

  const takeOutbox = database.transaction((batch: OutboxBatch): TakenBatch => {
    const { controllerId, incarnation } = batch;
    const before = readQueue.get(controllerId, incarnation);
    let recordsThrough = before?.r ?? 0;
    let eventsThrough = before?.e ?? 0;
    const currentBootAtMs = bootAtMs(batch);
    let stored = 0;
    let doubled = 0;
    let missing = 0;
    const disbelieved: Row[] = [];
    const fresh: TimedRecord[] = [];
    const isBelieved = (first: number, through: number): boolean =>
      before === undefined || first - through <= SEQUENCE_JUMP_MAX;
    for (const row of batch.records) {
      const first = row[RecordColumn.first]!;
      const span = row[RecordColumn.span]!;
      const last = first + span - 1;
      if (last <= recordsThrough) {
        doubled += span;
        continue;
      }
      if (first <= recordsThrough) {
        // Partly known: storing it would count a second twice. It cannot come from a sound controller.
        doubled += recordsThrough - first + 1;
        missing += last - recordsThrough;
        recordsThrough = last;
        continue;
      }
      if (!isBelieved(first, recordsThrough)) {
        disbelieved.push(row);
        continue;
      }
      if (recordsThrough > 0 || before) missing += first - recordsThrough - 1;
      const at = takenAtMs(batch, row[RecordColumn.boot]!, row[RecordColumn.uptime]!, currentBootAtMs);
      fresh.push({ row, takenAtMs: at });
      recordsThrough = last;
      stored += span;
    }
    addRecords(controllerId, incarnation, fresh);
    const freshEvents: FreshEvent[] = [];
    for (const row of batch.events) {
      const sequence = row[EventColumn.sequence]!;
      if (sequence <= eventsThrough) continue;
      if (!isBelieved(sequence, eventsThrough)) {
        disbelieved.push(row);
        continue;
      }
      const at = takenAtMs(batch, row[EventColumn.boot]!, row[EventColumn.uptime]!, currentBootAtMs);
      addEvent.run(
        controllerId, incarnation, sequence, row[EventColumn.boot], row[EventColumn.uptime], at, row[EventColumn.run],
        row[EventColumn.kind], row[EventColumn.code], row[EventColumn.a], row[EventColumn.b],
      ); // prettier-ignore
      eventsThrough = sequence;
      freshEvents.push({ row, takenAtMs: at, incarnation });
    }
    for (const { first, last } of batch.refusedRecords ?? []) {
      if (last <= recordsThrough || !isBelieved(first, recordsThrough)) continue;
      missing += last - recordsThrough;
      recordsThrough = last;
    }
    for (const { first, last } of batch.refusedEvents ?? []) {
      if (last > eventsThrough && isBelieved(first, eventsThrough)) eventsThrough = last;
    }
    writeQueue.run(controllerId, incarnation, recordsThrough, eventsThrough, doubled, missing, stored);
    return { recordsThrough, eventsThrough, freshEvents, disbelieved };
  });

  let waiting: ((isKept: boolean) => void)[] = [];
  const together = <T>(work: () => T): T => {
    if (database.inTransaction) return database.transaction(work)();
    let isKept = false;
    try {
      const result = database.transaction(work)();
      isKept = true;
      return result;
    } finally {
      const told = waiting;
      waiting = [];
      for (const one of told) one(isKept);
    }
  };

  return {
    database,
    together,
    whenSettled: (told) => {
      if (database.inTransaction) waiting.push(told);
      else told(true);
    },
    setting: (name) => readSetting.get(name)?.value,
    setSetting: (name, value) => {
      writeSetting.run(name, value);
    },
    takeOutbox: (batch) => takeOutbox(batch),
    close: () => {
      database.close();
    },
  };
}
