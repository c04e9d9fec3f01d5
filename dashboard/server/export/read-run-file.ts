/* Which of the three formats a file is, by how it begins, and its reader. Called by the import; throws UnreadableRun. */
import { open } from 'node:fs/promises';
import { readCsv } from './read-csv.js';
import { readJson } from './read-json.js';
import { readParquet } from './read-parquet.js';
import { RUN_FORMAT } from './run-header.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';

const BEGINNING_BYTES = 400;

export async function readRunFile(path: string, taken: TakenRun): Promise<void> {
  const beginning = await beginningOf(path);
  if (beginning.startsWith('PK')) return readCsv(path, taken);
  if (beginning.startsWith('PAR1')) return readParquet(path, taken);
  if (new RegExp(`^\\ufeff?\\s*\\{\\s*"format"\\s*:\\s*"${RUN_FORMAT}"`).test(beginning)) return readJson(path, taken);
  throw new UnreadableRun(
    'Line 1',
    beginning === ''
      ? 'the file is empty.'
      : 'expected a run as this dashboard exports it: a ZIP archive of CSV tables, a JSON document that begins with its format, or a Parquet file. Got something else.',
  );
}

async function beginningOf(path: string): Promise<string> {
  const file = await open(path);
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(BEGINNING_BYTES), 0, BEGINNING_BYTES, 0);
    return buffer.toString('utf8', 0, bytesRead);
  } finally {
    await file.close();
  }
}
