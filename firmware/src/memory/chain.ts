/*
 * Numbered rows that wait for the dashboard, oldest first, in fixed slots of byte memory: one chain of records, one of events.
 * When no slot is free, neighbours are merged pairwise, the finest first, so that a long silence is stored coarser and never with
 * a hole; rows that cannot be merged give way oldest first, and the gap in the numbers tells. Never merges a row that was sent.
 *
 * Order and freedom of slots live in RAM and are rebuilt from the slots at boot. A power cut between any two bytes leaves
 * either the two old rows or the merged one, and perhaps an old one within it, which is dropped at boot.
 */
import type { BlockMemory } from '../ports.js';
import { checkedBytes, packedRow, rowBytes } from './rows.js';

/** Column 0 is the first number that the row covers, column 1 how many it covers. Of those that were read the last word is the check sum. */
export type ChainRow = number[] | Int32Array;

/** Two neighbours as one, or undefined when they must stay apart. */
export type Merged = (earlier: ChainRow, later: ChainRow) => ChainRow | undefined;

/**
 * One chain. A record with functions beside it, not an object with methods: there are two of them, and each method would cost the interpreter
 * a dozen variables in each. All but `waiting` belongs to this file.
 */
export interface Chain {
  readonly store: BlockMemory;
  /** Where slot 0 would be; the first is slot 1. */
  readonly originAt: number;
  readonly slotBytes: number;
  /** Without it rows are never merged. */
  readonly merged: Merged | undefined;
  /** For each slot the one behind it, waiting or free, and LEVEL x the level of its row's span. Behind slot 0 is the oldest row. */
  readonly links: Uint16Array;
  /** Rows that wait. All other slots are free. */
  waiting: number;
  /** Slots; 0: none, as of those below. */
  newest: number;
  unused: number;
  lastNumber: number;
  /** The newest row that was sent; all before it were. */
  lastSent: number;
  /** The last number it covers, or the last before it that could be read. */
  lastSentNumber: number;
  /** Merging goes on behind this slot; 0: at the oldest that was never sent. */
  cursor: number;
  /** Pairs whose levels are both below it are merged. It rises when none is left, so coarseness stays even over the whole silence. */
  levelAim: number;
}

const TAKEN_MAX = 8;
/** A link's lower bits are a slot, the upper ones a level. */
const LEVEL = 1024;
const SLOT = LEVEL - 1;
/** The span is the second word; zeros in it break the check sum and so free the slot. */
const SPAN_AT = 4;
/** Two spans below 2 ** 14 fit the span's column together; longer ones stay apart. */
const LEVEL_AIM_MAX = 14;
/** Pairs looked at in vain before one more costs too much time: each is read from memory. */
const MISSES_MAX = 24;

/** Last number that a row covers. */
export function lastSequence(row: ChainRow): number {
  return row[0]! + row[1]! - 1;
}

