/*
 * Reads a run from the ZIP archive of CSV tables that written-csv.ts makes, also when somebody packed it anew. Called by read-run-file.ts; one piece of the
 * file in memory at a time.
 */
import { finished } from 'node:stream/promises';
import { type CsvError, type Parser, parse } from 'csv-parse';
import { type Archive, namesWords, openArchive } from './archive.js';
import { jsonOf, utf8Reader } from './read-text.js';
import type { RunTable } from './run-columns.js';
import { runTables } from './run-tables.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';
import { csvFile, HEADER_FILE, noFormula } from './written-csv.js';

const HEADER_BYTES_MAX = 1_000_000;
const ROW_BYTES_MAX = 100_000;

export async function readCsv(path: string, taken: TakenRun): Promise<void> {
  const archive = await openArchive(path, [HEADER_FILE, ...runTables.map(csvFile)]);
  try {
    if (!archive.has(HEADER_FILE))
      throw new UnreadableRun('The archive', `${HEADER_FILE}, the head of a run, is missing. Expected a run as this dashboard exports it, got ${namesWords(archive.names)}.${withinWords(archive.names)}`); // prettier-ignore
    await readHead(archive, taken);
    // Which tables must be there is for the head to say.
    for (const table of runTables) if (archive.has(csvFile(table))) await readTable(archive, table, taken);
  } finally {
    archive.close();
  }
}

/** A file that could be a run, packed once more. */
function withinWords(names: readonly string[]): string {
  const within = names.filter((name) => /\.(zip|json|parquet)$/i.test(name));
  return within.length === 0 ? '' : ` Unpack it, and import ${namesWords(within)}.`;
}

async function readHead(archive: Archive, taken: TakenRun): Promise<void> {
  const text = utf8Reader((line) => `${HEADER_FILE}, line ${String(line)}`);
  let head = '';
  for await (const bytes of archive.bytesOf(HEADER_FILE)) {
    head += text(bytes, false);
    if (head.length > HEADER_BYTES_MAX)
      throw new UnreadableRun(HEADER_FILE, 'it is larger than the head of any run, which has some kilobytes.');
  }
  head += text(new Uint8Array(), true);
  taken.head(jsonOf(head, HEADER_FILE), HEADER_FILE);
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

async function readTable(archive: Archive, table: RunTable, taken: TakenRun): Promise<void> {
  const file = csvFile(table);
  const text = utf8Reader((line) => `${file}, line ${String(line)}`);
  const rows = rowsInto(table, taken);
  for await (const bytes of archive.bytesOf(file)) await rows.take(text(bytes, false));
  await rows.end(text(new Uint8Array(), true));
}

interface Rows {
  take(text: string): Promise<void>;
  end(text: string): Promise<void>;
}

/** Throws at the next piece what is wrong with a row of this one. */
function rowsInto(table: RunTable, taken: TakenRun): Rows {
  const file = csvFile(table);
  let fault: unknown;
  let headings: readonly string[] | undefined;
  let lastLine = 0;
  /** The library counts a line end of two letters within a cell as two. */
  let doubled = 0;
  const parser: Parser = parse({
    info: true,
    relax_column_count: true,
    skip_empty_lines: true,
    max_record_size: ROW_BYTES_MAX,
  });
  parser.on('data', ({ record, info }: Line) => {
    if (fault !== undefined) return;
    doubled += record.reduce((count, cell) => count + cell.split('\r\n').length - 1, 0);
    lastLine = info.lines - doubled;
    const place = `${file}, line ${String(lastLine)}`;
    try {
      if (headings === undefined) taken.headings(table, (headings = record), place);
      else taken.row(table, asWritten(table, headings, record), place);
    } catch (thrown) {
      fault = thrown;
    }
  });
  parser.on('error', (thrown: CsvError) => {
    // The library counts to where it gave up, which may be many lines beyond the row.
    fault ??= new UnreadableRun(`${file}, line ${String(lastLine + 1)}`, csvWords(thrown));
  });
  const ended = finished(parser).catch(() => undefined);
  const checked = (): void => {
    if (fault === undefined) return;
    parser.destroy();
    throw fault as Error;
  };
  const take = async (text: string): Promise<void> => {
    if (!parser.write(text)) await Promise.race([new Promise((done) => parser.once('drain', done)), ended]);
    checked();
  };
  return {
    take,
    end: async (text) => {
      if (text !== '') await take(text);
      parser.end();
      await ended;
      checked();
    },
  };
}

const WHOLE_CELL = 'Expected the whole cell in quotation marks, and each one within it twice ("").';

function csvWords({ code }: CsvError): string {
  switch (code as string) {
    case 'CSV_MAX_RECORD_SIZE':
      return `the row that begins here is longer than ${ROW_BYTES_MAX.toLocaleString('en-US')} bytes, and no row of a run is. A quotation mark that nobody closes makes one row of all that follows.`;
    case 'CSV_QUOTE_NOT_CLOSED':
      return `the row that begins here opens a quotation mark, and the file ends before one closes it. ${WHOLE_CELL}`;
    case 'INVALID_OPENING_QUOTE':
    case 'CSV_INVALID_CLOSING_QUOTE':
    case 'CSV_NON_TRIMABLE_CHAR_AFTER_CLOSING_QUOTE':
      return `a quotation mark stands in the middle of a cell. ${WHOLE_CELL}`;
    default:
      return 'it cannot be read as CSV (RFC 4180).';
  }
}
