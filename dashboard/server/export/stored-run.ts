/*
 * One run as it lies in the store, page by page, so that a night of any length leaves in little memory and the ingest writes between two pages.
 * Asked by the exports; it writes nothing. It knows the tables, with record-pages.ts, stored-told.ts and what keeps an import.
 */
import type { Store } from '../store/store.js';
import { breath } from './breath.js';
import { BEGINS_BEFORE, PAGE_ROWS, type RecordPages, recordPages } from './record-pages.js';
import type { NumbersRow, StoredRow } from './run-columns.js';
import { ofThisVersion, RUN_FORMAT, RUN_FORMAT_VERSION, type RunHeader } from './run-header.js';
import type { TableName } from './run-tables.js';
import { storedTold } from './stored-told.js';

export interface RunName {
  readonly controllerId: string;
  readonly incarnation: number;
  readonly run: number;
}

/** A run that is told page by page: rows that come in while it is read are left for the next time. */
export interface StoredRun {
  readonly header: RunHeader;
  /** false: of some of its seconds only the sums are kept, since raw records go by their age. */
  readonly isWhole: boolean;
  pages(table: TableName): AsyncGenerator<readonly StoredRow[]>;
}

/** What the controller itself told. */
export type LoggedName = 'records' | 'events';

/** Heading of the export → column of the table `records`, of the table `events`; the first is the row's number. */
export const storedColumns: Readonly<Record<LoggedName, Readonly<Record<string, string>>>> = {
  records: {
    firstSequence: 'first',
    secondsCovered: 'span',
    boot: 'boot',
    uptimeTenthsOfSecond: 'uptime_tenths',
    takenAtMs: 'taken_at_ms',
    phase: 'phase',
    conditions1To32: 'conditions',
    conditions33To64: 'conditions_high',
    chargeMillicoulombs: 'charge_millicoulombs',
    permittedCurrentSumCentiampereSeconds: 'permitted_sum',
    electricReadingsSeconds: 'electric_count',
    cathodeCurrentSumCentiampereSeconds: 'current_sum',
    cathodeCurrentMinCentiamperes: 'current_min',
    cathodeCurrentMaxCentiamperes: 'current_max',
    terminalVoltageSumMillivoltSeconds: 'voltage_sum',
    temperatureReadingsSeconds: 'temperature_count',
    bathTemperatureSumCentidegreeSeconds: 'temperature_sum',
    rotationPulses: 'pulses',
  },
  events: {
    sequence: 'sequence',
    boot: 'boot',
    uptimeTenthsOfSecond: 'uptime_tenths',
    takenAtMs: 'taken_at_ms',
    kind: 'kind',
    code: 'code',
    a: 'a',
    b: 'b',
  },
};

interface RunRow {
  readonly recipe_id: number;
  readonly started_at_ms: number;
  readonly ended_at_ms: number | null;
  readonly ended_code: number | null;
  readonly charge_millicoulombs: number;
}

/** undefined: the logbook holds no such run. `records`: where they lie; the route has that read in a thread, since a run may be long. */
export function storedRun(
  store: Store,
  name: RunName,
  nowMs: number,
  records = recordPages(store.database, name),
): StoredRun | undefined {
  const { database } = store;
  const { controllerId, incarnation, run } = name;
  const row = database
    .prepare<[string, number, number], RunRow>(
      `SELECT * FROM runs r WHERE controller_id = ? AND incarnation = ? AND run = ? AND NOT EXISTS (SELECT 1 FROM deleted_runs d
         WHERE d.controller_id = r.controller_id AND d.incarnation = r.incarnation AND d.run = r.run)`,
    )
    .get(controllerId, incarnation, run);
  if (row === undefined) return undefined;
  const { beforeMs } = records.place;
  const events = eventExtent(store, name, beforeMs);
  const told = storedTold(store, name, { fromMs: row.started_at_ms, toMs: lastedUntil(store, name, row, nowMs) });
  const counts = {
    recordCount: records.count,
    eventCount: events.count,
    alarmCount: told.alarms.length,
    alarmJournalCount: told.alarmJournal.length,
    entryCount: told.entries.length,
  };
  // An imported run leaves as it came: under the name that its controller gave it.
  const imported = database
    .prepare<[string], { header: string }>('SELECT header FROM imported_runs WHERE controller_id = ?')
    .get(controllerId);
  const header: RunHeader =
    imported !== undefined
      ? { ...ofThisVersion(JSON.parse(imported.header) as RunHeader), writtenAtMs: nowMs, ...counts }
      : {
          format: RUN_FORMAT,
          formatVersion: RUN_FORMAT_VERSION,
          writtenAtMs: nowMs,
          run: {
            controllerId,
            ...bathOf(store, controllerId),
            incarnation,
            run,
            startedAtMs: row.started_at_ms,
            endedAtMs: row.ended_at_ms,
            endedCode: row.ended_code,
            chargeMillicoulombs: row.charge_millicoulombs,
          },
          recipe: recipeOf(store, row.recipe_id),
          ...counts,
        };

  async function* pages(table: TableName): AsyncGenerator<readonly StoredRow[]> {
    if (table === 'records') yield* pagesOfRecords(store, records, run);
    else if (table === 'events') yield* pagesOfEvents(store, { ...name, beforeMs }, events.last);
    else
      for (let from = 0; from < told[table].length; from += PAGE_ROWS) yield told[table].slice(from, from + PAGE_ROWS);
  }
  return { header, isWhole: records.seconds >= records.loggedSeconds, pages };
}

