/*
 * A run as CSV (RFC 4180): records, events, alarms with their journal, and entries as tables in one ZIP archive, beside them the meaning and unit of each column as CSVW metadata
 * (W3C, "Metadata Vocabulary for Tabular Data") and the run itself. Asked by the export routes; keeps one page of rows at a time.
 */
import { Zip, ZipDeflate } from 'fflate';
import { type Cell, cellOf, type RunColumn, type RunTable } from './run-columns.js';
import type { RunHeader } from './run-header.js';
import { runTables } from './run-tables.js';
import type { StoredRun } from './stored-run.js';

export const HEADER_FILE = 'run.json';
export const METADATA_FILE = 'csv-metadata.json';
export const csvFile = (table: RunTable): string => `${table.name}.csv`;

const LINE_END = '\r\n';

export async function* writtenCsv(run: StoredRun): AsyncGenerator<Uint8Array> {
  let ready: Uint8Array[] = [];
  const zip = new Zip((fault, bytes) => {
    if (fault !== null) throw fault;
    ready.push(bytes);
  });
  const taken = function* (): Generator<Uint8Array> {
    const bytes = ready;
    ready = [];
    yield* bytes;
  };
  const utf8 = new TextEncoder();
  const begin = (name: string): ZipDeflate => {
    const file = new ZipDeflate(name, { level: 6 });
    file.mtime = run.header.writtenAtMs;
    zip.add(file);
    return file;
  };
  for (const [name, content] of [
    [HEADER_FILE, run.header],
    [METADATA_FILE, csvMetadata(run.header)],
  ] as const) {
    begin(name).push(utf8.encode(`${JSON.stringify(content, null, 2)}\n`), true);
    yield* taken();
  }
  for (const table of runTables) {
    const file = begin(csvFile(table));
    file.push(utf8.encode(table.columns.map(({ name }) => name).join(',') + LINE_END));
    for await (const page of run.pages(table.name)) {
      const lines = page.map((row) => table.columns.map((column) => csvCell(column, cellOf(column, row))).join(','));
      file.push(utf8.encode(lines.join(LINE_END) + LINE_END));
      yield* taken();
    }
    file.push(new Uint8Array(), true);
    yield* taken();
  }
  zip.end();
  yield* taken();
}

function csvCell({ type, computed }: RunColumn, cell: Cell): string {
  if (cell === null) return '';
  if (type === 'instant') return new Date(Number(cell)).toISOString();
  // Names of our own need neither.
  if (type !== 'text' || computed !== undefined) return String(cell);
  const text = noFormula.done(String(cell));
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** What people wrote is words to a spreadsheet too: where it would begin a formula, an apostrophe stands before it. OWASP, "CSV Injection". */
export const noFormula = {
  done: (text: string): string => (/^[=+\-@\t\r\n']/.test(text) ? `'${text}` : text),
  undone: (text: string): string => (text.startsWith("'") ? text.slice(1) : text),
};
const FORMULA_WORDS = ' Where it would begin a formula, an apostrophe stands before it.';

const csvwTypes = { integer: 'integer', number: 'double', text: 'string', instant: 'dateTime' } as const;

function csvMetadata(header: RunHeader): object {
  return {
    '@context': ['http://www.w3.org/ns/csvw', { '@language': 'en' }],
    'dc:title': `Run ${String(header.run.run)} of ${header.run.controllerId}`,
    tables: runTables.map((table) => ({
      url: csvFile(table),
      tableSchema: {
        columns: table.columns.map(({ name, unit, meaning, type, computed }) => ({
          name,
          titles: name,
          datatype: csvwTypes[type],
          'dc:description': `${meaning}${type === 'text' && computed === undefined ? FORMULA_WORDS : ''} Unit: ${unit}.`,
        })),
        primaryKey: table.columns[0]!.name,
      },
    })),
  };
}
