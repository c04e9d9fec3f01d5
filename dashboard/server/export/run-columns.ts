/*
 * The columns of an exported run: name with its unit, meaning, and how each follows from what is stored. One table for CSV, JSON and Parquet, in both
 * directions. Stored columns are whole numbers, exactly as the controller told them; computed ones stand beside them to be read by people and are
 * checked, not believed, when a file comes back. What the dashboard and people told is in told-columns.ts. Knows no file format and no store.
 */
import { EventKind, Phase } from '@bathkeeper/shared-core/control';

export type CellType = 'integer' | 'number' | 'text' | 'instant';
/** `instant` is milliseconds since 1970 here; each format writes it as is usual there. */
export type Cell = number | string | null;
/** What is stored of a row, by heading: whole numbers of what a controller told; null where a column may be empty. */
export type StoredRow = Readonly<Record<string, Cell>>;
/** Of records and events, which are numbers alone. */
export type NumbersRow = Readonly<Record<string, number>>;

export interface RunColumn {
  readonly name: string;
  /** Of the values; '1' of a plain number or text. */
  readonly unit: string;
  readonly meaning: string;
  readonly type: CellType;
  /** Absent: it is stored under its own name. */
  readonly computed?: (row: StoredRow) => Cell;
  /** Absent: each row has it. */
  readonly mayBeEmpty?: boolean;
}

export interface RunTable {
  readonly name: 'records' | 'events' | 'alarms' | 'alarmJournal' | 'entries';
  readonly columns: readonly RunColumn[];
}

const stored = (name: string, unit: string, meaning: string): RunColumn => ({ name, unit, meaning, type: 'integer' });
const computed = (
  name: string,
  unit: string,
  type: CellType,
  meaning: string,
  of: (row: NumbersRow) => Cell,
): RunColumn => ({ name, unit, meaning, type, computed: (row) => of(row as NumbersRow) });

/** null where nothing was read: a mean of nothing is no zero. */
const mean = (sum: number, count: number, perUnit: number): number | null => (count > 0 ? sum / count / perUnit : null);
const nameOf = (names: Readonly<Record<string, number>>, code: number): string =>
  Object.keys(names).find((name) => names[name] === code) ?? '';

const boot = stored('boot', '1', 'Which start of the controller, counted by it.');
const uptime = (of: string): RunColumn =>
  stored('uptimeTenthsOfSecond', '0.1 s', `Time since that start of the controller, ${of}.`);
const takenAt = (of: string): readonly RunColumn[] => [
  stored('takenAtMs', 'ms', `Milliseconds since 1970-01-01T00:00:00Z, ${of}, by the clock of the dashboard.`),
  computed('takenAtUtc', 'UTC', 'instant', 'The same as date and time.', (row) => row.takenAtMs!),
];

export const recordTable: RunTable = {
  name: 'records',
  columns: [
    stored(
      'firstSequence',
      '1',
      'Number of the first second in this record, as the controller counts them; never used twice.',
    ),
    stored(
      'secondsCovered',
      's',
      'Seconds in this record: 1, or more where a long outage made the controller merge neighbours.',
    ),
    boot,
    uptime('at the last second covered'),
    ...takenAt('at the last second covered'),
    stored('phase', '1', 'Phase of the run, as the controller numbers it.'),
    computed('phaseName', '1', 'text', 'Phase of the run by name.', (row) => nameOf(Phase, row.phase!)),
    stored('conditions1To32', '1', 'Conditions active in any second covered, codes 1 to 32: bit 0 is code 1.'),
    stored('conditions33To64', '1', 'Conditions active in any second covered, codes 33 to 64: bit 0 is code 33.'),
    stored(
      'chargeMillicoulombs',
      'mC',
      'Charge of the run so far, at the last second covered: the controller’s own count.',
    ),
    computed(
      'chargeAmpereHours',
      'Ah',
      'number',
      'The same in ampere-hours.',
      (row) => row.chargeMillicoulombs! / 3.6e6,
    ),
    stored(
      'permittedCurrentSumCentiampereSeconds',
      '0.01 A·s',
      'Sum over the seconds of the current that the output gate permitted.',
    ),
    computed('permittedCurrentMeanAmps', 'A', 'number', 'Mean current that the output gate permitted.', (row) =>
      mean(row.permittedCurrentSumCentiampereSeconds!, row.secondsCovered!, 100),
    ),
    stored('electricReadingsSeconds', 's', 'Seconds with a good reading of current and voltage.'),
    stored('cathodeCurrentSumCentiampereSeconds', '0.01 A·s', 'Sum over those seconds of the measured current.'),
    computed('cathodeCurrentMeanAmps', 'A', 'number', 'Mean measured current; empty without a good reading.', (row) =>
      mean(row.cathodeCurrentSumCentiampereSeconds!, row.electricReadingsSeconds!, 100),
    ),
    stored(
      'cathodeCurrentMinCentiamperes',
      '0.01 A',
      'Least of all readings of the current, not of means; 0 and without meaning when no reading was good.',
    ),
    computed('cathodeCurrentMinAmps', 'A', 'number', 'The same in amperes; empty without a good reading.', (row) =>
      mean(row.cathodeCurrentMinCentiamperes!, row.electricReadingsSeconds! && 1, 100),
    ),
    stored(
      'cathodeCurrentMaxCentiamperes',
      '0.01 A',
      'Greatest of all readings of the current, not of means; 0 and without meaning when no reading was good.',
    ),
    computed('cathodeCurrentMaxAmps', 'A', 'number', 'The same in amperes; empty without a good reading.', (row) =>
      mean(row.cathodeCurrentMaxCentiamperes!, row.electricReadingsSeconds! && 1, 100),
    ),
    stored('terminalVoltageSumMillivoltSeconds', 'mV·s', 'Sum over the good seconds of the voltage at the terminals.'),
    computed('terminalVoltageMeanVolts', 'V', 'number', 'Mean voltage at the terminals.', (row) =>
      mean(row.terminalVoltageSumMillivoltSeconds!, row.electricReadingsSeconds!, 1000),
    ),
    stored('temperatureReadingsSeconds', 's', 'Seconds with a good reading of the bath temperature.'),
    stored('bathTemperatureSumCentidegreeSeconds', '0.01 °C·s', 'Sum over those seconds of the bath temperature.'),
    computed(
      'bathTemperatureMeanCelsius',
      '°C',
      'number',
      'Mean bath temperature; empty without a good reading.',
      (row) => mean(row.bathTemperatureSumCentidegreeSeconds!, row.temperatureReadingsSeconds!, 100),
    ),
    stored('rotationPulses', '1', 'Pulses of the shaft within the seconds covered.'),
  ],
};

export const eventTable: RunTable = {
  name: 'events',
  columns: [
    stored('sequence', '1', 'Number of the event, as the controller counts them; never used twice.'),
    boot,
    uptime('when it happened'),
    ...takenAt('when it happened'),
    stored('kind', '1', 'Kind of event, as the controller numbers it.'),
    computed('kindName', '1', 'text', 'Kind of event by name.', (row) => nameOf(EventKind, row.kind!)),
    stored('code', '1', 'What exactly, by kind: the phase entered, the condition, the command.'),
    stored('a', '1', 'First figure of the event, by kind.'),
    stored('b', '1', 'Second figure of the event, by kind.'),
  ],
};

/** A column's value of a stored row. */
export function cellOf(column: RunColumn, row: StoredRow): Cell {
  return column.computed === undefined ? (row[column.name] ?? null) : column.computed(row);
}
