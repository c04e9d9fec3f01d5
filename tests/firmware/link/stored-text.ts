/* A row of numbers as a controller keeps and sends it, packed by the firmware's own source. */
import './interpreter-globals.js';
import { RECORD_COLUMNS, RecordColumn } from '@bathkeeper/shared-core/messages';
import { packedRow } from '../../../firmware/src/memory/rows.js';

const textOf = (row: readonly number[]): string => Buffer.from(packedRow(row)).toString('base64');

/** `row`: the columns of RecordColumn. */
export function storedRecord(row: readonly number[]): string {
  return textOf([...row.slice(0, RECORD_COLUMNS), Math.floor(row[RecordColumn.charge]! / 2 ** 32)]);
}

/** `row`: the columns of EventColumn. */
export function storedEvent([sequence, ...rest]: readonly number[]): string {
  return textOf([sequence!, 1, ...rest]);
}
