/*
 * Numbered rows that wait for the dashboard, oldest first, in fixed slots of byte memory: one chain of records, one of events.
 * When no slot is free, neighbours are merged pairwise, the finest first, so that a long silence is stored coarser and never with
 * a hole; rows that cannot be merged give way oldest first, and the gap in the numbers tells. Never merges a row that was sent.
 *
 * Order and freedom of slots live in RAM and are rebuilt from the slots at boot. A power cut between any two bytes leaves
 * either the two old rows or the merged one, and perhaps an old one within it, which is dropped at boot.
 */
import type { BlockMemory } from '../ports.js';
import { packedRow, rowBytes, unpackedRow, type Widths } from './rows.js';

/** Column 0 is the first number that the row covers, column 1 how many it covers. */
export type ChainRow = number[];

export interface Chain {
  /** Rows that wait. */
  waiting: number;
  /** Keeps a row under the next numbers. Throws when the memory does not answer: the row may be brought again. */
  append(row: ChainRow): void;
  /** Leaves a gap in the numbers: rows of so many were lost before they came here. */
  skip(count: number): void;
  /** The oldest rows, at most eight. From now on they are never merged. */
  takeOldest(): ChainRow[];
  /** Frees what is on the dashboard's disk: all sent rows through this number. */
  release(through: number): void;
}

const TAKEN_MAX = 8;
const NONE = 65535;
/** Slots are sorted by first number x SLOTS_MAX + slot. */
const SLOTS_MAX = 1024;
/** The span is 2 bytes behind the 4 of the number; zeros in it break the check sum and so free the slot. */
const SPAN_AT = 4;
/** Beyond it no pair fits the span's column. */
const AIM_MAX = 32768;
/** Pairs looked at in vain before one more costs too much time: each is read from memory. */
const MISSES_MAX = 24;

/** Last number that a row covers. */
export function lastSequence(row: ChainRow): number {
  return row[0]! + row[1]! - 1;
}

/** Shell's method: in place and without a callback for each comparison. */
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

/**
 * `sentThrough`: rows through this number were sent before the boot; new ones are numbered after it and after all that is stored.
 * `merged` gives two neighbours as one, or undefined when they must stay apart; without it rows are never merged.
 */
export function openChain(
  memory: BlockMemory,
  address: number,
  slots: number,
  widths: Widths,
  sentThrough: number,
  merged?: (earlier: ChainRow, later: ChainRow) => ChainRow | undefined,
): Chain {
  const slotBytes = rowBytes(widths);
  const next = new Uint16Array(slots);
  const span = new Uint16Array(slots);
  let head = NONE;
  let tail = NONE;
  let free = NONE;
  let freeCount = 0;
  let lastNumber = 0;
  /** The newest row that was sent; all before it were. */
  let lastSent = NONE;
  /** Merging goes on behind this slot; NONE: at the oldest that was never sent. */
  let cursor = NONE;
  /** Pairs up to this span are merged. It doubles when none is left, so coarseness stays even over the whole silence. */
  let spanAim = 2;

  const read = function (slot: number, columns?: number): ChainRow | undefined {
    return unpackedRow(widths, memory.read(address + slot * slotBytes, slotBytes), columns);
  };
  /** Behind the first: a write that threw may have left a whole row in the first one, and the next write has to go over it. */
  const pushFree = function (slot: number): void {
    if (free === NONE) {
      next[slot] = NONE;
      free = slot;
    } else {
      next[slot] = next[free]!;
      next[free] = slot;
    }
    freeCount++;
  };
  /** A write that throws leaves an old row behind, which is dropped at the next boot or sent twice; the slot itself is never lost. */
  const clear = function (slot: number): void {
    memory.write(address + slot * slotBytes + SPAN_AT, [0, 0]);
  };
  const giveBack = function (slot: number): void {
    pushFree(slot);
    clear(slot);
  };
  /** Writes into a free slot and takes it; a write that throws leaves it free. */
  const writeFree = function (row: ChainRow): number {
    const slot = free;
    memory.write(address + slot * slotBytes, packedRow(widths, row));
    free = next[slot]!;
    freeCount--;
    span[slot] = row[1]!;
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
    chain.waiting--;
    giveBack(slot);
  };

  /** Frees one slot: by merging the first pair within the aimed span, or by dropping the oldest when too few can be merged. */
  const coarsen = function (): void {
    let misses = 0;
    while (merged && spanAim <= AIM_MAX && misses < MISSES_MAX) {
      let before = cursor === NONE ? lastSent : cursor;
      let slot = before === NONE ? head : next[before]!;
      while (slot !== NONE && next[slot] !== NONE) {
        const following = next[slot]!;
        if (span[slot]! + span[following]! <= spanAim) {
          const earlier = read(slot);
          const later = read(following);
          const row = earlier && later && merged(earlier, later);
          if (row) {
            const place = writeFree(row);
            next[place] = next[following]!;
            linkBehind(before, place);
            if (tail === following) tail = place;
            cursor = before;
            chain.waiting--;
            pushFree(slot);
            giveBack(following);
            clear(slot);
            return;
          }
          misses++;
        }
        before = slot;
        slot = following;
      }
      if (cursor === NONE) spanAim *= 2;
      cursor = NONE;
    }
    dropOldest();
  };

  const chain: Chain = {
    waiting: 0,
    append: function (row: ChainRow): void {
      row[0] = lastNumber + 1;
      while (freeCount < 2) coarsen();
      const slot = writeFree(row);
      lastNumber = lastSequence(row);
      linkBehind(tail, slot);
      next[slot] = NONE;
      tail = slot;
      chain.waiting++;
    },
    skip: function (count: number): void {
      lastNumber += count;
    },
    takeOldest: function (): ChainRow[] {
      const rows: ChainRow[] = [];
      for (let slot = head; slot !== NONE && rows.length < TAKEN_MAX; slot = next[slot]!) {
        const row = read(slot);
        if (row) rows.push(row);
        // Those that were sent before are among them: there are never more than were taken at once.
        lastSent = slot;
      }
      cursor = NONE;
      return rows;
    },
    release: function (through: number): void {
      while (lastSent !== NONE) {
        const row = read(head, 2);
        if (row && lastSequence(row) > through) return;
        dropOldest();
      }
    },
  };

  /** A function of its own, so that the long list is given back: the interpreter keeps all variables that a closure could see. */
  const rebuild = function (): void {
    const order = new Float64Array(slots);
    let count = 0;
    for (let slot = slots; slot--;) {
      const row = read(slot, 1);
      if (row) order[count++] = row[0]! * SLOTS_MAX + slot;
      else pushFree(slot);
    }
    sortAscending(order, count);
    let before = NONE;
    for (let i = 0; i < count; i++) {
      const slot = order[i]! % SLOTS_MAX;
      const row = read(slot, 2)!;
      const last = lastSequence(row);
      if (last <= lastNumber) {
        // A cut fell between a merge and the freeing of its parts: this one is within the row before it.
        giveBack(slot);
        continue;
      }
      if (row[0]! <= lastNumber) {
        // The same cut, found from the other side: the row before is within this one.
        giveBack(tail);
        chain.waiting--;
        tail = before;
      }
      linkBehind(tail, slot);
      before = tail;
      tail = slot;
      next[slot] = NONE;
      chain.waiting++;
      lastNumber = last;
      if (last <= sentThrough) lastSent = slot;
      span[slot] = row[1]!;
      if (row[1]! > spanAim) spanAim = row[1]!;
    }
  };
  rebuild();
  lastNumber = Math.max(lastNumber, sentThrough);
  return chain;
}
