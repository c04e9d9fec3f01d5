/*
 * A run as one JSON document: its head, the columns with unit and meaning, and the rows in the order of the columns, a row a line, so that it can be
 * read by eye and compared line by line. Asked by the export routes; keeps one page of rows at a time.
 */
import { type Cell, cellOf, type RunColumn, type RunTable } from './run-columns.js';
import { runTables } from './run-tables.js';
import type { StoredRun } from './stored-run.js';

/** The field that names a table's columns. */
export const columnsField = (table: RunTable): string => `${table.name}Columns`;

export async function* writtenJson(run: StoredRun): AsyncGenerator<string> {
  const head = Object.entries(run.header).map(([name, value]) => `${JSON.stringify(name)}: ${JSON.stringify(value)}`);
  yield `{\n${head.join(',\n')}`;
  for (const table of runTables) {
    const columns = table.columns.map(({ name, unit, meaning }) => JSON.stringify({ name, unit, meaning }));
    yield `,\n"${columnsField(table)}": [\n${columns.join(',\n')}\n],\n"${table.name}": [`;
    let before = '\n';
    for await (const page of run.pages(table.name)) {
      const lines = page.map((row) =>
        JSON.stringify(table.columns.map((column) => jsonCell(column, cellOf(column, row)))),
      );
      yield before + lines.join(',\n');
      before = ',\n';
    }
    yield '\n]';
  }
  yield '\n}\n';
}

function jsonCell(column: RunColumn, cell: Cell): Cell {
  return column.type === 'instant' && cell !== null ? new Date(Number(cell)).toISOString() : cell;
}
