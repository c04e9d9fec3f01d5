import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { OutboxLedger } from '@bathkeeper/firmware/bench';
import { RECORD_COLUMNS, RecordColumn } from '@bathkeeper/shared-core/messages';

function row(first: number, span: number): number[] {
  const columns = new Array<number>(RECORD_COLUMNS).fill(0);
  columns[RecordColumn.first] = first;
  columns[RecordColumn.span] = span;
  columns[RecordColumn.pulses] = span;
  return columns;
}

function ledgerOf(rows: readonly (readonly [number, number])[]): OutboxLedger {
  const ledger = new OutboxLedger();
  for (const [first, span] of rows) ledger.addRecord(row(first, span));
  return ledger;
}

describe('the books on an outbox', () => {
  it('find a healthy delivery whole', () => {
    const { records, recordsThrough } = ledgerOf([
      [1, 1],
      [2, 1],
      [3, 4],
      [7, 1],
    ]);
    expect(records).toEqual({ delivered: 7, missing: 0, doubled: 0, overlapped: 0 });
    expect(recordsThrough).toBe(7);
  });

  it('find what is missing', () => {
    expect(
      ledgerOf([
        [1, 2],
        [5, 1],
      ]).records,
    ).toMatchObject({ delivered: 3, missing: 2 });
  });

  it('tell a resend from a merge of something that was sent before', () => {
    expect(
      ledgerOf([
        [1, 2],
        [1, 2],
      ]).records,
    ).toMatchObject({ doubled: 2, overlapped: 0 });
    expect(
      ledgerOf([
        [1, 2],
        [2, 2],
      ]).records,
    ).toMatchObject({ doubled: 0, overlapped: 1 });
  });

  it('count a resent record only once', () => {
    expect(
      ledgerOf([
        [1, 2],
        [1, 2],
      ]).rotationPulses,
    ).toBe(2);
  });

  it('agree with counting every number by itself, whatever comes in whatever order', () => {
    const rows = fc.array(fc.tuple(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 1, max: 9 })), {
      minLength: 1,
      maxLength: 40,
    });
    fc.assert(
      fc.property(rows, (delivered) => {
        const seen = new Set<number>();
        let again = 0;
        for (const [first, span] of delivered) {
          for (let sequence = first; sequence < first + span; sequence++) {
            if (seen.has(sequence)) again++;
            seen.add(sequence);
          }
        }
        const { records } = ledgerOf(delivered);
        const highest = Math.max(...seen);
        expect(records.delivered).toBe(seen.size);
        expect(records.doubled + records.overlapped).toBe(again);
        expect(records.missing).toBe(highest - Math.min(...seen) + 1 - seen.size);
      }),
    );
  });
});
