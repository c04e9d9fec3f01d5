/*
 * Everything that the dashboard has not yet put on its disk: records and events, numbered, kept through power cuts, sent oldest
 * first, forgotten only when an acknowledgement of the same incarnation covers them. Filled once a second by the keeper,
 * emptied by the link. Knows nothing of connections; never loses silently: a gap in the numbers tells.
 */
import { LINK_VERSION, RecordColumn } from '@bathkeeper/shared-core/messages';
import { type EventRow, eventRing } from '../memory/event-ring.js';
import { MARKS_AT, openMemory } from '../memory/memory-map.js';
import { recordChain } from '../memory/record-chain.js';
import type { RecordRow } from '../memory/record-row.js';
import { twiceKeptRow } from '../memory/rows.js';
import type { BlockMemory } from '../ports.js';

/** Rows of each kind in one message. */
const ROWS_MAX = 8;
/** Records wait for company; events take them along. */
const RECORDS_DUE = 5;

export interface Outbox {
  readonly incarnation: number;
  readonly boot: number;
  /** Keeps a record; the outbox sets its number. Throws when the memory does not answer: that number is then a gap. */
  addRecord(row: RecordRow): void;
  /** Keeps an event; the outbox sets its number. */
  addEvent(row: EventRow): void;
  recordsWaiting(): number;
  /** Is there enough to send? */
  isDue(): boolean;
  /** The next message. From now on what is in it is never merged, not even after a power cut. */
  message(uptimeTenths: number, isSimulated: boolean): string;
  /** Forgets what is on disk. Numbers that were never sent, or another incarnation's, change nothing. */
  acknowledge(incarnation: unknown, records: unknown, events: unknown): boolean;
}

export function openOutbox(memory: BlockMemory, randomBits: () => number): Outbox {
  const identity = openMemory(memory, randomBits);
  /** Generation, records sent through, events acknowledged through. */
  const marks = twiceKeptRow(memory, MARKS_AT, [4, 4, 4]);
  let sentRecords = marks.row ? marks.row[1]! : 0;
  let sentEvents = 0;
  let releasedEvents = marks.row ? marks.row[2]! : 0;
  const records = recordChain(memory, identity.recordsAt, identity.recordSlots, sentRecords);
  const events = eventRing(memory, identity.eventsAt, identity.eventSlots, releasedEvents);
  let recordNumber = Math.max(records.lastStored(), sentRecords);

  return {
    incarnation: identity.incarnation,
    boot: identity.boot,
    addRecord: function (row: RecordRow): void {
      row[RecordColumn.first] = ++recordNumber;
      records.append(row);
    },
    addEvent: events.append,
    recordsWaiting: records.waiting,
    isDue: function (): boolean {
      return events.waiting() > 0 || records.waiting() >= RECORDS_DUE;
    },
    message: function (uptimeTenths: number, isSimulated: boolean): string {
      const recordRows = records.takeOldest(ROWS_MAX);
      const eventRows = events.oldest(ROWS_MAX);
      for (let i = 0; i < recordRows.length; i++) {
        const row = recordRows[i]!;
        if (!row[RecordColumn.electricCount]) row[RecordColumn.currentMin] = row[RecordColumn.currentMax] = 0;
      }
      const last = recordRows[recordRows.length - 1];
      if (last && last[RecordColumn.first]! > sentRecords) {
        sentRecords = last[RecordColumn.first]! + last[RecordColumn.span]! - 1;
        marks.keep([0, sentRecords, releasedEvents]);
      }
      if (eventRows.length) sentEvents = eventRows[eventRows.length - 1]![0]!;
      const message: Record<string, unknown> = {};
      message['v'] = LINK_VERSION;
      message['i'] = identity.incarnation;
      message['b'] = identity.boot;
      message['u'] = uptimeTenths;
      message['s'] = isSimulated ? 1 : 0;
      message['r'] = recordRows;
      message['e'] = eventRows;
      return JSON.stringify(message);
    },
    acknowledge: function (incarnation: unknown, throughRecord: unknown, throughEvent: unknown): boolean {
      if (incarnation !== identity.incarnation) return false;
      if (typeof throughRecord === 'number') records.release(throughRecord);
      if (typeof throughEvent === 'number' && sentEvents) {
        const released = events.release(Math.min(throughEvent, sentEvents));
        if (released !== releasedEvents) {
          releasedEvents = released;
          marks.keep([0, sentRecords, releasedEvents]);
        }
      }
      return true;
    },
  };
}
