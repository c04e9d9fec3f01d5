/*
 * Everything that the dashboard has not yet put on its disk: records and events, numbered, kept through power cuts, sent oldest
 * first, forgotten only when an acknowledgement of the same incarnation covers them. Filled by the keeper, emptied by the link.
 * Knows nothing of connections; never loses silently: a gap in the numbers tells.
 */
import { LINK_VERSION, STORED_EVENT_COLUMNS, STORED_RECORD_COLUMNS } from '@bathkeeper/shared-core/messages';
import { type Chain, lastSequence, openChain, release, takeOldest } from '../memory/chain.js';
import { CHAINS_AT, KeptColumn, type KeptRow } from '../memory/kept-row.js';
import { mergedRecord } from '../memory/record-row.js';
import { rowBytes } from '../memory/rows.js';
import type { BlockMemory } from '../ports.js';

/** Records wait for company; events take them along. Those of a memory that wears cover most of a minute, and do not. */
const RECORDS_DUE = 5;

const EVENT_BYTES = rowBytes(STORED_EVENT_COLUMNS);
const RECORD_BYTES = rowBytes(STORED_RECORD_COLUMNS);

const EVENT_SLOTS = 128;
const VOLATILE_EVENT_SLOTS = 16;
/** RAM where nothing else is: 33 records, 16 events. */
export const VOLATILE_BYTES = 3840;

export interface Outbox {
  readonly records: Chain;
  readonly events: Chain;
  /** Set by the keeper while the memory does not answer: nothing is due then, and the link goes on with what is live. */
  isSilent: boolean;
  /** The fields that every message begins with. */
  header(uptimeMs: number): Record<string, unknown>;
  /** Is there enough to send? */
  isDue(): boolean;
  /** The next message. From now on what is in it is never merged, not even after a power cut. */
  message(uptimeMs: number): string;
  /**
   * Forgets what is on disk, and is true when that was something new. Numbers that were never sent, or another incarnation's,
   * change nothing. A second answer to a message that was sent twice must not set off another one.
   */
  acknowledge(incarnation: unknown, records: unknown, events: unknown): boolean;
}

export function openOutbox(memory: BlockMemory, kept: KeptRow, isSimulated: boolean): Outbox {
  const row = kept.row;
  const incarnation = row[KeptColumn.incarnation];
  const eventSlots = memory.bytes > VOLATILE_BYTES ? EVENT_SLOTS : VOLATILE_EVENT_SLOTS;
  const recordsAt = CHAINS_AT + eventSlots * EVENT_BYTES;
  const events = openChain(memory, CHAINS_AT, eventSlots, STORED_EVENT_COLUMNS, row[KeptColumn.sentEvents]!);
  const records = openChain(
    memory,
    recordsAt,
    Math.floor((memory.bytes - recordsAt) / RECORD_BYTES),
    STORED_RECORD_COLUMNS,
    row[KeptColumn.sentRecords]!,
    mergedRecord,
  );
  /** The oldest rows of a chain, noted as sent: their bytes as they were kept, which the dashboard takes apart. */
  const sentRows = function (chain: Chain, column: number): string[] {
    const rows = takeOldest(chain);
    if (rows.length) row[column] = Math.max(row[column]!, lastSequence(rows[rows.length - 1]!));
    return rows.map(function (words: Int32Array): string {
      return btoa(new Uint8Array(words.buffer));
    });
  };

  const outbox: Outbox = {
    records: records,
    events: events,
    isSilent: false,
    header: function (uptimeMs: number): Record<string, unknown> {
      const fields: Record<string, unknown> = {};
      fields['v'] = LINK_VERSION;
      fields['i'] = incarnation;
      fields['b'] = row[KeptColumn.boot];
      fields['u'] = Math.floor(uptimeMs / 100);
      fields['s'] = isSimulated ? 1 : 0;
      return fields;
    },
    isDue: function (): boolean {
      return !outbox.isSilent && (events.waiting > 0 || records.waiting >= (memory.wears ? 1 : RECORDS_DUE));
    },
    message: function (uptimeMs: number): string {
      const fields = outbox.header(uptimeMs);
      fields['r'] = sentRows(records, KeptColumn.sentRecords);
      fields['e'] = sentRows(events, KeptColumn.sentEvents);
      kept.keep();
      return JSON.stringify(fields);
    },
    acknowledge: function (ofIncarnation: unknown, throughRecord: unknown, throughEvent: unknown): boolean {
      const before = records.waiting + events.waiting;
      if (ofIncarnation === incarnation) {
        release(records, Number(throughRecord) || 0);
        release(events, Number(throughEvent) || 0);
      }
      return records.waiting + events.waiting < before;
    },
  };
  return outbox;
}
