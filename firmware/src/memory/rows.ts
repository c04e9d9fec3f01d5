/*
 * One way to keep rows of whole numbers in byte memory: words of four bytes, lowest byte first, as a typed array lies in the interpreter's own
 * memory, and a check sum at the end that shows a torn or foreign row. So packing and unpacking are the interpreter's, not the program's. Used by
 * the record and event chains; the kept row has its own form. Knows no column's meaning and stores no names.
 */

const WORD_BYTES = 4;

/** The check sum of bytes that end with their own, lowest byte first, is always this: CRC-32 as in ISO 3309 and IEEE 802.3. */
const RIGHT_SUM = 0x2144df1c;

/** Bytes of a row with its check sum. Example: `rowBytes(9)` is 40. */
export function rowBytes(columns: number): number {
  return (columns + 1) * WORD_BYTES;
}

/** The bytes of a row. A number too large for a word loses its upper bytes. */
export function packedRow(row: ArrayLike<number>): Uint8Array {
  const columns = row.length;
  const words = new Int32Array(columns + 1);
  words.set(row);
  words[columns] = E.CRC32(new Uint8Array(words.buffer, 0, columns * WORD_BYTES));
  return new Uint8Array(words.buffer);
}

/** A copy of the bytes, or undefined when their check sum is wrong. */
export function checkedBytes(kept: ArrayLike<number>): Uint8Array | undefined {
  const bytes = new Uint8Array(kept);
  return E.CRC32(bytes) === RIGHT_SUM ? bytes : undefined;
}