const selected = (table: LoggedName): string =>
  Object.entries(storedColumns[table])
    .map(([heading, column]) => `${column} AS ${heading}`)
    .join(', ');

async function* pagesOfRecords(
  { database }: Store,
  { place, pages }: RecordPages,
  run: number,
): AsyncGenerator<readonly NumbersRow[]> {
  const page = database.prepare<[object], NumbersRow>(
    `SELECT ${selected('records')} FROM raw_records WHERE controller = :controller AND taken_at_ms BETWEEN :fromMs AND :toMs
       AND memory = :memory AND run = :run AND ${BEGINS_BEFORE} AND first > :after AND first <= :last ORDER BY first`,
  );
  let after = 0;
  for (const one of pages) {
    yield page.all({ ...place, ...one, run, after });
    after = one.last;
    await breath();
  }
}

async function* pagesOfEvents(
  { database }: Store,
  name: RunName & { beforeMs: number },
  last: number,
): AsyncGenerator<readonly NumbersRow[]> {
  const page = database.prepare<[object], NumbersRow>(
    `SELECT ${selected('events')} FROM events WHERE controller_id = :controllerId AND incarnation = :incarnation AND run = :run
       AND taken_at_ms < CAST(:beforeMs AS INTEGER) AND sequence > :after AND sequence <= :last ORDER BY sequence LIMIT ${String(PAGE_ROWS)}`,
  );
  for (let after = 0; ;) {
    const rows = page.all({ ...name, after, last });
    if (rows.length > 0) yield rows;
    if (rows.length < PAGE_ROWS) return;
    after = rows.at(-1)!.sequence!;
    await breath();
  }
}

/** As the logbook has it: a run whose end nobody heard lasted until the next one of its controller at most. */
function lastedUntil({ database }: Store, { controllerId }: RunName, row: RunRow, nowMs: number): number {
  const next = database
    .prepare<[string, number], number | null>(
      'SELECT min(started_at_ms) FROM runs WHERE controller_id = ? AND started_at_ms > CAST(? AS INTEGER)',
    )
    .pluck();
  return row.ended_at_ms ?? next.get(controllerId, row.started_at_ms) ?? nowMs;
}

interface Extent {
  readonly last: number;
  readonly count: number;
}

function eventExtent({ database }: Store, { controllerId, incarnation, run }: RunName, beforeMs: number): Extent {
  return database
    .prepare<[string, number, number, number], Extent>(
      'SELECT coalesce(max(sequence), 0) AS last, count(*) AS count FROM events WHERE controller_id = ? AND run = ? AND incarnation = ? AND taken_at_ms < CAST(? AS INTEGER)',
    )
    .get(controllerId, run, incarnation, beforeMs)!;
}

function bathOf({ database, setting }: Store, controllerId: string): { bathName: string | null; isSimulated: boolean } {
  const bath = database
    .prepare<[string], { bath_name: string; is_simulated: number }>(
      'SELECT bath_name, is_simulated FROM controllers WHERE controller_id = ?',
    )
    .get(controllerId);
  // A virtual bath that has gone has left its mark.
  return {
    bathName: bath?.bath_name ?? null,
    isSimulated: bath === undefined ? setting(`simulated:${controllerId}`) !== undefined : bath.is_simulated === 1,
  };
}

function recipeOf({ database }: Store, recipeId: number): RunHeader['recipe'] {
  const recipe = database
    .prepare<[number], { made_at_ms: number; view: string; row: string }>('SELECT * FROM recipes WHERE recipe_id = ?')
    .get(recipeId);
  if (recipe === undefined) return null;
  const { made_at_ms: madeAtMs, view, row } = recipe;
  return {
    recipeId,
    madeAtMs,
    view: JSON.parse(view) as NonNullable<RunHeader['recipe']>['view'],
    row: JSON.parse(row) as number[],
  };
}
