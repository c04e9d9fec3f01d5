/*
 * The files of a ZIP archive (PKWARE APPNOTE.TXT) by its own list of them, which stands at its end: each wanted one once, in whatever folder it was packed, unpacked piece
 * by piece and checked against its checksum. Opened by read-csv.ts; what is packed small may be endless inside, and no more is unpacked than the archive says.
 */
import { crc32 } from 'node:zlib';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { isOfTheDisk, SEND_AGAIN, shownCell, shownSome, UnreadableRun } from './unreadable-run.js';

/** Of all wanted files together. */
const UNPACKED_BYTES_MAX = 2_000_000_000;
const FILES_MAX = 1000;
const THE_ARCHIVE = 'The archive';

export interface Archive {
  /** Of every file but folders and what a system adds by itself. */
  readonly names: readonly string[];
  has(file: string): boolean;
  /** Its bytes; throws UnreadableRun where they are not those that were packed. */
  bytesOf(file: string): AsyncGenerator<Uint8Array>;
  close(): void;
}

/** Throws UnreadableRun where one of `wanted` is there twice, locked, or packed as this program does not unpack. */
export async function openArchive(path: string, wanted: readonly string[]): Promise<Archive> {
  const zip = await soundly('its list of files, which stands at its end, cannot be read: it was cut off or is damaged', THE_ARCHIVE, () =>
    openPromise(path, { autoClose: false }),
  ); // prettier-ignore
  try {
    const entries = await soundly('its list of files is damaged', THE_ARCHIVE, () => listed(zip));
    const found = new Map<string, Entry>();
    for (const entry of entries) {
      const name = baseOf(entry.fileName);
      if (!wanted.includes(name)) continue;
      const other = found.get(name);
      if (other !== undefined)
        throw new UnreadableRun(THE_ARCHIVE, `it holds ${name} twice, as ${shownCell(other.fileName)} and as ${shownCell(entry.fileName)}. Expected the files of one run: pack each run into an archive of its own.`); // prettier-ignore
      checkUnpackable(name, entry);
      found.set(name, entry);
    }
    checkSize([...found.values()]);
    return {
      names: entries.map(({ fileName }) => fileName),
      has: (file) => found.has(file),
      bytesOf: (file) => unpacked(zip, found.get(file)!, file),
      close: () => {
        zip.close();
      },
    };
  } catch (fault) {
    zip.close();
    throw fault;
  }
}

async function listed(zip: ZipFile): Promise<Entry[]> {
  const entries: Entry[] = [];
  for await (const entry of zip.eachEntry()) {
    if (entries.length === FILES_MAX)
      throw new UnreadableRun(THE_ARCHIVE, `it holds more than ${String(FILES_MAX)} files. Expected those of one run.`);
    // What a Mac adds to every archive that it packs has the names of what it belongs to.
    if (!entry.fileName.endsWith('/') && !/^__MACOSX\/|(^|\/)\._/.test(entry.fileName)) entries.push(entry);
  }
  return entries;
}

const baseOf = (fileName: string): string => fileName.split('/').at(-1) ?? '';

function checkUnpackable(name: string, entry: Entry): void {
  if (entry.isEncrypted())
    throw new UnreadableRun(name, 'it is locked with a password. Pack it anew without one, and import that.');
  if (!entry.canDecodeFileData())
    throw new UnreadableRun(name, `it is packed by method ${String(entry.compressionMethod)}. Expected 8 (Deflate) or 0 (not packed), as an ordinary ZIP archive has them: pack it anew so.`); // prettier-ignore
}

function checkSize(entries: readonly Entry[]): void {
  const bytes = entries.reduce((sum, { uncompressedSize }) => sum + uncompressedSize, 0);
  if (!(bytes <= UNPACKED_BYTES_MAX))
    throw new UnreadableRun(THE_ARCHIVE, `unpacked it is ${megabytes(bytes)} MB large. Expected one run, of at most ${megabytes(UNPACKED_BYTES_MAX)} MB.`); // prettier-ignore
}

const megabytes = (bytes: number): string => Math.round(bytes / 1e6).toLocaleString('en-US');

async function* unpacked(zip: ZipFile, entry: Entry, file: string): AsyncGenerator<Uint8Array> {
  let checksum = 0;
  const stream = await soundly('it cannot be unpacked: the archive is damaged', file, () =>
    zip.openReadStreamPromise(entry),
  );
  const pieces = stream[Symbol.asyncIterator]() as AsyncIterator<Uint8Array>;
  try {
    for (;;) {
      const piece = await soundly('it cannot be unpacked: the archive is damaged', file, () => pieces.next());
      if (piece.done === true) break;
      checksum = crc32(piece.value, checksum);
      yield piece.value;
    }
  } finally {
    stream.destroy();
  }
  if (checksum !== entry.crc32)
    throw new UnreadableRun(file, `it is not what was packed, by the checksum of the archive: it was damaged or changed since. ${SEND_AGAIN}`); // prettier-ignore
}

/** What the library says of nonsense is for programmers. */
async function soundly<T>(words: string, place: string, act: () => Promise<T>): Promise<T> {
  try {
    return await act();
  } catch (fault) {
    if (fault instanceof UnreadableRun || isOfTheDisk(fault)) throw fault;
    throw new UnreadableRun(place, `${words}. ${SEND_AGAIN}`);
  }
}

/** Example: "readme.txt, night.csv and 3 more". */
export const namesWords = (names: readonly string[]): string => (names.length === 0 ? 'no file' : shownSome(names));
