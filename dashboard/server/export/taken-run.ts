/*
 * A run as it is read from a file, row by row, in whatever order the format brings it: its head, its tables in the order of their numbers, as many rows as the
 * head says. Filled by the three readers; keeps no row itself.
 */
import type { z } from 'zod';
import { type RunTable, type StoredRow, type TableName, tables } from './run-columns.js';
import { RUN_FORMAT, RUN_FORMAT_VERSION, type RunHeader, runHeader } from './run-header.js';
import type { numberColumn } from './stored-run.js';
import { type RowReader, rowReader } from './read-row.js';
import { shownCell, UnreadableRun } from './unreadable-run.js';

/** 55 hours at one a second, four times the longest run: all of it enters the store in one step, in which nobody watches. */
export const RECORDS_MAX = 200_000;

export interface TakenRun {
  head(value: unknown, place: string): void;
  headings(table: RunTable, names: readonly unknown[], place: string): void;
  row(table: RunTable, cells: readonly unknown[], place: string): void;
  /** The head, when everything came that it announces. */
  whole(): RunHeader;
}

export function takenRun(keep: (table: TableName, row: StoredRow) => void): TakenRun {
  let header: RunHeader | undefined;
  const read: { -readonly [T in TableName]?: RowReader } = {};
  const counts = { records: 0, events: 0 };
  const through = { records: 0, events: 0 };
  return {
    head: (value, place) => {
      header = headOf(value, place);
    },
    headings: (table, names, place) => {
      read[table.name] = rowReader(table, names, place);
    },
    row: (table, cells, place) => {
      const readRow = read[table.name];
      if (readRow === undefined)
        throw new UnreadableRun(
          place,
          `a row of ${table.name} stands before the columns of that table. Expected the columns first.`,
        );
      const row = readRow(cells, place);
      const number = row[numberHeading[table.name]]!;
      if (number <= through[table.name])
        throw new UnreadableRun(
          place,
          `${numberHeading[table.name]}: expected more than ${String(through[table.name])}, which was there before, got ${String(number)}.`,
        );
      through[table.name] = number + (row.secondsCovered ?? 1) - 1;
      if (++counts[table.name] > RECORDS_MAX)
        throw new UnreadableRun(place, `expected at most ${String(RECORDS_MAX)} rows of a run.`);
      keep(table.name, row);
    },
    whole: () => {
      if (header === undefined)
        throw new UnreadableRun(
          'The file',
          'the head of the run is missing. Expected a run as this dashboard exports it.',
        );
      for (const { name } of Object.values(tables)) {
        const due = name === 'records' ? header.recordCount : header.eventCount;
        if (read[name] === undefined)
          throw new UnreadableRun(
            'The file',
            `the table ${name} is missing. Expected a run as this dashboard exports it.`,
          );
        if (counts[name] !== due)
          throw new UnreadableRun(
            `The table ${name}`,
            `it ends after ${String(counts[name])} rows, and its head says ${String(due)}: rows were lost or added.`,
          );
      }
      return header;
    },
  };
}

const numberHeading = { records: 'firstSequence', events: 'sequence' } as const satisfies Record<
  keyof typeof numberColumn,
  string
>;

function headOf(value: unknown, place: string): RunHeader {
  const told = value as { format?: unknown; formatVersion?: unknown } | null;
  if (told?.format !== RUN_FORMAT)
    throw new UnreadableRun(
      place,
      `format: expected "${RUN_FORMAT}", got ${shownCell(told?.format)}: this is no run of this dashboard.`,
    );
  if (typeof told.formatVersion === 'number' && told.formatVersion > RUN_FORMAT_VERSION)
    throw new UnreadableRun(
      place,
      `formatVersion ${String(told.formatVersion)} was written by a newer Bathkeeper; this one reads up to ${String(RUN_FORMAT_VERSION)}.`,
    );
  const result = runHeader.safeParse(value);
  if (result.success) return result.data;
  throw new UnreadableRun(place, firstIssue(result.error));
}

function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0]!;
  return `${issue.path.join('.') || 'the head of the run'}: ${issue.message}.`;
}
