/* Every table of an exported run, in the order in which a file holds them, and under which name the head counts its rows. */
import { eventTable, recordTable, type RunTable } from './run-columns.js';
import { alarmTable, entryTable, journalTable } from './told-columns.js';

export type TableName = RunTable['name'];
/** Of what the dashboard and people told. */
export type ToldName = 'alarms' | 'alarmJournal' | 'entries';

/** Few rows before many. */
export const runTables: readonly RunTable[] = [eventTable, alarmTable, journalTable, entryTable, recordTable];
export const toldTables: readonly (RunTable & { readonly name: ToldName })[] = [
  alarmTable,
  journalTable,
  entryTable,
] as readonly (RunTable & { readonly name: ToldName })[];

export const countOfTable = {
  records: 'recordCount',
  events: 'eventCount',
  alarms: 'alarmCount',
  alarmJournal: 'alarmJournalCount',
  entries: 'entryCount',
} as const satisfies Record<TableName, string>;

/** Heading of a row's number, by which rows of a table are in order: its first column. */
export const numberHeading = (table: RunTable): string => table.columns[0]!.name;
