/*
 * Reads a run from the Parquet file that written-parquet.ts makes, also when a program has written it anew with its metadata. Called by read-run-file.ts; one
 * group of rows in memory at a time.
 */
import { type FileHandle, open } from 'node:fs/promises';
import { type AsyncBuffer, type FileMetaData, parquetMetadataAsync, parquetScan, parquetSchema } from 'hyparquet';
import { recordTable, type RunTable } from './run-columns.js';
import { ROWS_MAX } from './run-bounds.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';
import { notedTables, RUN_KEY, tableKey } from './written-parquet.js';

/** A group lies in memory as a whole. This dashboard writes 4,000 rows into one. */
const GROUP_ROWS_MAX = 200_000;
const FOOT = 'The foot of the file';

export async function readParquet(path: string, taken: TakenRun): Promise<void> {
  const handle = await open(path);
  try {
    const file = await pieces(handle);
    const metadata = await soundly(FOOT, () => parquetMetadataAsync(file));
    taken.head(noted(metadata, RUN_KEY), FOOT);
    for (const table of notedTables) {
      // Which tables must be there is for the head to say.
      if (textOf(metadata, tableKey(table)) !== undefined) takeNoted(noted(metadata, tableKey(table)), table, taken);
    }
    await takeRecords(file, metadata, taken);
  } finally {
    await handle.close();
  }
}

/** A damaged foot may point anywhere: what lies outside of the file is empty. */
async function pieces(handle: FileHandle): Promise<AsyncBuffer> {
  const { size: byteLength } = await handle.stat();
  return {
    byteLength,
    slice: async (from, to = byteLength) => {
      const start = Math.min(byteLength, Math.max(0, from));
      const bytes = new Uint8Array(Math.max(0, Math.min(byteLength, to) - start));
      await handle.read(bytes, 0, bytes.length, start);
      return bytes.buffer;
    },
  };
}

const textOf = (metadata: FileMetaData, key: string): string | undefined =>
  metadata.key_value_metadata?.find((one) => one.key === key)?.value;

function noted(metadata: FileMetaData, key: string): unknown {
  const text = textOf(metadata, key);
  if (text === undefined)
    throw new UnreadableRun(FOOT, `${key} is missing from its metadata: this is no run of this dashboard.`);
  try {
    return JSON.parse(text);
  } catch (fault) {
    throw new UnreadableRun(FOOT, `${key} in its metadata is not JSON (${(fault as Error).message}).`);
  }
}

function takeNoted(rows: unknown, table: RunTable, taken: TakenRun): void {
  const names = table.columns.map(({ name }) => name);
  taken.headings(table, names, tableKey(table));
  for (const [index, row] of (Array.isArray(rows) ? rows : []).entries()) {
    const cells = names.map((name) => (row as Record<string, unknown> | null)?.[name]);
    taken.row(table, cells, `${tableKey(table)}, row ${String(index + 1)}`);
  }
}

/** One column after the other: where several are read at once, the second that fails would be nobody's, and end the whole program. */
async function takeRecords(file: AsyncBuffer, metadata: FileMetaData, taken: TakenRun): Promise<void> {
  const { names, scan } = await soundly(FOOT, async () => ({
    names: parquetSchema(metadata).children.map(({ element }) => element.name),
    scan: await parquetScan({ file, metadata, useOffsetIndex: false }),
  }));
  taken.headings(recordTable, names, 'The columns');
  const count = Number(metadata.num_rows);
  if (!(count <= ROWS_MAX.records))
    throw new UnreadableRun(FOOT, `expected at most ${String(ROWS_MAX.records)} rows, got ${String(count)}.`);
  for (const { rowStart, rowEnd } of scan.ranges) {
    if (rowEnd - rowStart > GROUP_ROWS_MAX)
      throw new UnreadableRun(`Rows ${String(rowStart + 1)} to ${String(rowEnd)}`, `expected groups of at most ${String(GROUP_ROWS_MAX)} rows, got ${String(rowEnd - rowStart)}: write it anew with smaller groups.`); // prettier-ignore
    const columns: ArrayLike<unknown>[] = [];
    for (const column of names) {
      const place = `Rows ${String(rowStart + 1)} to ${String(rowEnd)}, ${column}`;
      columns.push(await soundly(place, () => scan.readColumn({ column, rowStart, rowEnd })));
    }
    for (let row = rowStart; row < rowEnd; row++) {
      const cells = columns.map((column) => column[row - rowStart]);
      taken.row(recordTable, cells, `row ${String(row + 1)}`);
    }
  }
}

async function soundly<T>(place: string, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (fault) {
    throw new UnreadableRun(place, `it cannot be read as Parquet (${(fault as Error).message.replace(/\.$/, '')}).`);
  }
}
