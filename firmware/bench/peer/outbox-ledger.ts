/*
 * Keeps the books on what a controller's outbox delivers: every sequence number once, none missing, none twice.
 * Used by the stand-in dashboard and by tests; the real dashboard has its own store and does not use this.
 */
import { EventColumn, RecordColumn } from '@bathkeeper/shared-core/messages';

export interface OutboxCount {
  /** Sequence numbers that were delivered at least once. */
  delivered: number;
  /** Numbers below the highest delivered that never came. */
  missing: number;
  /** Numbers that came again, in rows that had all come before (a resend whose acknowledgement was lost). */
  doubled: number;
  /** Numbers that came again within a row that also brought new ones: a merge of something already sent. */
  overlapped: number;
}

/** Numbers delivered by one incarnation, as ranges in order that neither touch nor overlap. */
class DeliveredRanges {
  readonly count: OutboxCount = { delivered: 0, missing: 0, doubled: 0, overlapped: 0 };
  readonly #ranges: { first: number; last: number }[] = [];

  add(first: number, last: number): void {
    const ranges = this.#ranges;
    let index = ranges.length;
    while (index > 0 && ranges[index - 1]!.last >= first - 1) index--;
    let knownBefore = 0;
    let end = index;
    const merged = { first, last };
    for (; end < ranges.length && ranges[end]!.first <= last + 1; end++) {
      const range = ranges[end]!;
      knownBefore += Math.max(0, Math.min(last, range.last) - Math.max(first, range.first) + 1);
      merged.first = Math.min(merged.first, range.first);
      merged.last = Math.max(merged.last, range.last);
    }
    ranges.splice(index, end - index, merged);
    const fresh = last - first + 1 - knownBefore;
    this.count.delivered += fresh;
    if (fresh === 0) this.count.doubled += knownBefore;
    else this.count.overlapped += knownBefore;
    this.count.missing = ranges[ranges.length - 1]!.last - ranges[0]!.first + 1 - this.count.delivered;
  }

  /** Highest number delivered: the outbox sends in order, so what is missing below it was lost or overwritten. */
  get through(): number {
    return this.#ranges[this.#ranges.length - 1]?.last ?? 0;
  }
}

export type Row = readonly number[];

/** One incarnation's books. */
export class OutboxLedger {
  readonly #records = new DeliveredRanges();
  readonly #events = new DeliveredRanges();
  /** Sums over records that brought something new. */
  rotationPulses = 0;
  goodElectricSeconds = 0;
  /** Charge of the newest record of each run, whole millicoulombs. */
  readonly chargeOfRun = new Map<number, number>();
  readonly events: Row[] = [];
  /** Longest row, in seconds: how coarse a long outage became. */
  largestSpan = 0;

  addRecord(row: Row): void {
    const first = row[RecordColumn.first]!;
    const span = row[RecordColumn.span]!;
    const before = this.#records.count.delivered;
    this.#records.add(first, first + span - 1);
    if (this.#records.count.delivered === before) return;
    this.largestSpan = Math.max(this.largestSpan, span);
    this.rotationPulses += row[RecordColumn.pulses]!;
    this.goodElectricSeconds += row[RecordColumn.electricCount]!;
    const run = row[RecordColumn.run]!;
    this.chargeOfRun.set(run, Math.max(this.chargeOfRun.get(run) ?? 0, row[RecordColumn.charge]!));
  }

  addEvent(row: Row): void {
    const sequence = row[EventColumn.sequence]!;
    const before = this.#events.count.delivered;
    this.#events.add(sequence, sequence);
    if (this.#events.count.delivered > before) this.events.push(row);
  }

  get records(): Readonly<OutboxCount> {
    return this.#records.count;
  }
  get eventCount(): Readonly<OutboxCount> {
    return this.#events.count;
  }
  /** What an acknowledgement may say: on disk through. */
  get recordsThrough(): number {
    return this.#records.through;
  }
  get eventsThrough(): number {
    return this.#events.through;
  }
}
