/* Rows in byte memory: what is packed is what is unpacked, and nothing torn is ever taken for a row. */
import './interpreter-globals.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { packedRow, rowBytes, twiceKeptRow, unpackedRow } from '../../../firmware/src/memory/rows.js';
import { crc32 } from './interpreter-globals.js';
import { isCut, TornMemory } from './torn-memory.js';

const widths = [1, 2, 4, 5, -1, -2, -4, 8];
const row = fc.tuple(
  fc.integer({ min: 0, max: 255 }),
  fc.integer({ min: 0, max: 65535 }),
  fc.integer({ min: 0, max: 2 ** 32 - 1 }),
  fc.integer({ min: 0, max: 2 ** 40 - 1 }),
  fc.integer({ min: -128, max: 127 }),
  fc.integer({ min: -32768, max: 32767 }),
  fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }),
  fc.double({ noNaN: true }),
);

describe('rows', () => {
  it('the check sum of "123456789" is CBF43926 (CRC-32, IEEE 802.3; check value of the CRC catalogue, from memory)', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
  });

  it('come back as they were packed, for every width and sign', () => {
    fc.assert(
      fc.property(row, (values) => {
        const bytes = packedRow(widths, values);
        expect(bytes.length).toBe(rowBytes(widths));
        expect(unpackedRow(widths, bytes, widths.length)).toEqual(values);
        expect(unpackedRow(widths, bytes, 2)).toEqual(values.slice(0, 2));
      }),
    );
  });

  it('are refused when any one byte changed', () => {
    fc.assert(
      fc.property(row, fc.nat(), fc.integer({ min: 1, max: 255 }), (values, place, change) => {
        const bytes = packedRow(widths, values);
        bytes[place % bytes.length]! ^= change;
        expect(unpackedRow(widths, bytes, widths.length)).toBeUndefined();
      }),
    );
  });

  it('are not seen in memory that was never written', () => {
    expect(unpackedRow(widths, new Uint8Array(rowBytes(widths)), widths.length)).toBeUndefined();
    expect(unpackedRow(widths, new Uint8Array(rowBytes(widths)).fill(255), widths.length)).toBeUndefined();
  });
});

describe('a row kept twice', () => {
  it('is the old or the new one after a cut between any two bytes, and can be kept again', () => {
    for (let cut = 0; cut <= rowBytes([4, 4]); cut++) {
      const memory = new TornMemory(64);
      twiceKeptRow(memory, 0, [4, 4]).keep([0, 7]);
      twiceKeptRow(memory, 0, [4, 4]).keep([0, 8]);
      memory.bytesUntilCut = cut;
      const wasCut = isCut(() => {
        twiceKeptRow(memory, 0, [4, 4]).keep([0, 9]);
      });
      memory.bytesUntilCut = Infinity;
      const kept = twiceKeptRow(memory, 0, [4, 4]);
      expect(kept.row![1]).toBe(wasCut ? 8 : 9);
      kept.keep([0, 10]);
      expect(twiceKeptRow(memory, 0, [4, 4]).row![1]).toBe(10);
    }
  });

  it('is undefined in an empty memory', () => {
    expect(twiceKeptRow(new TornMemory(64), 0, [4, 4]).row).toBeUndefined();
  });
});
