/*
 * How much of a run a file may hold: the same for what leaves and what comes, so that whatever is exported can be imported. Asked by export and import; a run
 * beyond it is refused by both in words.
 */
import type { RunHeader } from './run-header.js';
import { countOfTable, runTables, type TableName } from './run-tables.js';

/**
 * Thirty days at one record a second, ten times the longest run that anybody plans; the few tables lie in memory as a whole where a Parquet file is
 * written or read.
 */
export const ROWS_MAX: Readonly<Record<TableName, number>> = {
  records: 2_600_000,
  events: 200_000,
  alarms: 20_000,
  alarmJournal: 100_000,
  entries: 5000,
};

/** What a run has too much of for any file; undefined: nothing. Example: "30000 rows of alarms, and a file holds at most 20000". */
export function beyondFile(header: RunHeader): string | undefined {
  const table = runTables.find(({ name }) => header[countOfTable[name]] > ROWS_MAX[name])?.name;
  return table === undefined
    ? undefined
    : `${String(header[countOfTable[table]])} rows of ${table}, and a file holds at most ${String(ROWS_MAX[table])}`;
}
