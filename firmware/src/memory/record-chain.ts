/*
 * The records that wait for the dashboard, oldest first, in fixed slots of byte memory. When no slot is free, neighbours are
 * merged pairwise, the finest first, so that a long silence is stored coarser and never with a hole. Used by the outbox.
 * Never merges a record that was sent, and never forgets one that was not acknowledged while a merge is possible.
 *
 * Order and freedom of slots live in RAM and are rebuilt from the slots at boot. A power cut between any two bytes leaves
 * either the two old records or the merged one, and perhaps an old one within it, which is dropped at boot.
 */
import { RecordColumn } from '@bathkeeper/shared-core/messages';
import type { BlockMemory } from '../ports.js';
import { lastSequence, mergedRecord, RECORD_BYTES, RECORD_WIDTHS, type RecordRow, SPAN_MAX } from './record-row.js';
import { packedRow, unpackedRow } from './rows.js';

export interface RecordChain {
  /** Records that wait. */
  waiting(): number;
  /** Last sequence number that was ever stored here, as far as the slots tell. */
  lastStored(): number;
  /** Keeps a record. Its number is higher than all before it. */
  append(row: RecordRow): void;
  /** The oldest records, at most `count`. From now on they are never merged. */
  takeOldest(count: number): RecordRow[];
  /** Frees what is on the dashboard's disk: all sent records through this sequence number. */
  release(through: number): void;
}

const NONE = 65535;
/** Slots are sorted by first sequence x SLOTS_MAX + slot. */
const SLOTS_MAX = 1024;
/** First two columns, first and span; the span is overwritten with zeros to free a slot, which breaks its check sum. */
const SPAN_AT = 4;
const SPAN_COLUMNS = 2;

/** Shell's method: in place, without a callback for each comparison, and the interpreter's own sort is slow on sorted rows. */
function sortAscending(values: Float64Array, count: number): void {
  for (let gap = count >> 1; gap; gap >>= 1) {
    for (let i = gap; i < count; i++) {
      const value = values[i]!;
      let at = i;
      for (; at >= gap && values[at - gap]! > value; at -= gap) values[at] = values[at - gap]!;
      values[at] = value;
    }
  }
}

/** `sentThrough`: records through this number were sent before the boot and are not merged. */
export function recordChain(memory: BlockMemory, address: number, slots: number, sentThrough: number): RecordChain {
  const next = new Uint16Array(slots);
  const span = new Uint16Array(slots);
  let head = NONE;
  let tail = NONE;
  let free = NONE;
  let freeCount = 0;
  let waiting = 0;
  let lastStored = 0;
  /** The newest record that was sent; all before it were. */
  let lastSent = NONE;
  /** Merging goes on behind this slot; NONE: at the oldest that was never sent. */
  let cursor = NONE;
  /** Pairs up to this span are merged. It doubles when none is left, so coarseness stays even over the whole silence. */
  let spanAim = 2;

  const read = function (slot: number, columns: number): RecordRow | undefined {
    return unpackedRow(RECORD_WIDTHS, memory.read(address + slot * RECORD_BYTES, RECORD_BYTES), columns);
  };
  const readWhole = function (slot: number): RecordRow | undefined {
    return read(slot, RECORD_WIDTHS.length);
  };
  const pushFree = function (slot: number): void {
    next[slot] = free;
    free = slot;
    freeCount++;
  };
  const giveBack = function (slot: number): void {
    memory.write(address + slot * RECORD_BYTES + SPAN_AT, [0, 0]);
    pushFree(slot);
  };
  /** Writes into a free slot and takes it; a write that throws leaves it free. */
  const writeFree = function (row: RecordRow): number {
    const slot = free;
    memory.write(address + slot * RECORD_BYTES, packedRow(RECORD_WIDTHS, row));
    free = next[slot]!;
    freeCount--;
    span[slot] = row[RecordColumn.span]!;
    return slot;
  };
  const linkBehind = function (before: number, slot: number): void {
    if (before === NONE) head = slot;
    else next[before] = slot;
  };
  const dropOldest = function (): void {
    const slot = head;
    head = next[slot]!;
    if (head === NONE) {
      tail = NONE;
      spanAim = 2;
    }
    if (lastSent === slot) lastSent = NONE;
    cursor = NONE;
    waiting--;
    giveBack(slot);
  };

  /** Frees one slot: by merging the first pair within the aimed span, or, when nothing at all can be merged, by dropping the oldest. */
  const coarsen = function (): void {
    for (;;) {
      let before = cursor === NONE ? lastSent : cursor;
      let slot = before === NONE ? head : next[before]!;
      while (slot !== NONE && next[slot] !== NONE) {
        const following = next[slot]!;
        if (span[slot]! + span[following]! <= spanAim) {
          const merged = mergedRecord(readWhole(slot), readWhole(following));
          if (merged) {
            const place = writeFree(merged);
            next[place] = next[following]!;
            linkBehind(before, place);
            if (tail === following) tail = place;
            cursor = before;
            waiting--;
            giveBack(slot);
            giveBack(following);
            return;
          }
        }
        before = slot;
        slot = following;
      }
      if (cursor !== NONE) cursor = NONE;
      else if (spanAim <= SPAN_MAX) spanAim *= 2;
      else {
        dropOldest();
        return;
      }
    }
  };

  const rebuild = function (): void {
    const order = new Float64Array(slots);
    let count = 0;
    for (let slot = slots; slot--;) {
      const row = read(slot, SPAN_COLUMNS);
      if (row) order[count++] = row[RecordColumn.first]! * SLOTS_MAX + slot;
      else pushFree(slot);
    }
    sortAscending(order, count);
    let before = NONE;
    for (let i = 0; i < count; i++) {
      const slot = order[i]! % SLOTS_MAX;
      const row = read(slot, SPAN_COLUMNS)!;
      const last = lastSequence(row);
      if (last <= lastStored) {
        // A cut fell between a merge and the freeing of its parts: this one is within the record before it.
        giveBack(slot);
        continue;
      }
      if (row[RecordColumn.first]! <= lastStored) {
        // The same cut, found from the other side: the record before is within this one.
        giveBack(tail);
        waiting--;
        tail = before;
      }
      linkBehind(tail, slot);
      before = tail;
      tail = slot;
      next[slot] = NONE;
      waiting++;
      lastStored = last;
      if (last <= sentThrough) lastSent = slot;
      span[slot] = row[RecordColumn.span]!;
      if (span[slot]! > spanAim) spanAim = span[slot]!;
    }
  };
  rebuild();

  return {
    waiting: function (): number {
      return waiting;
    },
    lastStored: function (): number {
      return lastStored;
    },
    append: function (row: RecordRow): void {
      while (freeCount < 2) coarsen();
      lastStored = lastSequence(row);
      const slot = writeFree(row);
      linkBehind(tail, slot);
      next[slot] = NONE;
      tail = slot;
      waiting++;
    },
    takeOldest: function (count: number): RecordRow[] {
      const rows: RecordRow[] = [];
      let isUnsent = lastSent === NONE;
      for (let slot = head; slot !== NONE && rows.length < count; slot = next[slot]!) {
        const row = readWhole(slot);
        if (row) rows.push(row);
        if (isUnsent) lastSent = slot;
        else isUnsent = slot === lastSent;
      }
      cursor = NONE;
      return rows;
    },
    release: function (through: number): void {
      while (lastSent !== NONE) {
        const row = read(head, SPAN_COLUMNS);
        if (row && lastSequence(row) > through) return;
        dropOldest();
      }
    },
  };
}
