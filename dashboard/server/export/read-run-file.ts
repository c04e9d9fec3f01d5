/* Which of the three formats a file is, by how it begins, and its reader. Called by the import; throws UnreadableRun. */
import { open } from 'node:fs/promises';
import { readCsv } from './read-csv.js';
import { readJson } from './read-json.js';
import { readParquet } from './read-parquet.js';
import { RUN_FORMAT } from './run-header.js';
import type { TakenRun } from './taken-run.js';
import { UnreadableRun } from './unreadable-run.js';

/** What a format is known by. */
export const BEGINNING_BYTES = 400;

type Reader = (path: string, taken: TakenRun) => Promise<void>;

export async function readRunFile(path: string, taken: TakenRun): Promise<void> {
  return readerFor(await beginningOf(path))(path, taken);
}

/** By the first bytes of a file, so that what is foreign is refused before all of it has come. Throws UnreadableRun. */
export function readerFor(bytes: Uint8Array): Reader {
  const beginning = Buffer.from(bytes.subarray(0, BEGINNING_BYTES)).toString('utf8');
  if (beginning.startsWith('PK')) return readCsv;
  if (beginning.startsWith('PAR1')) return readParquet;
  if (new RegExp(`^\\ufeff?\\s*\\{\\s*"format"\\s*:\\s*"${RUN_FORMAT}"`).test(beginning)) return readJson;
  throw new UnreadableRun(
    'Line 1',
    beginning === ''
      ? 'the file is empty. Copy or download it again.'
      : 'expected a run as this dashboard exports it: a ZIP archive of CSV tables, a JSON document that begins with its format, or a Parquet file. Got something else.',
  );
}

async function beginningOf(path: string): Promise<Uint8Array> {
  const file = await open(path);
  try {
    const { buffer, bytesRead } = await file.read(Buffer.alloc(BEGINNING_BYTES), 0, BEGINNING_BYTES, 0);
    return buffer.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}
