/* The outbox against a dashboard that keeps what it is sent: nothing lost, nothing twice, through merging and cuts at any byte. */
import './interpreter-globals.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eventOfStored, recordOfStored, RecordColumn, STORED_RECORD_COLUMNS } from '@bathkeeper/shared-core/messages';
import { type Outbox, openOutbox as outboxOf, VOLATILE_BYTES } from '../../../firmware/src/link/outbox.js';
import { appendRow, lastSequence, skipNumbers, takeOldest } from '../../../firmware/src/memory/chain.js';
import { KeptColumn, openKeptRow } from '../../../firmware/src/memory/kept-row.js';
import { mergedRecord } from '../../../firmware/src/memory/record-row.js';
import type { BlockMemory } from '../../../firmware/src/ports.js';
import { isCut, TornMemory } from './torn-memory.js';
import { NO_MAX_AMPS, NO_MIN_AMPS } from '../../../firmware/src/sampler.js';

/** An outbox as main.ts opens it, with what the tests look at. */
type OpenedOutbox = Outbox & { readonly incarnation: number; readonly boot: number };

function openOutbox(memory: BlockMemory, randomBits: () => number, isSimulated = false): OpenedOutbox {
  const kept = openKeptRow(memory, randomBits);
  return Object.assign(outboxOf(memory, kept, isSimulated), {
    incarnation: kept.row[KeptColumn.incarnation]!,
    boot: kept.row[KeptColumn.boot]!,
  });
}

/** As the sampler has it: whole, and again what of it is above 32 bits. */
function withCharge(row: number[], charge: number): number[] {
  row[RecordColumn.charge] = charge;
  row[STORED_RECORD_COLUMNS - 1] = Math.floor(charge / 2 ** 32);
  return row;
}

/** A record with recognisable contents; every second one without a good current. */
function record(second: number, change: Partial<Record<keyof typeof RecordColumn, number>> = {}): number[] {
  const isGood = second % 2 === 0;
  const row = new Array<number>(STORED_RECORD_COLUMNS).fill(0);
  const values = {
    span: 1,
    boot: 1,
    uptime: second * 10,
    run: 3,
    phase: 4,
    conditions: 1 << (second % 5),
    charge: second * 18400,
    permittedSum: 1840,
    electricCount: isGood ? 1 : 0,
    currentSum: isGood ? 1800 + (second % 7) : 0,
    currentMin: isGood ? 1790 - (second % 3) : NO_MIN_AMPS * 100,
    currentMax: isGood ? 1810 + (second % 3) : NO_MAX_AMPS * 100,
    voltageSum: isGood ? 3200 : 0,
    temperatureCount: 1,
    temperatureSum: 2500 + (second % 11),
    pulses: second % 10 === 0 ? 1 : 0,
    ...change,
  };
  for (const [name, value] of Object.entries(values)) row[RecordColumn[name as keyof typeof RecordColumn]] = value;
  return withCharge(row, values.charge);
}

/** What a message says, taken apart as the dashboard does. */
function said(text: string): { i: number; r: number[][]; e: number[][] } {
  const message = JSON.parse(text) as { i: number; r: string[]; e: string[] };
  return {
    i: message.i,
    r: message.r.map((row) => recordOfStored(row)!),
    e: message.e.map((row) => eventOfStored(row)!),
  };
}

