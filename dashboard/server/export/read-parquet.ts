/*
 * Reads a run from the Parquet file that written-parquet.ts makes, also when a program has written it anew with its metadata. Called by read-run-file.ts; one
 * group of rows in memory at a time.
 */
import { type FileHandle, open } from 'node:fs/promises';
import { type AsyncBuffer, type Compressors, type FileMetaData, parquetMetadataAsync, parquetScan, parquetSchema, snappyUncompress } from 'hyparquet'; // prettier-ignore
import { jsonOf } from './read-text.js';
import { recordTable, type RunTable } from './run-columns.js';
import { ROWS_MAX } from './run-bounds.js';
import type { TakenRun } from './taken-run.js';
import { isOfTheDisk, SEND_AGAIN, UnreadableRun } from './unreadable-run.js';
import { notedTables, RUN_KEY, tableKey } from './written-parquet.js';

/** A group lies in memory as a whole. This dashboard writes 4,000 rows into one. */
const GROUP_ROWS_MAX = 200_000;
/** What a page unpacks to is for the file to say: of as many whole numbers, each of eight bytes, it is at most this. */
const PAGE_BYTES_MAX = 16 * GROUP_ROWS_MAX;
const FOOT = 'The foot of the file';
/** The tables beside the records lie in it, and it lies in memory as a whole: that of the fullest run has some 120 MB. */
const FOOT_BYTES_MAX = 200_000_000;
/** The length of the foot and the letters of the format, both four bytes (Apache Parquet, "File Format"). */
const END_BYTES = 8;
const MAGIC = 'PAR1';

export async function readParquet(path: string, taken: TakenRun): Promise<void> {
  const handle = await open(path);
  try {
    const file = await pieces(handle);
    await checkFoot(file);
    const metadata = await soundly(FOOT, 'it cannot be read: the file is damaged', () => parquetMetadataAsync(file));
    checkPacking(metadata);
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

async function checkFoot(file: AsyncBuffer): Promise<void> {
  const end = Buffer.from(await file.slice(Math.max(0, file.byteLength - END_BYTES)));
  if (end.length < END_BYTES || end.toString('latin1', 4) !== MAGIC)
    throw new UnreadableRun(FOOT, `it does not end with ${MAGIC}: the file was cut off. ${SEND_AGAIN}`);
  const length = end.readUInt32LE(0);
  if (length > file.byteLength - END_BYTES - MAGIC.length)
    throw new UnreadableRun(FOOT, `it says that it is longer than the file: it is damaged. ${SEND_AGAIN}`);
  if (length > FOOT_BYTES_MAX)
    throw new UnreadableRun(FOOT, `expected at most ${String(FOOT_BYTES_MAX / 1e6)} MB of it, got ${String(Math.round(length / 1e6))} MB.`); // prettier-ignore
}

const packings: readonly string[] = ['SNAPPY', 'UNCOMPRESSED'];

function checkPacking({ row_groups }: FileMetaData): void {
  for (const { columns } of row_groups)
    for (const { meta_data } of columns)
      if (meta_data !== undefined && !packings.includes(meta_data.codec))
        throw new UnreadableRun(FOOT, `its columns are packed by ${meta_data.codec}. Expected SNAPPY or UNCOMPRESSED: write it anew so.`); // prettier-ignore
}

const compressors: Compressors = {
  SNAPPY: (packed, length) => {
    if (length > PAGE_BYTES_MAX) throw new Error('a page is larger than any of a run');
    const page = new Uint8Array(length);
    snappyUncompress(packed, page);
    return page;
  },
};

const textOf = (metadata: FileMetaData, key: string): string | undefined =>
  metadata.key_value_metadata?.find((one) => one.key === key)?.value;

function noted(metadata: FileMetaData, key: string): unknown {
  const text = textOf(metadata, key);
  if (text === undefined)
    throw new UnreadableRun(FOOT, `${key} is missing from its metadata: this is no run of this dashboard.`);
  return jsonOf(text, `${FOOT}, ${key}`);
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
  const { names, scan } = await soundly(FOOT, 'its columns cannot be read: the file is damaged', async () => ({
    names: parquetSchema(metadata).children.map(({ element }) => element.name),
    scan: await parquetScan({ file, metadata, compressors, useOffsetIndex: false }),
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
      columns.push(await soundly(place, 'they cannot be read: the file is damaged', () => scan.readColumn({ column, rowStart, rowEnd }))); // prettier-ignore
    }
    for (let row = rowStart; row < rowEnd; row++) {
      const cells = columns.map((column) => column[row - rowStart]);
      taken.row(recordTable, cells, `row ${String(row + 1)}`);
    }
  }
}

/** What the library says of nonsense is for programmers. */
async function soundly<T>(place: string, words: string, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (fault) {
    if (isOfTheDisk(fault)) throw fault;
    throw new UnreadableRun(place, `${words}. ${SEND_AGAIN}`);
  }
}
