/*
 * A run as one Parquet file (Apache Parquet format): its records as rows, whole numbers as INT64; in the file's key-value metadata the head, the unit and
 * meaning of each column, and the
 * other tables, of which a run has few rows: they lie in memory meanwhile. Asked by the export routes; keeps one row group at a time.
 */
import { ByteWriter, ParquetWriter } from 'hyparquet-writer';
import type { SchemaElement } from 'hyparquet';
import { type Cell, cellOf, recordTable, type RunColumn, type RunTable, type StoredRow } from './run-columns.js';
import { runTables } from './run-tables.js';
import type { StoredRun } from './stored-run.js';

/** Keys of the metadata. */
export const RUN_KEY = 'bathkeeper.run';
export const COLUMNS_KEY = 'bathkeeper.columns';
export const tableKey = (table: RunTable): string => `bathkeeper.${table.name}`;
/** Every table but the one whose rows the file's own are. */
export const notedTables = runTables.filter((table) => table !== recordTable);

/** Made in one go, in which nothing else happens. */
const GROUP_ROWS = 4000;

export async function* writtenParquet(run: StoredRun): AsyncGenerator<Uint8Array> {
  const noted: { key: string; value: string }[] = [];
  for (const table of notedTables)
    noted.push(
      { key: tableKey(table), value: JSON.stringify(await rowsOf(run, table)) },
      { key: `${tableKey(table)}.columns`, value: described(table) },
    );
  const bytes = new ByteWriter();
  const writer = new ParquetWriter({
    writer: bytes,
    schema: [{ name: 'records', num_children: recordTable.columns.length }, ...recordTable.columns.map(schemaOf)],
    createdBy: 'Bathkeeper',
    kvMetadata: [
      { key: RUN_KEY, value: JSON.stringify(run.header) },
      {
        key: COLUMNS_KEY,
        value: described(recordTable),
      },
      ...noted,
    ],
  });
  /** What was written since, so that the file leaves while it is made. */
  const taken = (): Uint8Array => {
    const part = bytes.getBytes().slice();
    bytes.index = 0;
    return part;
  };
  let group: StoredRow[] = [];
  const writeGroup = async (): Promise<void> => {
    if (group.length === 0) return;
    await writer.write({
      columnData: recordTable.columns.map((column) => ({
        name: column.name,
        data: group.map((row) => parquetCell(column, cellOf(column, row))),
      })),
      rowGroupSize: GROUP_ROWS,
    });
    group = [];
  };
  for await (const page of run.pages('records')) {
    group = group.concat(page);
    if (group.length < GROUP_ROWS) continue;
    await writeGroup();
    yield taken();
  }
  await writeGroup();
  await writer.finish();
  yield taken();
}

const described = ({ columns }: RunTable): string =>
  JSON.stringify(columns.map(({ name, unit, meaning }) => ({ name, unit, meaning })));

async function rowsOf(run: StoredRun, table: RunTable): Promise<Record<string, Cell>[]> {
  const rows: Record<string, Cell>[] = [];
  for await (const page of run.pages(table.name))
    for (const row of page)
      rows.push(
        Object.fromEntries(table.columns.map((column) => [column.name, jsonCell(column, cellOf(column, row))])),
      );
  return rows;
}

function jsonCell(column: RunColumn, cell: Cell): Cell {
  return column.type === 'instant' && cell !== null ? new Date(Number(cell)).toISOString() : cell;
}

function parquetCell(column: RunColumn, cell: Cell): bigint | number | string | Date | null {
  if (cell === null) return null;
  if (column.type === 'integer') return BigInt(cell);
  return column.type === 'instant' ? new Date(Number(cell)) : cell;
}

function schemaOf({ name, type, computed }: RunColumn): SchemaElement {
  const repetition_type = computed === undefined ? 'REQUIRED' : 'OPTIONAL';
  switch (type) {
    case 'integer':
      return { name, type: 'INT64', repetition_type };
    case 'number':
      return { name, type: 'DOUBLE', repetition_type };
    case 'text':
      return { name, type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type };
    case 'instant':
      return { name, type: 'INT64', converted_type: 'TIMESTAMP_MILLIS', repetition_type };
  }
}
