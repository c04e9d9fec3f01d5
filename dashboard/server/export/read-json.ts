/*
 * Reads a run from the JSON document that written-json.ts makes, also when a program has laid it out anew. Called by read-run-file.ts; what was taken is let go
 * at once.
 */
import { createReadStream } from 'node:fs';
import { JSONParser } from '@streamparser/json';
import { headFields, watchedFields } from './json-fields.js';
import { JsonText, utf8Reader } from './read-text.js';
import type { RunTable } from './run-columns.js';
import { runTables } from './run-tables.js';
import type { TakenRun } from './taken-run.js';
import { SEND_AGAIN, UnreadableRun } from './unreadable-run.js';
import { columnsField } from './written-json.js';

/** The longest text of a run has some ten thousand letters; the parser keeps one until it ends. */
const TEXT_BYTES_MAX = 1_000_000;

const tableOf = (name: unknown): RunTable | undefined => runTables.find((table) => table.name === name);
const tableOfColumns = (field: string): RunTable | undefined =>
  runTables.find((table) => columnsField(table) === field);

export async function readJson(path: string, taken: TakenRun): Promise<void> {
  const head: Record<string, unknown> = {};
  let line = 1;
  const place = (): string => `line ${String(line)}`;
  const parser = new JSONParser({
    paths: [
      ...headFields.map((field) => `$.${field}`),
      ...runTables.flatMap((table) => [`$.${columnsField(table)}`, `$.${table.name}.*`]),
    ],
    keepStack: false,
  });
  const fields = watchedFields(place);
  const document = new JsonText(parser, place);
  parser.onToken = ({ token, value, offset }) => {
    document.tokenAt = offset;
    fields.token(token, value);
  };
  parser.onValue = ({ value, key, stack }) => {
    fields.taken();
    const table = tableOf(stack[1]?.key);
    if (table !== undefined) {
      if (!Array.isArray(value)) throw new UnreadableRun(place(), `a row of ${table.name}: expected a list of cells.`);
      taken.row(table, value, place());
      return;
    }
    const ofColumns = tableOfColumns(String(key));
    if (ofColumns === undefined) head[String(key)] = value;
    else
      taken.headings(
        ofColumns,
        (value as unknown[]).map((column) => (column as { name?: unknown } | null)?.name),
        place(),
      );
  };
  const text = utf8Reader((at) => `line ${String(at)}`);
  const write = (piece: string): void => {
    const lines = piece.split('\n');
    for (const [index, part] of lines.entries()) {
      const isWhole = index < lines.length - 1;
      document.write(isWhole ? `${part}\n` : part);
      if (document.sinceToken > TEXT_BYTES_MAX)
        throw new UnreadableRun(place(), 'a text that begins here is longer than any of a run.');
      if (isWhole) line++;
    }
  };
  for await (const bytes of createReadStream(path)) write(text(bytes as Uint8Array, false));
  write(text(new Uint8Array(), true));
  if (!parser.isEnded)
    throw new UnreadableRun(place(), `the document ends in the middle: it was cut off. ${SEND_AGAIN}`);
  taken.head(head, 'The head of the document');
}
