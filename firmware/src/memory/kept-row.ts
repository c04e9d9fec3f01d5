/*
 * The one row that every restart begins with: whose numbers these are, what was sent, and the run that was interrupted. Kept in two
 * places written in turn, so that a cut within the writing leaves the row before. Changed by the outbox and the keeper.
 *
 * The incarnation is drawn at random when the memory is first used or found damaged, so that no number is ever used twice.
 */
import type { BlockMemory } from '../ports.js';
import { checkedBytes } from './rows.js';

/** Columns. Those from `recipe` on hold the recipe, 0 for its number when there is none; see run-journal.ts. */
export const KeptColumn = {
  generation: 0,
  incarnation: 1,
  boot: 2,
  /** the dashboard was sent records through this number */
  sentRecords: 3,
  sentEvents: 4,
  phase: 5,
  run: 6,
  /** 1: the run was started and has not ended */
  runIsOpen: 7,
  charge: 8,
  liveMs: 9,
  recipe: 10,
  /** highest counter of a command that was taken, so that none is taken twice, not even after a restart */
  commandCounter: 25,
  /** boots in a row, this one included, that did not see a clean minute yet */
  shortBoots: 26,
  /** what ended the last boot, see boot-guard.ts */
  lastEnd: 27,
  /** seconds since 1970 in the last live second of the run, 0 when no clock was known */
  liveAtSeconds: 28,
} as const;
const COLUMNS = 29;
/** Eight bytes each, as they lie in the interpreter's memory (IEEE 754, lowest byte first): nothing is packed. */
const SUM_AT = COLUMNS * 8;
const ROW_BYTES = SUM_AT + 4;
/** From here on the memory belongs to the chains. */
export const CHAINS_AT = 512;
/** What the column holds. */
const SHORT_BOOTS_COUNTED = 127;
const LOOKS = 8;
/** Divides the size of every memory. */
const WIPE_BYTES = 32;

export interface KeptRow {
  /** Change it, then keep it. */
  readonly row: Float64Array;
  keep(): void;
}

/**
 * The row as the last boot left it. A memory that does not hold our row is wiped first, so that nothing of another life is taken for ours.
 * @onceAtBoot
 */
function foundRow(memory: BlockMemory, randomBits: () => number): Float64Array {
  let newest: Float64Array | undefined;
  // Each place is read more than once: a glitch on the wires must not cost the night that waits here.
  for (let look = 0; look < LOOKS; look++) {
    const bytes = checkedBytes(memory.read((look & 1) * ROW_BYTES, ROW_BYTES));
    const found = bytes && new Float64Array(bytes.buffer, 0, COLUMNS);
    if (found && !(newest && newest[0]! > found[0]!)) newest = found;
  }
  if (!newest) {
    for (let at = 0; at < memory.bytes; at += WIPE_BYTES) memory.write(at, new Uint8Array(WIPE_BYTES));
  }
  const row = new Float64Array(new ArrayBuffer(ROW_BYTES), 0, COLUMNS);
  if (newest) row.set(newest);
  if (!row[KeptColumn.incarnation]) row[KeptColumn.incarnation] = randomBits() >>> 0 || 1;
  row[KeptColumn.boot]!++;
  if (row[KeptColumn.shortBoots]! < SHORT_BOOTS_COUNTED) row[KeptColumn.shortBoots]!++;
  return row;
}

/** Counts this boot, and keeps that it did. */
export function openKeptRow(memory: BlockMemory, randomBits: () => number): KeptRow {
  const row = foundRow(memory, randomBits);
  let generation = row[KeptColumn.generation]!;
  const sum = new Int32Array(row.buffer, SUM_AT, 1);
  const keep = function (): void {
    // Counted only when it was written: until then the same place is tried again, never the one that holds the last good row.
    row[KeptColumn.generation] = generation + 1;
    sum[0] = E.CRC32(new Uint8Array(row.buffer, 0, SUM_AT));
    memory.write((row[KeptColumn.generation]! & 1) * ROW_BYTES, new Uint8Array(row.buffer));
    generation++;
  };
  keep();
  return { row: row, keep: keep };
}