/** How often the span can be halved, times LEVEL. Example: of a span of 40 it is 5 x LEVEL. */
function levelBits(span: number): number {
  let bits = 0;
  for (; span > 1; span >>= 1) bits += LEVEL;
  return bits;
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

/** Looked at twice: a glitch on the wires must not make a row look like a slot that is free. */
function read(chain: Chain, slot: number): Int32Array | undefined {
  const length = chain.slotBytes;
  const at = chain.originAt + slot * length;
  const bytes = checkedBytes(chain.store.read(at, length)) || checkedBytes(chain.store.read(at, length));
  return bytes && new Int32Array(bytes.buffer);
}

/** Puts a slot behind another one; behind slot 0 it is the oldest. */
function link(chain: Chain, before: number, slot: number): void {
  chain.links[before] = (chain.links[before]! & ~SLOT) | slot;
}

/** Behind the first: a write that threw may have left a whole row in the first one, and the next write has to go over it. */
function pushUnused(chain: Chain, slot: number): void {
  const first = chain.unused;
  chain.links[slot] = first && chain.links[first]!;
  if (first) chain.links[first] = slot;
  else chain.unused = slot;
}

/** A write that throws leaves an old row behind, which is dropped at the next boot or sent twice; the slot itself is never lost. */
function clear(chain: Chain, slot: number): void {
  chain.store.write(chain.originAt + slot * chain.slotBytes + SPAN_AT, [0, 0]);
}

/** Writes into an unused slot, takes it and links it to `following`; a write that throws leaves it unused. */
function writeUnused(chain: Chain, row: ChainRow, following: number): number {
  const slot = chain.unused;
  chain.store.write(chain.originAt + slot * chain.slotBytes, packedRow(row));
  chain.unused = chain.links[slot]!;
  chain.links[slot] = levelBits(row[1]!) | following;
  return slot;
}

function dropOldest(chain: Chain): void {
  const slot = chain.links[0]!;
  const following = chain.links[slot]! & SLOT;
  chain.links[0] = following;
  if (!following) {
    chain.newest = 0;
    chain.levelAim = 1;
  }
  if (chain.lastSent === slot) chain.lastSent = 0;
  chain.cursor = 0;
  chain.waiting--;
  pushUnused(chain, slot);
  clear(chain, slot);
}

/** Frees one slot: by merging the first pair within the aimed level, or by dropping the oldest when too few can be merged. */
function coarsen(chain: Chain): void {
  const links = chain.links;
  let misses = 0;
  while (chain.merged && chain.levelAim <= LEVEL_AIM_MAX && misses < MISSES_MAX) {
    const aim = chain.levelAim * LEVEL;
    let before = chain.cursor || chain.lastSent;
    let slot = links[before]! & SLOT;
    let following;
    while (slot && (following = links[slot]! & SLOT)) {
      if (links[slot]! < aim && links[following]! < aim) {
        const earlier = read(chain, slot);
        const later = read(chain, following);
        const row = earlier && later && chain.merged(earlier, later);
        if (row) {
          const place = writeUnused(chain, row, links[following]! & SLOT);
          link(chain, before, place);
          if (chain.newest === following) chain.newest = place;
          chain.cursor = before;
          chain.waiting--;
          pushUnused(chain, slot);
          pushUnused(chain, following);
          clear(chain, following);
          clear(chain, slot);
          return;
        }
        misses++;
      }
      before = slot;
      slot = following;
    }
    if (!chain.cursor) chain.levelAim++;
    chain.cursor = 0;
  }
  dropOldest(chain);
}

/** Keeps a row under the next numbers. Throws when the memory does not answer: the row may be brought again. */
export function appendRow(chain: Chain, row: ChainRow): void {
  row[0] = chain.lastNumber + 1;
  // Two unused ones beside slot 0: for this row, and for the next merge.
  while (chain.waiting > chain.links.length - 3) coarsen(chain);
  const slot = writeUnused(chain, row, 0);
  chain.lastNumber = lastSequence(row);
  link(chain, chain.newest, slot);
  chain.newest = slot;
  chain.waiting++;
}

/** Leaves a gap in the numbers: rows of so many were lost before they came here. */
export function skipNumbers(chain: Chain, count: number): void {
  chain.lastNumber += count;
}

/** The oldest rows, at most eight. From now on they are never merged. */
export function takeOldest(chain: Chain): Int32Array[] {
  const rows: Int32Array[] = [];
  let slot = 0;
  while ((slot = chain.links[slot]! & SLOT) && rows.length < TAKEN_MAX) {
    const row = read(chain, slot);
    if (row) {
      rows.push(row);
      chain.lastSentNumber = lastSequence(row);
    }
    // Those that were sent before are among them: there are never more than were taken at once.
    chain.lastSent = slot;
  }
  chain.cursor = 0;
  return rows;
}

/** The newest row, if one waits. @onceAtBoot */
export function newestRow(chain: Chain): ChainRow | undefined {
  return chain.newest ? read(chain, chain.newest) : undefined;
}

/** Frees what is on the dashboard's disk: all sent rows through this number. */
export function release(chain: Chain, through: number): void {
  while (chain.lastSent) {
    // Nearly always all that was sent, and then none has to be looked at.
    if (through < chain.lastSentNumber) {
      const row = read(chain, chain.links[0]!);
      if (row && lastSequence(row) > through) return;
    }
    dropOldest(chain);
  }
}

/**
 * `sentThrough`: rows through this number were sent before the boot; new ones are numbered after it and after all that is stored.
 * @onceAtBoot
 */
export function openChain(
  memory: BlockMemory,
  address: number,
  slots: number,
  columns: number,
  sentThrough: number,
  merged?: Merged,
): Chain {
  const slotBytes = rowBytes(columns);
  const chain: Chain = {
    store: memory,
    originAt: address - slotBytes,
    slotBytes: slotBytes,
    merged: merged,
    links: new Uint16Array(slots + 1),
    waiting: 0,
    newest: 0,
    unused: 0,
    lastNumber: 0,
    lastSent: 0,
    lastSentNumber: 0,
    cursor: 0,
    levelAim: 1,
  };
  const order = new Float64Array(slots);
  let count = 0;
  for (let slot = slots; slot; slot--) {
    const row = read(chain, slot);
    // Sorted by first number, with the slot behind it.
    if (row) order[count++] = row[0]! * LEVEL + slot;
    else pushUnused(chain, slot);
  }
  sortAscending(order, count);
  let before = 0;
  for (let i = 0; i < count; i++) {
    const slot = order[i]! % LEVEL;
    const row = read(chain, slot)!;
    const last = lastSequence(row);
    if (last <= chain.lastNumber) {
      // A cut fell between a merge and the freeing of its parts: this one is within the row before it.
      pushUnused(chain, slot);
      clear(chain, slot);
      continue;
    }
    if (row[0]! <= chain.lastNumber) {
      // The same cut, found from the other side: the row before is within this one.
      pushUnused(chain, chain.newest);
      clear(chain, chain.newest);
      chain.waiting--;
      chain.newest = before;
    }
    link(chain, chain.newest, slot);
    before = chain.newest;
    chain.newest = slot;
    const bits = levelBits(row[1]!);
    chain.links[slot] = bits;
    chain.waiting++;
    chain.lastNumber = last;
    if (last <= sentThrough) {
      chain.lastSent = slot;
      chain.lastSentNumber = last;
    }
    chain.levelAim = Math.max(chain.levelAim, bits / LEVEL);
  }
  chain.lastNumber = Math.max(chain.lastNumber, sentThrough);
  return chain;
}