/** What the dashboard has on its disk. */
class Disk {
  records = new Map<number, number[]>();
  through = 0;
  events = new Map<number, number[]>();
  eventsThrough = 0;
  doubled = 0;
  overlapping = 0;
  incarnation = 0;
  take(text: string): void {
    const message = said(text);
    this.incarnation = message.i;
    for (const row of message.r) {
      const first = row[RecordColumn.first]!;
      const known = this.records.get(first);
      if (known) {
        this.doubled++;
        expect(row).toEqual(known);
      } else {
        if (first <= this.through) this.overlapping++;
        this.records.set(first, row);
      }
      this.through = Math.max(this.through, lastSequence(row));
    }
    for (const row of message.e) {
      this.events.set(row[0]!, row);
      this.eventsThrough = Math.max(this.eventsThrough, row[0]!);
    }
  }
  acknowledge(outbox: Outbox): void {
    outbox.acknowledge(this.incarnation, this.through, this.eventsThrough);
  }
  /** Sum of a column over all that is on disk. */
  sum(column: number): number {
    return [...this.records.values()].reduce((sum, row) => sum + row[column]!, 0);
  }
  /** Sequence numbers that no record covers. */
  holes(through: number): number[] {
    const covered = new Set<number>();
    for (const row of this.records.values()) for (let n = row[0]!; n <= lastSequence(row); n++) covered.add(n);
    return Array.from({ length: through }, (_, i) => i + 1).filter((n) => !covered.has(n));
  }
}

function drain(outbox: Outbox, disk: Disk): void {
  for (let guard = 0; outbox.records.waiting > 0 && guard < 10000; guard++) {
    disk.take(outbox.message(0));
    disk.acknowledge(outbox);
  }
}

const random = () => 12345;
/** Slots of records in the RAM that stands in, but the one that is always free. */
const VOLATILE_RECORDS = 32;

describe('two neighbours as one', () => {
  it('are exact: sums, extremes, union of conditions, charge and uptime of the later', () => {
    const merged = mergedRecord(
      record(2, { first: 2, conditions: 1, conditionsHigh: 2 ** 31 }),
      record(4, { first: 3, conditions: 2 ** 31, conditionsHigh: 1 }),
    )!;
    expect(merged).toEqual([
      2,
      2,
      1,
      40,
      3,
      4,
      (2 ** 31 + 1) | 0,
      4 * 18400,
      3680,
      2,
      1802 + 1804,
      1788,
      1812,
      6400,
      2,
      2502 + 2504,
      0,
      0x80000001 | 0,
      0,
    ]);
  });

  it('a second without a good current does not touch the extremes', () => {
    const merged = mergedRecord(record(1, { first: 1 }), record(2, { first: 2 }))!;
    expect(merged[RecordColumn.currentMin]).toBe(1788);
    expect(merged[RecordColumn.currentMax]).toBe(1812);
  });

  it.each(['boot', 'run', 'phase'] as const)('are left apart when their %s differs', (column) => {
    expect(mergedRecord(record(2, { first: 2 }), record(4, { first: 3, [column]: 9 }))).toBeUndefined();
  });

  it('are left apart when a number lies between them, or the span would overflow', () => {
    expect(mergedRecord(record(2, { first: 2 }), record(4, { first: 4 }))).toBeUndefined();
    expect(mergedRecord(record(2, { first: 2, span: 32000 }), record(4, { first: 32002, span: 768 }))).toBeUndefined();
  });
});

