/*
 * How two neighbouring records become one without losing anything but the time between them. Used by the record chain and the keeper.
 */
import { RECORD_COLUMNS, RecordColumn } from '@bathkeeper/shared-core/messages';
import { type ChainRow, lastSequence } from './chain.js';

/** Behind the columns that go over the wire: what of the charge is above the 32 bits of its own. */
const CHARGE_UPPER_COLUMN = RECORD_COLUMNS;
/** What one of it counts. */
export const CHARGE_UPPER = 4294967296;

/** Whole millicoulombs, of a record as it was kept. @onceAtBoot */
export function chargeOf(row: ChainRow): number {
  return row[CHARGE_UPPER_COLUMN]! * CHARGE_UPPER + (row[RecordColumn.charge]! >>> 0);
}

/** Of more seconds the sums could outgrow their words. */
const SPAN_MAX = 32767;
/** How two neighbours become one, a letter a column: f earlier, l later, e must be equal, + sum, | union, < least, > largest. */
const MERGES = 'f+elee|l+++<>++++|l';

/**
 * Two neighbours as one: sums added, extremes kept, charge and uptime of the later, all exact. Undefined when they are not
 * neighbours within the same boot, run and phase, or when the span would not fit its column.
 */
export function mergedRecord(earlier: ChainRow, later: ChainRow): ChainRow | undefined {
  if (lastSequence(earlier) + 1 !== later[RecordColumn.first]) return undefined;
  const row: ChainRow = [];
  for (let i = 0; i < MERGES.length; i++) {
    const rule = MERGES[i];
    let value = earlier[i]!;
    const other = later[i]!;
    if (rule === 'e' && value !== other) return undefined;
    if (rule === '+') value += other;
    if (rule === '|') value |= other;
    if (rule === 'l' || (rule === '<' && other < value) || (rule === '>' && other > value)) value = other;
    row.push(value);
  }
  return row[RecordColumn.span]! > SPAN_MAX ? undefined : row;
}
