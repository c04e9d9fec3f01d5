/*
 * What a controller told of an imported run enters the store in steps, each a transaction of some milliseconds: records, as if their controller told them now, with the
 * sums of their minutes; events; alarms, which lie apart. Until the last step of the import (keep-run.ts) nothing shows them. Called by imports.ts.
 */
import { RECORD_COLUMNS, RecordColumn } from '@bathkeeper/shared-core/messages';
import { openLoggedRecords, type TimedRecord, wholes } from '../store/logged-records.js';
import type { Store } from '../store/store.js';
import { keepImportedAlarms, type ToldAlarm, type ToldChange } from '../watch/imported-alarms.js';
import type { NumbersRow } from './run-columns.js';
import type { RowsAside } from './rows-aside.js';
import { type RunName, storedColumns } from './stored-run.js';

/** Some ten milliseconds on two cores beside other work. */
export const ROWS_A_STEP = 500;
/** With their journals. */
const ALARMS_A_STEP = 200;

/** Each is to be run in a transaction of its own, one after the other. */
export function* loggedSteps(store: Store, aside: RowsAside, name: RunName): Generator<() => void> {
  const keepRecords = openLoggedRecords(store.database);
  for (const page of aside.logged('records', ROWS_A_STEP))
    yield () => {
      keepRecords(name.controllerId, name.incarnation, page.map((row) => timed(row, name.run))); // prettier-ignore
    };
  const keepEvent = openEvents(store, name);
  for (const page of aside.logged('events', ROWS_A_STEP))
    yield () => {
      page.forEach(keepEvent);
    };
  for (const page of aside.told<ToldAlarm>('alarms', ALARMS_A_STEP))
    yield () => {
      const alarms = page.map((alarm) => ({ alarm, journal: aside.changesOf<ToldChange>(alarm.alarmNumber) }));
      keepImportedAlarms(store, name.controllerId, alarms);
    };
}

function timed(row: NumbersRow, run: number): TimedRecord {
  const told = new Array<number>(RECORD_COLUMNS).fill(0);
  for (const [column, name] of Object.entries(wireColumns)) told[Number(column)] = row[name]!;
  told[RecordColumn.run] = run;
  return { row: told, takenAtMs: row.taken_at_ms! };
}

function openEvents({ database }: Store, { controllerId, incarnation, run }: RunName): (row: NumbersRow) => void {
  const columns = Object.values(storedColumns.events);
  const insert = database.prepare(
    `INSERT INTO events (controller_id, incarnation, run, ${columns.join(', ')}) VALUES (?, ${wholes(2 + columns.length)})`,
  );
  return (row) => insert.run(controllerId, incarnation, run, ...columns.map((column) => row[column]));
}

/** Column of the wire → of the store; the run is that of the file's head. */
const wireColumns: Readonly<Record<number, string>> = {
  [RecordColumn.first]: 'first',
  [RecordColumn.span]: 'span',
  [RecordColumn.boot]: 'boot',
  [RecordColumn.uptime]: 'uptime_tenths',
  [RecordColumn.phase]: 'phase',
  [RecordColumn.conditions]: 'conditions',
  [RecordColumn.charge]: 'charge_millicoulombs',
  [RecordColumn.permittedSum]: 'permitted_sum',
  [RecordColumn.electricCount]: 'electric_count',
  [RecordColumn.currentSum]: 'current_sum',
  [RecordColumn.currentMin]: 'current_min',
  [RecordColumn.currentMax]: 'current_max',
  [RecordColumn.voltageSum]: 'voltage_sum',
  [RecordColumn.temperatureCount]: 'temperature_count',
  [RecordColumn.temperatureSum]: 'temperature_sum',
  [RecordColumn.pulses]: 'pulses',
  [RecordColumn.conditionsHigh]: 'conditions_high',
};
