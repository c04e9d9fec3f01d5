/*
 * One way to keep rows of numbers in byte memory: fixed columns, and a check sum at the end that shows a torn or foreign
 * row. Used by the records, the events, the journal and the counters. Knows no column's meaning and stores no names, so
 * that a later build reads what an earlier one wrote.
 */
import type { BlockMemory } from '../ports.js';

/** Bytes of each column: 1 to 6 for whole numbers, negative for signed ones, 8 for a floating point number. */
export type Widths = readonly number[];

const CHECK_BYTES = 4;

/** Bytes of a row with its check sum. Example: `rowBytes([4, -2])` is 10. */
export function rowBytes(widths: Widths): number {
  let bytes = CHECK_BYTES;
  for (let i = 0; i < widths.length; i++) bytes += Math.abs(widths[i]!);
  return bytes;
}

/** Check sum of all bytes but the last four, which carry it. */
function checkSum(bytes: Uint8Array): number {
  return E.CRC32(new Uint8Array(bytes.buffer, 0, bytes.length - CHECK_BYTES));
}

/** The bytes of a row, lowest byte first. A number too large for its column loses its upper bytes. */
export function packedRow(widths: Widths, row: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(rowBytes(widths));
  const view = new DataView(bytes.buffer);
  let at = 0;
  const putWhole = function (value: number, width: number): void {
    for (; width; width--) {
      bytes[at++] = value & 255;
      value = Math.floor(value / 256);
    }
  };
  for (let i = 0; i < widths.length; i++) {
    const width = widths[i]!;
    if (width === 8) {
      view.setFloat64(at, row[i]!);
      at += 8;
    } else putWhole(row[i]!, Math.abs(width));
  }
  putWhole(checkSum(bytes), CHECK_BYTES);
  return bytes;
}

/** The row that the bytes hold, or undefined when their check sum is wrong. `columns` reads only the first few. */
export function unpackedRow(widths: Widths, kept: ArrayLike<number>, columns: number): number[] | undefined {
  const bytes = new Uint8Array(kept);
  const view = new DataView(bytes.buffer);
  const wholeAt = function (at: number, width: number): number {
    let value = 0;
    for (let i = at + width; i-- > at;) value = value * 256 + bytes[i]!;
    return value;
  };
  if (wholeAt(bytes.length - CHECK_BYTES, CHECK_BYTES) !== checkSum(bytes)) return undefined;
  const row: number[] = [];
  let at = 0;
  for (let i = 0; i < columns; i++) {
    const width = Math.abs(widths[i]!);
    let value = width === 8 ? view.getFloat64(at) : wholeAt(at, width);
    at += width;
    if (widths[i]! < 0 && bytes[at - 1]! > 127) value -= Math.pow(256, width);
    row.push(value);
  }
  return row;
}

/** A row that survives a power cut within its own writing: two places, written in turn, the newer whole one counts. */
export interface TwiceKeptRow {
  /** The newest whole row, its first column being the generation; undefined when neither place holds one. */
  readonly row: number[] | undefined;
  /** Keeps a new row. Its first column is set here. */
  keep(row: number[]): void;
}

/** `widths[0]` is the generation, 4 bytes wide. */
export function twiceKeptRow(memory: BlockMemory, address: number, widths: Widths): TwiceKeptRow {
  const size = rowBytes(widths);
  const rows = [0, 1].map(function (place) {
    return unpackedRow(widths, memory.read(address + place * size, size), widths.length);
  });
  const newest = !rows[1] || (rows[0] && rows[0][0]! > rows[1][0]!) ? rows[0] : rows[1];
  let generation = newest ? newest[0]! : 0;
  return {
    row: newest,
    keep: function (row: number[]): void {
      row[0] = ++generation;
      memory.write(address + (generation & 1) * size, packedRow(widths, row));
    },
  };
}