describe('outbox', () => {
  it('sends oldest first, forgets only what was acknowledged by its own incarnation, and numbers without a gap', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    const disk = new Disk();
    for (let second = 1; second <= 20; second++) appendRow(outbox.records, record(second));
    disk.take(outbox.message(0));
    expect([...disk.records.keys()]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(outbox.acknowledge(disk.incarnation + 1, 8, 0)).toBe(false);
    expect(outbox.records.waiting).toBe(20);
    expect(outbox.acknowledge(undefined, 8, 0)).toBe(false);
    disk.acknowledge(outbox);
    expect(outbox.records.waiting).toBe(12);
    drain(outbox, disk);
    expect(disk.holes(20)).toEqual([]);
    expect(disk.doubled).toBe(0);
  });

  it('an acknowledgement of what was never sent frees nothing that waits', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    for (let second = 1; second <= 20; second++) appendRow(outbox.records, record(second));
    outbox.message(0);
    outbox.acknowledge(12345, 4e9, 4e9);
    expect(outbox.records.waiting).toBe(12);
  });

  it('a second without a good current goes out with zeros for its extremes', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    appendRow(outbox.records, record(1));
    const { r } = said(outbox.message(77));
    expect(r[0]!.slice(RecordColumn.electricCount, RecordColumn.currentMax + 1)).toEqual([0, 0, 0, 0]);
  });

  it('a night of ten hours without network is kept coarser and complete in 32 KB, evenly', () => {
    const memory = new TornMemory(32768);
    const outbox = openOutbox(memory, random);
    const disk = new Disk();
    for (let second = 1; second <= 36000; second++) appendRow(outbox.records, record(second));
    drain(outbox, disk);
    expect(disk.holes(36000)).toEqual([]);
    expect(disk.overlapping).toBe(0);
    expect(disk.sum(RecordColumn.permittedSum)).toBe(36000 * 1840);
    expect(disk.sum(RecordColumn.electricCount)).toBe(18000);
    expect(disk.sum(RecordColumn.pulses)).toBe(3600);
    const spans = [...disk.records.values()].map((row) => row[RecordColumn.span]!);
    expect(Math.max(...spans)).toBeLessThanOrEqual(128);
    expect(spans.filter((span) => span < 32).length).toBeLessThan(spans.length / 2);
  });

  it('a silence of a week keeps charge, sums, extremes and every condition exact, however it is cut into phases and runs', () => {
    fc.assert(
      fc.property(
        // Lengths of phases in seconds; a week of hours in the mean.
        fc.array(fc.integer({ min: 30, max: 30000 }), { minLength: 30, maxLength: 40 }),
        fc.nat(6),
        fc.constantFrom(12288, 32768),
        (phases, seed, bytes) => {
          const outbox = openOutbox(new TornMemory(bytes), random);
          const disk = new Disk();
          let second = 0;
          /** As the keeper brings them: a second at once, or most of a minute where the memory wears. */
          const step = bytes < 32768 ? 40 : 10;
          const truth = { permitted: 0, current: 0, voltage: 0, pulses: 0, good: 0, conditions: 0, high: 0 };
          let least = Infinity;
          let largest = -Infinity;
          let numbers = 0;
          for (const [index, seconds] of phases.entries()) {
            for (const end = second + seconds; second < end; second += step) {
              const high = 1 << ((second + seed) % 20);
              const row = record(second + seed, {
                span: step,
                run: index >> 2,
                phase: 2 + (index & 3),
                conditionsHigh: high,
              });
              withCharge(row, second * 18400);
              numbers += step;
              truth.permitted += row[RecordColumn.permittedSum]!;
              truth.current += row[RecordColumn.currentSum]!;
              truth.voltage += row[RecordColumn.voltageSum]!;
              truth.pulses += row[RecordColumn.pulses]!;
              truth.good += row[RecordColumn.electricCount]!;
              truth.conditions |= row[RecordColumn.conditions]!;
              truth.high |= high;
              if (row[RecordColumn.electricCount]) {
                least = Math.min(least, row[RecordColumn.currentMin]!);
                largest = Math.max(largest, row[RecordColumn.currentMax]!);
              }
              appendRow(outbox.records, row);
            }
          }
          expect(outbox.records.waiting).toBeLessThan(470);
          const oldestFirst: number[] = [];
          for (let guard = 0; outbox.records.waiting && guard < 100; guard++) {
            const text = outbox.message(0);
            oldestFirst.push(...said(text).r.map((row) => row[0]!));
            disk.take(text);
            disk.acknowledge(outbox);
            // Live data is not starved: what is new meanwhile takes a place and is sent in its turn, eight rows a message.
            expect(text.length).toBeLessThan(1200);
          }
          expect(oldestFirst).toEqual([...oldestFirst].sort((a, b) => a - b));
          expect(disk.holes(numbers)).toEqual([]);
          expect(disk.overlapping + disk.doubled).toBe(0);
          const rows = [...disk.records.values()];
          expect(disk.sum(RecordColumn.permittedSum)).toBe(truth.permitted);
          expect(disk.sum(RecordColumn.currentSum)).toBe(truth.current);
          expect(disk.sum(RecordColumn.voltageSum)).toBe(truth.voltage);
          expect(disk.sum(RecordColumn.pulses)).toBe(truth.pulses);
          expect(disk.sum(RecordColumn.electricCount)).toBe(truth.good);
          expect(rows.reduce((mask, row) => mask | row[RecordColumn.conditions]!, 0)).toBe(truth.conditions);
          expect(rows.reduce((mask, row) => mask | row[RecordColumn.conditionsHigh]!, 0)).toBe(truth.high);
          const good = rows.filter((row) => row[RecordColumn.electricCount]! > 0);
          expect(Math.min(...good.map((row) => row[RecordColumn.currentMin]!))).toBe(least);
          expect(Math.max(...good.map((row) => row[RecordColumn.currentMax]!))).toBe(largest);
          // Charge only ever rises from record to record, to what it was at the end.
          const charges = rows.sort((a, b) => a[0]! - b[0]!).map((row) => row[RecordColumn.charge]!);
          expect(charges.every((charge, index) => index === 0 || charge >= charges[index - 1]!)).toBe(true);
          expect(charges.at(-1)).toBe((second - step) * 18400);
          // A record never reaches over the end of a phase.
          for (const row of rows) expect(row[RecordColumn.span]! % step).toBe(0);
        },
      ),
      { numRuns: 6 },
    );
  });

  it('what was sent is never merged, even when its acknowledgement got lost and the memory overflowed', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    const disk = new Disk();
    for (let second = 1; second <= 30; second++) appendRow(outbox.records, record(second));
    disk.take(outbox.message(0));
    for (let second = 31; second <= 3000; second++) appendRow(outbox.records, record(second));
    drain(outbox, disk);
    expect(disk.overlapping).toBe(0);
    expect(disk.doubled).toBe(8);
    expect(disk.holes(3000)).toEqual([]);
  });

  it('what was sent before a restart is not merged after it either', () => {
    const memory = new TornMemory(VOLATILE_BYTES);
    const outbox = openOutbox(memory, random);
    const disk = new Disk();
    for (let second = 1; second <= 30; second++) appendRow(outbox.records, record(second));
    disk.take(outbox.message(0));
    const again = openOutbox(memory, random);
    for (let second = 31; second <= 3000; second++) appendRow(again.records, record(second));
    drain(again, disk);
    expect(disk.overlapping).toBe(0);
    expect(disk.doubled).toBe(8);
    expect(disk.holes(3000)).toEqual([]);
  });

  it('records that cannot be merged give way oldest first, and the gap tells', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    const disk = new Disk();
    for (let second = 1; second <= 100; second++) appendRow(outbox.records, record(second, { phase: second % 2 }));
    drain(outbox, disk);
    expect(disk.holes(100)).toEqual(Array.from({ length: 100 - VOLATILE_RECORDS }, (_, i) => i + 1));
  });

  it('events wait in their own ring, keep their order, and overflow oldest first', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    for (let i = 1; i <= 20; i++) appendRow(outbox.events, [0, 1, 1, i, 3, 2, 4, -i, i]);
    const { e } = said(outbox.message(0));
    expect(e).toEqual([6, 7, 8, 9, 10, 11, 12, 13].map((i) => [i, 1, i, 3, 2, 4, -i, i]));
    outbox.acknowledge(12345, 0, 13);
    expect(said(outbox.message(0)).e[0]![0]).toBe(14);
    expect(outbox.isDue()).toBe(true);
    outbox.acknowledge(12345, 0, 20);
    expect(outbox.isDue()).toBe(false);
  });

  it('a restart goes on numbering where it was, in the same incarnation, with the next boot', () => {
    const memory = new TornMemory(32768);
    const outbox = openOutbox(memory, random);
    for (let second = 1; second <= 20; second++) appendRow(outbox.records, record(second));
    appendRow(outbox.events, [0, 1, 1, 1, 0, 1, 0, 1, -1]);
    const disk = new Disk();
    disk.take(outbox.message(0));
    disk.acknowledge(outbox);
    const again = openOutbox(memory, () => 999);
    expect(again.incarnation).toBe(outbox.incarnation);
    expect(again.boot).toBe(2);
    expect(again.records.waiting).toBe(12);
    appendRow(again.records, record(21));
    appendRow(again.events, [0, 1, 2, 1, 0, 1, 0, 2, -1]);
    drain(again, disk);
    expect(disk.holes(21)).toEqual([]);
    expect(disk.doubled).toBe(0);
    expect([...disk.events.keys()]).toEqual([1, 2]);
  });

  it('numbers are not used again when all that was sent is gone from memory', () => {
    const memory = new TornMemory(32768);
    const outbox = openOutbox(memory, random);
    const disk = new Disk();
    for (let second = 1; second <= 8; second++) appendRow(outbox.records, record(second));
    drain(outbox, disk);
    const again = openOutbox(memory, random);
    appendRow(again.records, record(9));
    disk.take(again.message(0));
    expect(disk.doubled).toBe(0);
    expect(disk.through).toBe(9);
  });

  it('a damaged identity starts a new incarnation and takes nothing over', () => {
    const memory = new TornMemory(32768);
    const outbox = openOutbox(memory, random);
    for (let second = 1; second <= 8; second++) appendRow(outbox.records, record(second));
    memory.image.fill(0x5a, 0, 512);
    const again = openOutbox(memory, () => -2);
    expect(again.incarnation).toBe(2 ** 32 - 2);
    expect(again.boot).toBe(1);
    expect(again.records.waiting).toBe(0);
    expect(again.isDue()).toBe(false);
  });

  it('a record that a silent memory did not take is brought again under the same number, and neither torn bytes nor a restart double it', () => {
    for (let cut = 0; cut <= 62; cut++) {
      for (const restarts of [false, true]) {
        const memory = new TornMemory(VOLATILE_BYTES);
        let outbox = openOutbox(memory, random);
        const disk = new Disk();
        for (let second = 1; second <= 8; second++) appendRow(outbox.records, record(second));
        disk.take(outbox.message(0));
        memory.bytesUntilCut = cut;
        const row = record(9);
        const wasSilent = isCut(() => {
          appendRow(outbox.records, row);
        });
        memory.bytesUntilCut = Infinity;
        // Slots that become free in between must not leave a torn row behind that a later boot finds.
        disk.acknowledge(outbox);
        if (wasSilent) appendRow(outbox.records, mergedRecord({ ...row, 0: 0 }, record(10, { first: 1 })) ?? row);
        if (restarts) outbox = openOutbox(memory, random);
        drain(outbox, disk);
        outbox = openOutbox(memory, random);
        drain(outbox, disk);
        expect(disk.doubled + disk.overlapping).toBe(0);
        expect(disk.holes(9)).toEqual([]);
        expect(disk.sum(RecordColumn.permittedSum)).toBe(disk.through * 1840);
      }
    }
  });

  it('rows that were lost before they came leave a gap in the numbers', () => {
    const outbox = openOutbox(new TornMemory(VOLATILE_BYTES), random);
    appendRow(outbox.records, record(1));
    skipNumbers(outbox.records, 3);
    appendRow(outbox.records, record(5));
    expect(takeOldest(outbox.records).map((row) => row[0])).toEqual([1, 5]);
  });

  it('a row that a glitch on the wires spoils once is read again, at boot and when it is sent', () => {
    const memory = new TornMemory(VOLATILE_BYTES);
    const outbox = openOutbox(memory, random);
    for (let second = 1; second <= 3; second++) appendRow(outbox.records, record(second));
    const read = memory.read.bind(memory);
    let looks = 0;
    memory.read = (address, length) => {
      const bytes = read(address, length);
      if (++looks % 2) bytes[7]! ^= 1;
      return bytes;
    };
    expect(takeOldest(outbox.records).map((row) => row[0])).toEqual([1, 2, 3]);
    expect(takeOldest(openOutbox(memory, random).records).map((row) => row[0])).toEqual([1, 2, 3]);
  });

  it('a memory that wears sends each record at once, since it covers most of a minute', () => {
    const memory = Object.assign(new TornMemory(12288), { wears: true });
    const outbox = openOutbox(memory, random);
    expect(outbox.isDue()).toBe(false);
    appendRow(outbox.records, record(40, { span: 40 }));
    expect(outbox.isDue()).toBe(true);
  });

  it('a power cut between any two bytes loses at most the record being written, and doubles none', () => {
    // A small memory, so that merging happens all the time. Acts: add records, add an event, send, acknowledge.
    const act = fc.constantFrom('record', 'record', 'record', 'record', 'event', 'send', 'acknowledge', 'other phase');
    fc.assert(
      fc.property(
        fc.array(act, { minLength: 60, maxLength: 240 }),
        fc.array(fc.nat(3000), { minLength: 1, maxLength: 4 }),
        (acts, cuts) => {
          const memory = new TornMemory(VOLATILE_BYTES);
          let outbox = openOutbox(memory, random);
          const disk = new Disk();
          let second = 0;
          let phase = 4;
          /** Contents by number of what was surely kept. */
          let lost = 0;
          const cutList = [...cuts];
          memory.bytesUntilCut = cutList.shift() ?? Infinity;
          for (const name of acts) {
            const wasCut = isCut(() => {
              if (name === 'record') appendRow(outbox.records, record(++second, { boot: outbox.boot, phase }));
              else if (name === 'event') appendRow(outbox.events, [0, 1, outbox.boot, second, 3, 2, 4, second, 0]);
              else if (name === 'other phase') phase = 4 + (phase % 2);
              else if (name === 'send') disk.take(outbox.message(0));
              else disk.acknowledge(outbox);
            });
            if (wasCut) {
              if (name === 'record') lost++;
              memory.bytesUntilCut = Infinity;
              outbox = openOutbox(memory, random);
              memory.bytesUntilCut = cutList.shift() ?? Infinity;
            }
          }
          memory.bytesUntilCut = Infinity;
          drain(outbox, disk);
          expect(disk.overlapping).toBe(0);
          const numbers = disk.through;
          // Every number that was given out is on disk, and the seconds that were not lost are all in it.
          expect(disk.holes(numbers)).toEqual([]);
          const permitted = disk.sum(RecordColumn.permittedSum) / 1840;
          expect(permitted).toBe(numbers);
          expect(second - permitted).toBeLessThanOrEqual(lost);
          expect(second - permitted).toBeGreaterThanOrEqual(0);
        },
      ),
      { numRuns: 300 },
    );
  });

  it('a cut at every single byte of one merge keeps both halves exactly once', () => {
    const prepared = new TornMemory(VOLATILE_BYTES);
    const first = openOutbox(prepared, random);
    for (let second = 1; second <= 49; second++) appendRow(first.records, record(second));
    for (let cut = 0; ; cut++) {
      const memory = new TornMemory(VOLATILE_BYTES);
      memory.image.set(prepared.image);
      const outbox = openOutbox(memory, random);
      memory.bytesUntilCut = cut;
      const wasCut = isCut(() => {
        appendRow(outbox.records, record(50));
      });
      memory.bytesUntilCut = Infinity;
      const disk = new Disk();
      drain(openOutbox(memory, random), disk);
      const kept = disk.through;
      expect(kept === 49 || kept === 50).toBe(true);
      expect(disk.holes(kept)).toEqual([]);
      expect(disk.overlapping).toBe(0);
      expect(disk.sum(RecordColumn.permittedSum)).toBe(kept * 1840);
      if (!wasCut) {
        expect(kept).toBe(50);
        expect(cut).toBeGreaterThan(100);
        break;
      }
    }
  });
});
