/*
 * The events that wait for the dashboard, in a ring of byte memory: an event's place is its number modulo the ring's size.
 * Never merged. When the ring is full the oldest gives way, and the gap in the numbers tells. Used by the outbox.
 */
import { EventColumn } from '@bathkeeper/shared-core/messages';
import type { BlockMemory } from '../ports.js';
import { packedRow, rowBytes, unpackedRow, type Widths } from './rows.js';

/** In the order of EventColumn. */
export type EventRow = number[];

/** In the order of EventColumn. */
export const EVENT_WIDTHS: Widths = [4, 2, 4, 2, 1, 1, -4, -4];
export const EVENT_BYTES = rowBytes(EVENT_WIDTHS);

export interface EventRing {
  /** Events that wait. */
  waiting(): number;
  /** Keeps an event; the ring sets its number. */
  append(row: EventRow): void;
  /** The oldest events, at most `count`. */
  oldest(count: number): EventRow[];
  /** Forgets all events through this number; returns the number through which all are now forgotten. */
  release(through: number): number;
}

/** `releasedThrough`: events through this number were on the dashboard's disk before the boot. */
export function eventRing(memory: BlockMemory, address: number, slots: number, releasedThrough: number): EventRing {
  let newest = releasedThrough;
  let released = releasedThrough;

  const read = function (place: number): EventRow | undefined {
    return unpackedRow(EVENT_WIDTHS, memory.read(address + place * EVENT_BYTES, EVENT_BYTES), EVENT_WIDTHS.length);
  };
  for (let place = 0; place < slots; place++) {
    const row = read(place);
    if (row && row[EventColumn.sequence]! > newest) newest = row[EventColumn.sequence]!;
  }
  const forgetOverwritten = function (): void {
    if (newest - released > slots) released = newest - slots;
  };
  forgetOverwritten();

  return {
    waiting: function (): number {
      return newest - released;
    },
    append: function (row: EventRow): void {
      row[EventColumn.sequence] = newest + 1;
      memory.write(address + ((newest + 1) % slots) * EVENT_BYTES, packedRow(EVENT_WIDTHS, row));
      newest++;
      forgetOverwritten();
    },
    oldest: function (count: number): EventRow[] {
      const rows: EventRow[] = [];
      for (let sequence = released + 1; sequence <= newest && rows.length < count; sequence++) {
        const row = read(sequence % slots);
        if (row && row[EventColumn.sequence] === sequence) rows.push(row);
      }
      return rows;
    },
    release: function (through: number): number {
      if (through > released) released = Math.min(through, newest);
      return released;
    },
  };
}
