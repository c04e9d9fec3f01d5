/*
 * One way to keep rows of whole numbers in byte memory: fixed columns, and a check sum at the end that shows a torn or foreign
 * row. Used by the record and event chains and the kept row. Knows no column's meaning and stores no names, so that a later
 * build reads what an earlier one wrote.
 */

/** Bytes of each column, 1 to 7. All are signed: one byte holds -128 to 127. (In a typed array a number costs a byte, in a list a variable.) */
export type Widths = ArrayLike<number>;

const CHECK_BYTES = 4;

/** Bytes of a row with its check sum. Example: `rowBytes([4, 2])` is 10. */
export function rowBytes(widths: Widths): number {
  let bytes = CHECK_BYTES;
  for (let i = 0; i < widths.length; i++) bytes += widths[i]!;
  return bytes;
}

/** Check sum of all bytes but the last four, which carry it. */
function checkSum(bytes: Uint8Array): number {
  return E.CRC32(new Uint8Array(bytes.buffer, 0, bytes.length - CHECK_BYTES));
}

/** The bytes of a row, lowest byte first. A number too large for its column loses its upper bytes. */
export function packedRow(widths: Widths, row: ArrayLike<number>): Uint8Array {
  const bytes = new Uint8Array(rowBytes(widths));
  let at = 0;
  const put = function (value: number, width: number): void {
    for (; width; width--) {
      bytes[at++] = value & 255;
      value = Math.floor(value / 256);
    }
  };
  for (let i = 0; i < widths.length; i++) put(row[i]!, widths[i]!);
  put(checkSum(bytes), CHECK_BYTES);
  return bytes;
}

/** The row that the bytes hold, or undefined when their check sum is wrong. `columns` reads only the first few. */
export function unpackedRow(widths: Widths, kept: ArrayLike<number>, columns?: number): number[] | undefined {
  const bytes = new Uint8Array(kept);
  const row: number[] = [];
  let at = 0;
  const get = function (width: number): number {
    at += width;
    let value = bytes[at - 1]! > 127 ? -1 : 0;
    for (let i = 1; i <= width; i++) value = value * 256 + bytes[at - i]!;
    return value;
  };
  const count = columns || widths.length;
  for (let i = 0; i < count; i++) row.push(get(widths[i]!));
  at = bytes.length - CHECK_BYTES;
  return get(CHECK_BYTES) === (checkSum(bytes) | 0) ? row : undefined;
}
