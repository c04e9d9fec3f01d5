/*
 * One record: a row of whole numbers with the columns that go over the wire, how many bytes each takes in memory, and how
 * two neighbours become one without losing anything but the time between them. Used by the record chain and the sampler.
 */
import { RecordColumn } from '@bathkeeper/shared-core/messages';
import { type ChainRow, lastSequence } from './chain.js';
import type { Widths } from './rows.js';

/** In the order of RecordColumn. The charge takes five bytes: up to 5.5e11 mC; so do the 32 bits of the conditions. */
export const RECORD_WIDTHS: Widths = new Uint8Array([4, 2, 2, 4, 2, 1, 5, 5, 4, 2, 4, 2, 2, 4, 2, 4, 4, 5]);
/** What the span's column holds. */
const SPAN_MAX = 32767;
/** How two neighbours become one, a letter a column: f earlier, l later, e must be equal, + sum, | union, < least, > largest. */
const MERGES = 'f+elee|l+++<>++++|';

/**
 * Current extremes of a record without a good reading: any reading replaces them in a merge. On the wire they are 0,
 * and electricCount says that they mean nothing.
 */
export const NO_MIN = 32767;
export const NO_MAX = -32768;

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
    if (rule === '|') value = (value | other) >>> 0;
    if (rule === 'l' || (rule === '<' && other < value) || (rule === '>' && other > value)) value = other;
    row.push(value);
  }
  return row[RecordColumn.span]! > SPAN_MAX ? undefined : row;
}
