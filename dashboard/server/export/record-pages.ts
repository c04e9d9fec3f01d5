/*
 * Where the records of a run lie: page by page in the order of their numbers, each with the time between whose records it is found, so that a week is not searched
 * through for each page. Asked in the thread that reads (questions.ts), since all of the run is looked at once; it writes nothing.
 */
import type Database from 'better-sqlite3';
import { isImported } from '@bathkeeper/shared-core/messages';
import type { RunName } from './stored-run.js';

export const PAGE_ROWS = 1000;

export interface RecordPages {
  readonly place: { readonly controller: number; readonly memory: number; readonly beforeMs: number };
  readonly count: number;
  readonly seconds: number;
  /** That were logged, whether their records are still there or not. */
  readonly loggedSeconds: number;
  readonly pages: readonly RecordPage[];
}
export interface RecordPage {
  /** The number of its last record. */
  readonly last: number;
  readonly fromMs: number;
  readonly toMs: number;
}

/** By its ten minutes, which stay for ever. */
interface Span {
  readonly controller: number;
  readonly memory: number;
  readonly from: number;
  readonly to: number;
  readonly seconds: number;
}

const TEN_MINUTES_MS = 600_000;

/**
 * A bath that stands idle counts its seconds under its last run: a file goes ten to twenty minutes beyond the end, in which the bath can be seen to stand. An
 * imported run leaves as it came.
 */
export function fileEndsBeforeMs(database: Database.Database, { controllerId, incarnation, run }: RunName): number {
  const endedAtMs = database
    .prepare<[string, number, number], number | null>(
      'SELECT ended_at_ms FROM runs WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)',
    )
    .pluck()
    .get(controllerId, incarnation, run);
  if (isImported(controllerId) || endedAtMs === undefined || endedAtMs === null) return Number.MAX_SAFE_INTEGER;
  return (Math.floor(endedAtMs / TEN_MINUTES_MS) + 2) * TEN_MINUTES_MS;
}

/** A record lies in the ten minutes in which it begins. */
export const BEGINS_BEFORE = 'taken_at_ms - (span - 1) * 1000 < CAST(:beforeMs AS INTEGER)';

export function recordPages(database: Database.Database, name: RunName): RecordPages {
  const { controllerId, incarnation, run } = name;
  const beforeMs = fileEndsBeforeMs(database, name);
  const span = database
    .prepare<[number, number, string, number], Span>(
      `SELECT m.controller, m.memory, coalesce(min(t.ten_minute) * 600000, 0) AS "from",
         coalesce(max((t.ten_minute + 1) * 600000 + t.seconds * 1000), -1) AS "to", coalesce(sum(t.seconds), 0) AS seconds
       FROM memories m LEFT JOIN ten_minutes t ON t.controller = m.controller AND t.memory = m.memory AND t.run = ? AND t.ten_minute < CAST(? AS INTEGER) / 600000
       WHERE m.controller_id = ? AND m.incarnation = ? GROUP BY m.memory`,
    )
    .get(run, beforeMs, controllerId, incarnation);
  if (span === undefined)
    return { place: { controller: 0, memory: 0, beforeMs }, count: 0, seconds: 0, loggedSeconds: 0, pages: [] };
  const { controller, memory, from, to } = span;
  const pages = database
    .prepare<[object], RecordPage & { readonly count: number; readonly seconds: number }>(
      `SELECT max(first) AS last, min(taken_at_ms) AS fromMs, max(taken_at_ms) AS toMs, count(*) AS count, sum(span) AS seconds
       FROM (SELECT first, taken_at_ms, span, (row_number() OVER (ORDER BY first) - 1) / ${String(PAGE_ROWS)} AS page
         FROM raw_records WHERE controller = :controller AND taken_at_ms BETWEEN :from AND :to AND memory = :memory AND run = :run AND ${BEGINS_BEFORE})
       GROUP BY page ORDER BY page`,
    )
    .all({ controller, memory, from, to, run, beforeMs });
  const sum = (of: 'count' | 'seconds'): number => pages.reduce((total, page) => total + page[of], 0);
  return { place: { controller, memory, beforeMs }, count: sum('count'), seconds: sum('seconds'), loggedSeconds: span.seconds, pages }; // prettier-ignore
}
