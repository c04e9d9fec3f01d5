/*
 * One row of a run that comes back: cells as a format gives them, under the file's own headings, to the whole numbers that are stored; every figure within
 * what a controller can tell, and what was computed for people checked against what it was computed from. Called by the three readers; throws UnreadableRun.
 */
import { type Cell, cellOf, type NumbersRow, type RunColumn, type RunTable, type StoredRow } from './run-columns.js';
import { toldFault } from './told-shape.js';
import { shownCell, shownSome, UnreadableRun } from './unreadable-run.js';

/** Computed figures may come back with fewer digits than they left. */
const COMPUTED_TOLERANCE = 1e-6;
const LATEST_MS = Date.UTC(2100, 0, 1);

export type RowReader = (cells: readonly unknown[], place: string) => StoredRow;

/** For a table under these headings, in any order; further columns are passed over. */
export function rowReader(table: RunTable, headings: readonly unknown[], place: string): RowReader {
  const columns = table.columns.map((column) => ({ column, at: headings.indexOf(column.name) }));
  const missing = columns.filter(({ column, at }) => at < 0 && column.computed === undefined);
  if (missing.length > 0)
    throw new UnreadableRun(
      place,
      `the table ${table.name} lacks ${shownSome(missing.map(({ column }) => column.name))}. Expected the columns of a run as this dashboard exports it, got ${shownSome(headings.map(String))}.`,
    );
  const stored = columns.filter(({ column }) => column.computed === undefined);
  const computed = columns.filter(({ column, at }) => column.computed !== undefined && at >= 0);
  const { name } = table;
  const check = (row: StoredRow): string | undefined =>
    name === 'records' ? recordFault(row as NumbersRow) : name === 'events' ? eventFault(row as NumbersRow) : toldFault(name, row); // prettier-ignore
  return (cells, rowPlace) => {
    if (cells.length !== headings.length)
      throw new UnreadableRun(
        rowPlace,
        `expected ${String(headings.length)} cells, as the headings say, got ${String(cells.length)}.`,
      );
    const row: Record<string, Cell> = {};
    for (const { column, at } of stored) {
      const value = storedOf(column, cells[at]);
      if (value === undefined)
        throw new UnreadableRun(
          rowPlace,
          `${column.name}: expected ${kindWords[column.type]}, got ${shownCell(cells[at])}.`,
        );
      row[column.name] = value;
    }
    const fault = check(row);
    if (fault !== undefined) throw new UnreadableRun(rowPlace, fault);
    for (const { column, at } of computed)
      if (!isAsComputed(column, row, cells[at]))
        throw new UnreadableRun(
          rowPlace,
          `${column.name} says ${shownCell(cells[at])}, and the whole numbers beside it give ${shownCell(cellOf(column, row))}: one of them was changed.`,
        );
    return row;
  };
}

const kindWords = { integer: 'a whole number', number: 'a number', text: 'words', instant: 'a date and time' } as const;

/** undefined: it is of another kind. */
function storedOf({ type, mayBeEmpty }: RunColumn, cell: unknown): Cell | undefined {
  if (mayBeEmpty === true && (cell === null || cell === '')) return null;
  if (type === 'integer') return wholeOf(cell);
  if (type === 'text') return typeof cell === 'string' ? cell : undefined;
  const value = typeof cell === 'string' && /^-?\d[\d.eE+-]*$/.test(cell) ? Number(cell) : cell;
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined;
}

function wholeOf(cell: unknown): number | undefined {
  const value =
    typeof cell === 'string' && /^-?\d{1,16}$/.test(cell)
      ? Number(cell)
      : typeof cell === 'bigint'
        ? Number(cell)
        : cell;
  return Number.isSafeInteger(value) ? (value as number) : undefined;
}

function isAsComputed(column: RunColumn, row: StoredRow, cell: unknown): boolean {
  const due = cellOf(column, row);
  if (due === null || cell === null || cell === undefined || cell === '')
    return due === null || due === '' ? (cell ?? '') === '' : false;
  if (column.type === 'text') return cell === due;
  if (column.type === 'instant')
    return (cell instanceof Date ? cell.getTime() : typeof cell === 'string' ? Date.parse(cell) : NaN) === due;
  const got = Number(cell);
  return Math.abs(got - Number(due)) <= COMPUTED_TOLERANCE * Math.max(1, Math.abs(Number(due)));
}

type Bounds = readonly (readonly [name: string, least: number, most: number])[];

function outside(row: NumbersRow, bounds: Bounds): string | undefined {
  for (const [name, least, most] of bounds)
    if (!(row[name]! >= least && row[name]! <= most))
      return `${name}: expected ${String(least)} to ${String(most)}, got ${String(row[name])}.`;
  return undefined;
}

const UINT32 = 0xffffffff;
const INT32: readonly [number, number] = [-0x80000000, 0x7fffffff];
const everyRow: Bounds = [
  ['boot', 0, UINT32],
  ['uptimeTenthsOfSecond', 0, UINT32],
  ['takenAtMs', 0, LATEST_MS],
];

function recordFault(row: NumbersRow): string | undefined {
  const covered = row.secondsCovered!;
  return (
    outside(row, [
      ...everyRow,
      ['firstSequence', 1, UINT32],
      ['secondsCovered', 1, 10_000_000],
      ['phase', 0, 255],
      ['conditions1To32', 0, UINT32],
      ['conditions33To64', 0, UINT32],
      ['chargeMillicoulombs', 0, Number.MAX_SAFE_INTEGER],
      ['electricReadingsSeconds', 0, covered],
      ['temperatureReadingsSeconds', 0, covered],
      ['rotationPulses', 0, UINT32],
    ]) ??
    (row.cathodeCurrentMinCentiamperes! > row.cathodeCurrentMaxCentiamperes!
      ? `cathodeCurrentMinCentiamperes: expected at most the greatest, ${String(row.cathodeCurrentMaxCentiamperes)}, got ${String(row.cathodeCurrentMinCentiamperes)}.`
      : undefined)
  );
}

function eventFault(row: NumbersRow): string | undefined {
  return outside(row, [
    ...everyRow,
    ['sequence', 1, UINT32],
    ['kind', 0, 255],
    ['code', 0, UINT32],
    ['a', ...INT32],
    ['b', ...INT32],
  ]);
}
