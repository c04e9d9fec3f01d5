/*
 * Where everything lies in the byte memory, and who this memory belongs to: the incarnation, drawn at random when the memory
 * is first used or found damaged, so that numbers are never used twice, and the count of boots. Opened once at boot.
 */
import type { BlockMemory } from '../ports.js';
import { EVENT_BYTES } from './event-ring.js';
import { RECORD_BYTES } from './record-row.js';
import { twiceKeptRow } from './rows.js';

/** Raise it when a width or a place changes: the memory then starts anew. */
const LAYOUT = 1;
const IDENTITY_AT = 0;
export const MARKS_AT = 32;
export const JOURNAL_AT = 64;
const EVENTS_AT = 512;
const LARGE_BYTES = 8192;
const WIPE_BYTES = 32;

/** RAM where no FRAM answers: 48 records, 16 events. */
export const VOLATILE_BYTES = EVENTS_AT + 16 * EVENT_BYTES + 48 * RECORD_BYTES;

/** Generation, layout, incarnation, boot. */
const IDENTITY_WIDTHS = [4, 1, 4, 2];

export interface MemoryIdentity {
  /** 1 to 2^32 - 1. */
  readonly incarnation: number;
  /** Counts from 1 within the incarnation. */
  readonly boot: number;
  readonly eventsAt: number;
  readonly eventSlots: number;
  readonly recordsAt: number;
  readonly recordSlots: number;
}

/** Counts this boot. A memory without a valid identity is wiped first, so that nothing of another life is taken for ours. */
export function openMemory(memory: BlockMemory, randomBits: () => number): MemoryIdentity {
  let identity = twiceKeptRow(memory, IDENTITY_AT, IDENTITY_WIDTHS);
  let kept = identity.row;
  if (!kept || kept[1] !== LAYOUT) {
    for (let at = 0; at < memory.bytes; at += WIPE_BYTES) {
      memory.write(at, new Uint8Array(Math.min(WIPE_BYTES, memory.bytes - at)));
    }
    identity = twiceKeptRow(memory, IDENTITY_AT, IDENTITY_WIDTHS);
    kept = [0, LAYOUT, randomBits() >>> 0 || 1, 0];
  }
  kept[3] = (kept[3]! + 1) & 65535;
  identity.keep(kept);
  const eventSlots = memory.bytes < LARGE_BYTES ? 16 : 128;
  const recordsAt = EVENTS_AT + eventSlots * EVENT_BYTES;
  return {
    incarnation: kept[2]!,
    boot: kept[3]!,
    eventsAt: EVENTS_AT,
    eventSlots: eventSlots,
    recordsAt: recordsAt,
    recordSlots: Math.floor((memory.bytes - recordsAt) / RECORD_BYTES),
  };
}
