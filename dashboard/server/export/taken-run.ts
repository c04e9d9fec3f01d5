/*
 * A run as it is read from a file, row by row, in whatever order the format brings it: its head, its tables in the order of their numbers, as many rows as the
 * head says. Filled by the three readers; keeps no row itself.
 */
import { z } from 'zod';
import { faultWords } from '../http/fault-words.js';
import type { NumbersRow, RunTable, StoredRow } from './run-columns.js';
import { readHeader, RUN_FORMAT, RUN_FORMAT_VERSION, type RunHeader } from './run-header.js';
import { countOfTable, numberHeading, runTables, type TableName, toldTables } from './run-tables.js';
import { type RowReader, rowReader } from './read-row.js';
import { ROWS_MAX } from './run-bounds.js';
import { shownCell, UnreadableRun } from './unreadable-run.js';

/** Where rows go, and what only all of them tell. */
export interface KeptRows {
  /** `place`: where in the file it stands. */
  row(table: TableName, row: StoredRow, place: string): void;
  /** A row that names an alarm which the file does not hold; their tables may come in any order. */
  lostAlarm(): { readonly place: string; readonly heading: string; readonly number: number } | undefined;
}

export interface TakenRun {
  head(value: unknown, place: string): void;
  headings(table: RunTable, names: readonly unknown[], place: string): void;
  row(table: RunTable, cells: readonly unknown[], place: string): void;
  /** The head, when everything came that it announces. */
  whole(): RunHeader;
}

export function takenRun(kept: KeptRows): TakenRun {
  let header: RunHeader | undefined;
  let isFirstVersion = false;
  const read: { -readonly [T in TableName]?: RowReader } = {};
  const counts = { records: 0, events: 0, alarms: 0, alarmJournal: 0, entries: 0 };
  const through = { ...counts };
  return {
    head: (value, place) => {
      header = headOf(value, place);
      isFirstVersion = (value as { formatVersion?: unknown }).formatVersion === 1;
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
      const heading = numberHeading(table);
      const { [heading]: number = 0, secondsCovered = 1 } = row as NumbersRow;
      if (number <= through[table.name])
        throw new UnreadableRun(
          place,
          `${heading}: expected more than ${String(through[table.name])}, which was there before, got ${String(number)}.`,
        );
      through[table.name] = number + secondsCovered - 1;
      if (++counts[table.name] > ROWS_MAX[table.name])
        throw new UnreadableRun(place, `expected at most ${String(ROWS_MAX[table.name])} rows of ${table.name} in a run.`); // prettier-ignore
      kept.row(table.name, row, place);
    },
    whole: () => {
      if (header === undefined)
        throw new UnreadableRun(
          'The file',
          'the head of the run is missing. Expected a run as this dashboard exports it.',
        );
      for (const { name } of runTables) {
        const due = header[countOfTable[name]];
        // A file of version 1 has no tables of what was told, and its head counts none.
        if (read[name] === undefined && (due > 0 || !isLeftOut(name)))
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
      const lost = kept.lostAlarm();
      if (lost !== undefined)
        throw new UnreadableRun(lost.place, `${lost.heading}: expected the number of an alarm in the table alarms, got ${String(lost.number)}.`); // prettier-ignore
      return header;
    },
  };

  function isLeftOut(name: TableName): boolean {
    return isFirstVersion && toldTables.some((table) => table.name === name);
  }
}

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
  const header = readHeader(value);
  if (!(header instanceof z.ZodError)) return header;
  throw new UnreadableRun(place, faultWords(header, value, 'the head of the run')[0]!);
}
