/*
 * A file as the source of a model: read piece by piece into one buffer, which stays where the processor is quick. Used by the command and by the
 * benchmark. Closes the file whatever happens.
 */
import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import type { ModelSource } from '../../model-files/index.js';

const pieceBytes = 1 << 20;
const mostBytes = 2 ** 31 - 1;

/**
 * @throws what opening or reading throws, and an error with the code ERR_FS_FILE_TOO_LARGE above 2 GB.
 * @example
 * withFileSource('bell.stl', (source) => readModel(source));
 */
export function withFileSource<Of>(path: string, use: (source: ModelSource) => Of): Of {
  const file = openSync(path, 'r');
  try {
    const stat = fstatSync(file);
    if (stat.isDirectory()) throw Object.assign(new Error('a folder'), { code: 'EISDIR' });
    if (stat.size > mostBytes) throw Object.assign(new Error('too large'), { code: 'ERR_FS_FILE_TOO_LARGE' });
    const piece = Buffer.allocUnsafeSlow(Math.min(pieceBytes, stat.size));
    const read = (at: number, length: number): Uint8Array => {
      const wanted = Math.min(length, stat.size - at);
      const into = wanted <= piece.length ? piece : Buffer.allocUnsafeSlow(wanted);
      let got = 0;
      while (got < wanted) {
        const more = readSync(file, into, got, wanted - got, at + got);
        // Somebody cut it short meanwhile: what is missing is told by the reader of its format.
        if (more === 0) break;
        got += more;
      }
      return into.subarray(0, got);
    };
    return use({ size: stat.size, read });
  } finally {
    closeSync(file);
  }
}
