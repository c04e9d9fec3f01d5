/*
 * Byte memory in raw flash: what was written is there after any cut, at any byte and in any erase; the wear is even; what the board
 * calls free but its Storage uses is left alone.
 */
import '../link/interpreter-globals.js';
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flashMemory, memoryInPlaceOfFram } from '../../../firmware/src/memory/flash-memory.js';
import type { BlockMemory } from '../../../firmware/src/ports.js';
import { isCut } from '../link/torn-memory.js';
import { WornFlash } from './worn-flash.js';

const BYTES = 12288;
const PAGES = 16;
const BLOCK_BYTES = 64;

function opened(flash: WornFlash): BlockMemory {
  const memory = flashMemory(flash);
  if (!memory) throw new Error('the flash was not taken');
  return memory;
}
const all = (memory: BlockMemory): number[] => Array.from(memory.read(0, memory.bytes));

describe('memory in flash', () => {
  it('reads zeros before anything was written, whatever the partition held before', () => {
    const memory = opened(new WornFlash());
    expect(memory.bytes).toBe(BYTES);
    expect(all(memory).every((byte) => byte === 0)).toBe(true);
  });

  it('knows its own check sums: of a cell of ones, and of anything followed by its own (CRC-32 of zlib)', () => {
    expect(crc32(new Uint8Array(72).fill(255))).toBe(1782286881);
    const text = Buffer.from('123456789');
    const sum = Buffer.alloc(4);
    sum.writeUInt32LE(crc32(text));
    expect(crc32(Buffer.concat([text, sum]))).toBe(0x2144df1c);
  });

  it('is what was written, across blocks, after a restart, and through many times its size', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            address: fc.nat(BYTES - 200),
            bytes: fc.uint8Array({ minLength: 1, maxLength: 180 }),
            restarts: fc.integer({ min: 0, max: 12 }).map((one) => one === 0),
          }),
          { minLength: 20, maxLength: 160 },
        ),
        (writes) => {
          const flash = new WornFlash();
          let memory = opened(flash);
          const truth = new Uint8Array(BYTES);
          for (const { address, bytes, restarts } of writes) {
            memory.write(address, bytes);
            truth.set(bytes, address);
            if (restarts) memory = opened(flash);
            expect(Array.from(memory.read(address, bytes.length))).toEqual([...bytes]);
          }
          expect(all(opened(flash))).toEqual([...truth]);
        },
      ),
      { numRuns: 25 },
    );
  });

  it('keeps each block whole, the old or the new one, when the power goes at any byte or in any erase', () => {
    // A step of an odd number of bytes walks the cut through every place of a cell, of a page's first cell, and into the erases.
    for (let cut = 0; cut < 5200; cut += 13) {
      const flash = new WornFlash();
      let memory = opened(flash);
      const truth = new Uint8Array(BYTES);
      let value = 0;
      const writeNext = (): void => {
        // Forty blocks that are written again and again, and a cold one in between now and then.
        const block = value % 7 === 0 ? 60 + (Math.floor(value / 7) % 130) : value % 40;
        const bytes = new Uint8Array(BLOCK_BYTES).fill(++value & 0xff);
        const before = truth.slice(block * BLOCK_BYTES, (block + 1) * BLOCK_BYTES);
        const wasCut = isCut(() => {
          memory.write(block * BLOCK_BYTES, bytes);
        });
        if (wasCut) {
          flash.bytesUntilCut = Infinity;
          memory = opened(flash);
          const found = Array.from(memory.read(block * BLOCK_BYTES, BLOCK_BYTES));
          expect([[...before], [...bytes]]).toContainEqual(found);
          truth.set(found, block * BLOCK_BYTES);
        } else truth.set(bytes, block * BLOCK_BYTES);
      };
      if (cut === 0) for (let i = 0; i < 1500; i++) writeNext();
      for (let i = 0; i < 30 + (cut % 60); i++) writeNext();
      flash.bytesUntilCut = cut;
      for (let i = 0; i < 140; i++) writeNext();
      expect(all(memory)).toEqual([...truth]);
    }
  });

  it('survives a cut in every erase and in the copying behind it, one after the other, for three laps', () => {
    for (const torn of [
      (page: Uint8Array) => page.fill(0xff),
      (page: Uint8Array) => page.fill(0xff, 0, 1500),
      (page: Uint8Array) => page.fill(0xff, 1500),
      (page: Uint8Array) => {
        for (let at = 0; at < page.length; at += 3) page[at]! |= 0x55;
      },
    ]) {
      const flash = new WornFlash();
      flash.tornErase = torn;
      let memory = opened(flash);
      const truth = new Uint8Array(BYTES);
      for (let i = 0; i < 192; i++) {
        const bytes = new Uint8Array(BLOCK_BYTES).fill(i + 1);
        memory.write(i * BLOCK_BYTES, bytes);
        truth.set(bytes, i * BLOCK_BYTES);
      }
      let erases = flash.erases.reduce((sum, one) => sum + one, 0);
      for (let i = 0; erases < 3 * PAGES + 8; i++) {
        const block = (i * 5) % 192;
        const bytes = new Uint8Array(BLOCK_BYTES).fill((i * 3 + 7) & 0xff);
        // After each erase the next one is torn, and so is the copying two cells later.
        if (flash.bytesUntilCut === Infinity && i % 9 === 0) flash.bytesUntilCut = (i % 5) * 71;
        const wasCut = isCut(() => {
          memory.write(block * BLOCK_BYTES, bytes);
        });
        if (wasCut) {
          flash.bytesUntilCut = Infinity;
          memory = opened(flash);
          truth.set(Array.from(memory.read(block * BLOCK_BYTES, BLOCK_BYTES)), block * BLOCK_BYTES);
        } else truth.set(bytes, block * BLOCK_BYTES);
        erases = flash.erases.reduce((sum, one) => sum + one, 0);
      }
      expect(all(opened(flash))).toEqual([...truth]);
    }
  });

  it('is cut while it is being opened after a cut, as often as may be, and loses nothing', () => {
    const flash = new WornFlash();
    const memory = opened(flash);
    for (let i = 0; i < 192; i++) memory.write(i * BLOCK_BYTES, new Uint8Array(BLOCK_BYTES).fill(i + 1));
    // Fill until just before a page begins, so that the copying is still to be done.
    for (let i = 0; i < 400; i++) {
      flash.bytesUntilCut = 72 * 20;
      if (isCut(() => memory.write((i % 3) * BLOCK_BYTES, new Uint8Array(BLOCK_BYTES).fill(i)))) break;
    }
    for (let cut = 0; cut < 60; cut++) {
      flash.bytesUntilCut = cut * 31;
      if (!isCut(() => opened(flash))) break;
    }
    flash.bytesUntilCut = Infinity;
    const again = opened(flash);
    for (let i = 3; i < 192; i++) expect(again.read(i * BLOCK_BYTES, 1)[0]).toBe(i + 1);
  });

  it('wears its pages evenly, and a minute of plating costs what the comment reckons', () => {
    const flash = new WornFlash();
    const memory = opened(flash);
    const erasesBefore = flash.erases.reduce((sum, one) => sum + one, 0);
    const minutes = 1440;
    for (let minute = 0; minute < minutes; minute++) {
      // A record, twice the kept row in turn, and the mark that frees the record: 62, 2 x 155 and 2 bytes.
      memory.write(4096 + (minute % 130) * 62, new Uint8Array(62).fill(minute + 1));
      for (let twice = 0; twice < 2; twice++) {
        memory.write(twice * 155, new Uint8Array(155).fill(2 * minute + twice + 3));
      }
      memory.write(4096 + (minute % 130) * 62 + 4, [0, 0]);
    }
    expect(Math.max(...flash.erases) - Math.min(...flash.erases)).toBeLessThanOrEqual(2);
    const pagesADay = flash.erases.reduce((sum, one) => sum + one, 0) - erasesBefore;
    expect(pagesADay).toBeLessThan(400);
    expect(pagesADay).toBeGreaterThan(200);
  });

  it('an identical write costs nothing', () => {
    const flash = new WornFlash();
    const memory = opened(flash);
    memory.write(100, [1, 2, 3]);
    const before = flash.bytesWritten;
    memory.write(100, [1, 2, 3]);
    memory.write(5000, new Uint8Array(500));
    expect(flash.bytesWritten).toBe(before);
  });

  it('a page that no longer takes an erase is told by an exception, and what was kept stays', () => {
    const flash = new WornFlash();
    const memory = opened(flash);
    memory.write(0, [42]);
    for (let page = 0; page < PAGES; page++) flash.deadPages.add(page);
    expect(() => {
      for (let i = 0; i < 2000; i++) memory.write(640, [i & 0xff, i >> 8]);
    }).toThrow('flash does not keep');
    expect(memory.read(0, 1)[0]).toBe(42);
    expect(opened(flash).read(0, 1)[0]).toBe(42);
  });

  it('is not there where no area has its size, and RAM takes its place where there is no flash at all', () => {
    expect(flashMemory(new WornFlash(8) as never)).toBeUndefined();
    const ram = memoryInPlaceOfFram(3840);
    expect(ram.bytes).toBe(3840);
    expect(ram.wears).toBeUndefined();
  });
});
