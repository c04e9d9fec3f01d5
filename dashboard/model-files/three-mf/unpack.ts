/*
 * Unpacks the model parts of a 3MF file, which is a zip archive (Open Packaging Conventions), piece by piece, so that the unpacked XML is never
 * whole in memory. Called by three-mf.ts. What is not looked for: the archive's checksums.
 */
import { Unzip, UnzipInflate } from 'fflate';
import { exportAgain, UnreadableModel } from '../unreadable-model.js';

/** Small pieces: a packed byte can become a thousand. */
const pieceBytes = 16 * 1024;
/** Real models unpack to some 5 to 30 times their size (from experience, no source). */
export const mostUnpackedBytes = (packed: number): number => 32 * 1024 * 1024 + 100 * packed;
const mostEntries = 10_000;
const mostNameCharacters = 260;

/** Takes the text of one part in pieces, then is told that it is complete. */
export interface PartReader {
  write(text: string): void;
  close(): void;
}

/** Opens a reader for each part whose name ends in `.model`; all other parts are passed over. */
export function unpackModels(
  bytes: Uint8Array,
  open: (name: string) => PartReader,
  onProgress?: (share: number) => void,
): void {
  const most = mostUnpackedBytes(bytes.length);
  let unpacked = 0;
  let entries = 0;
  let isDone = true; // of the part that is being unpacked
  const unzip = new Unzip((entry) => {
    if (++entries > mostEntries) throw bomb(`at most ${String(mostEntries)} parts`, 'more');
    const { name } = entry;
    if (!/\.model$/i.test(name)) return;
    if (name.length > mostNameCharacters)
      throw bomb(`names of at most ${String(mostNameCharacters)} characters`, `${String(name.length)}`);
    if (entry.compression !== 0 && entry.compression !== 8)
      throw new UnreadableModel(
        'The 3MF file is packed in an unknown way',
        'stored or deflated parts (method 0 or 8)',
        `method ${String(entry.compression)}`,
        exportAgain,
      );
    const reader = open(name);
    const decoder = new TextDecoder('utf-8');
    isDone = false;
    entry.ondata = (error, piece, isLast) => {
      if (error) throw error;
      unpacked += piece.length;
      if (unpacked > most) throw bomb(`at most ${megabytes(most)} MB unpacked`, 'more');
      reader.write(decoder.decode(piece, { stream: !isLast }));
      if (!isLast) return;
      isDone = true;
      reader.close();
    };
    entry.start();
  });
  unzip.register(UnzipInflate);
  try {
    for (let from = 0; from < bytes.length; from += pieceBytes) {
      unzip.push(bytes.subarray(from, from + pieceBytes), from + pieceBytes >= bytes.length);
      onProgress?.(Math.min(1, (from + pieceBytes) / bytes.length));
    }
  } catch (error) {
    throw isOfTheArchive(error) ? damaged(error.message) : error;
  }
  if (!isDone) throw damaged('the end of the file within a part');
}

/** The library's errors carry a number; anything else was thrown by a reader or by who stops the reading. */
function isOfTheArchive(error: unknown): error is Error {
  return error instanceof Error && typeof (error as { code?: unknown }).code === 'number';
}

function damaged(got: string): UnreadableModel {
  return new UnreadableModel(
    'The 3MF file is damaged or cut short',
    'a whole zip archive',
    got,
    'Copy or export it again',
  );
}

function bomb(expected: string, got: string): UnreadableModel {
  return new UnreadableModel('The 3MF file unpacks to far more than a model of its size', expected, got, exportAgain);
}

function megabytes(bytes: number): string {
  return String(Math.round(bytes / 1_000_000));
}
