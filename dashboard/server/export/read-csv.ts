/*
 * Reads a run from the ZIP archive of CSV tables that written-csv.ts makes, also when somebody packed it anew. Called by read-run-file.ts; one piece of the
 * file in memory at a time.
 */
import { createReadStream } from 'node:fs';
import { finished } from 'node:stream/promises';
import { type Parser, parse } from 'csv-parse';
import { Unzip, type UnzipFile, UnzipInflate } from 'fflate';
import type { RunTable } from './run-columns.js';
import { runTables } from './run-tables.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';
import { csvFile, HEADER_FILE, noFormula } from './written-csv.js';

/** Of everything in the archive: what is packed small may be endless inside. */
const UNPACKED_BYTES_MAX = 2_000_000_000;
const HEADER_BYTES_MAX = 1_000_000;

/** Takes the pieces of one file of the archive; the last is empty at most. */
type Taker = (bytes: Uint8Array, isLast: boolean) => Promise<void>;

export async function readCsv(path: string, taken: TakenRun): Promise<void> {
  const pieces: { file: string; bytes: Uint8Array; isLast: boolean }[] = [];
  const takers = new Map<string, Taker>();
  let unpacked = 0;
  const unzip = new Unzip((file: UnzipFile) => {
    const name = file.name.split('/').at(-1) ?? '';
    const taker = takerOf(name, taken);
    if (taker === undefined) return;
    takers.set(name, taker);
    file.ondata = (fault, bytes, isLast) => {
      if (fault !== null)
        throw new UnreadableRun(name, `it cannot be unpacked (${fault.message}): the archive is damaged.`);
      unpacked += bytes.length;
      if (unpacked > UNPACKED_BYTES_MAX) throw new UnreadableRun(name, 'it is larger than any run.');
      pieces.push({ file: name, bytes, isLast });
    };
    file.start();
  });
  unzip.register(UnzipInflate);
  const open = new Set<string>();
  const work = async (): Promise<void> => {
    for (const { file, bytes, isLast } of pieces.splice(0)) {
      if (isLast) open.delete(file);
      else open.add(file);
      await takers.get(file)!(bytes, isLast);
    }
  };
  for await (const chunk of createReadStream(path)) {
    push(unzip, chunk as Uint8Array, false);
    await work();
  }
  push(unzip, new Uint8Array(), true);
  await work();
  const [cut] = open;
  if (cut !== undefined) throw new UnreadableRun(cut, 'the archive ends within it: the file was cut off.');
}

function push(unzip: Unzip, bytes: Uint8Array, isLast: boolean): void {
  try {
    unzip.push(bytes, isLast);
  } catch (fault) {
    if (fault instanceof UnreadableRun) throw fault;
    throw new UnreadableRun('The archive', `it cannot be unpacked (${(fault as Error).message}): it is damaged.`);
  }
}

function takerOf(name: string, taken: TakenRun): Taker | undefined {
  if (name === HEADER_FILE) return headTaker(taken);
  const table = runTables.find((one) => csvFile(one) === name);
  return table === undefined ? undefined : tableTaker(table, taken);
}

function headTaker(taken: TakenRun): Taker {
  const parts: Uint8Array[] = [];
  let bytesTaken = 0;
  return (bytes, isLast) => {
    parts.push(bytes);
    bytesTaken += bytes.length;
    if (bytesTaken > HEADER_BYTES_MAX) throw new UnreadableRun(HEADER_FILE, 'it is larger than the head of any run.');
    if (!isLast) return Promise.resolve();
    let value: unknown;
    try {
      value = JSON.parse(Buffer.concat(parts).toString('utf8'));
    } catch (fault) {
      throw new UnreadableRun(HEADER_FILE, `it is not JSON (${(fault as Error).message}).`);
    }
    taken.head(value, HEADER_FILE);
    return Promise.resolve();
  };
}

/** Words without what kept a spreadsheet from taking them for a formula. */
function asWritten(table: RunTable, headings: readonly string[], cells: readonly string[]): readonly string[] {
  const words = new Set(
    table.columns.flatMap(({ name, type, computed }) => (type === 'text' && computed === undefined ? [name] : [])),
  );
  return words.size === 0
    ? cells
    : cells.map((cell, at) => (words.has(headings[at] ?? '') ? noFormula.undone(cell) : cell));
}

interface Line {
  readonly record: readonly string[];
  readonly info: { readonly lines: number };
}

function tableTaker(table: RunTable, taken: TakenRun): Taker {
  const file = csvFile(table);
  let fault: unknown;
  let headings: readonly string[] | undefined;
  const parser: Parser = parse({
    info: true,
    bom: true,
    relax_column_count: true,
    skip_empty_lines: true,
    max_record_size: 100_000,
  });
  parser.on('data', ({ record, info }: Line) => {
    if (fault !== undefined) return;
    const place = `${file}, line ${String(info.lines)}`;
    try {
      if (headings === undefined) taken.headings(table, (headings = record), place);
      else taken.row(table, asWritten(table, headings, record), place);
    } catch (thrown) {
      fault = thrown;
    }
  });
  parser.on('error', (thrown: Error & { lines?: number }) => {
    fault ??= new UnreadableRun(`${file}, line ${String(thrown.lines ?? 1)}`, `this is no CSV (${thrown.message}).`);
  });
  const ended = finished(parser).catch(() => undefined);
  return async (bytes, isLast) => {
    if (fault === undefined && !parser.write(bytes))
      await Promise.race([new Promise((done) => parser.once('drain', done)), ended]);
    if (isLast) {
      parser.end();
      await ended;
    }
    if (fault !== undefined) {
      parser.destroy();
      throw fault as Error;
    }
  };
}
