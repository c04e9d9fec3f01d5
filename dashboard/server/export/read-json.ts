/*
 * Reads a run from the JSON document that written-json.ts makes, also when a program has laid it out anew. Called by read-run-file.ts; what was taken is let go
 * at once.
 */
import { createReadStream } from 'node:fs';
import { JSONParser } from '@streamparser/json';
import type { RunTable } from './run-columns.js';
import { runHeader } from './run-header.js';
import { runTables } from './run-tables.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';
import { columnsField } from './written-json.js';

const headFields = Object.keys(runHeader.shape);
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
  parser.onValue = ({ value, key, stack }) => {
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
        Array.isArray(value) ? value.map((column: unknown) => (column as { name?: unknown } | null)?.name) : [],
        place(),
      );
  };
  const write = (text: string): void => {
    try {
      parser.write(text);
    } catch (fault) {
      if (fault instanceof UnreadableRun) throw fault;
      throw new UnreadableRun(place(), `this is no JSON (${(fault as Error).message.replace(/\.$/, '')}).`);
    }
  };
  for await (const chunk of createReadStream(path, { encoding: 'utf8' })) {
    const lines = String(chunk).split('\n');
    for (const [index, text] of lines.entries()) {
      const isWhole = index < lines.length - 1;
      write(isWhole ? `${text}\n` : text);
      if (isWhole) line++;
    }
  }
  if (!parser.isEnded) throw new UnreadableRun(place(), 'the document ends in the middle: the file was cut off.');
  taken.head(head, 'The head of the document');
}
