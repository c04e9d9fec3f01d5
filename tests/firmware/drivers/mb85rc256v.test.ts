/* The byte memory's driver against a chip with an address pointer, and RAM in its place. */
import { describe, expect, it } from 'vitest';
import { ferroelectricMemory, volatileMemory } from '../../../firmware/src/drivers/mb85rc256v.js';

/** An MB85RC256V (Fujitsu data sheet): two address bytes, then data; reading goes on from the pointer. */
class MemoryChip {
  readonly cells = new Uint8Array(32768);
  isAnswering = true;
  private pointer = 0;
  writeTo = (address: number, ...parts: (number | ArrayLike<number>)[]): void => {
    if (!this.isAnswering || address !== 0x50) throw new Error('no acknowledge');
    const bytes = parts.flatMap((part) => (typeof part === 'number' ? [part] : Array.from(part)));
    this.pointer = bytes[0]! * 256 + bytes[1]!;
    for (const byte of bytes.slice(2)) this.cells[this.pointer++ & 32767] = byte;
  };
  readFrom = (address: number, count: number): Uint8Array => {
    if (!this.isAnswering || address !== 0x50) throw new Error('no acknowledge');
    return this.cells.slice(this.pointer, this.pointer + count);
  };
}

describe('MB85RC256V', () => {
  it('keeps bytes at every address up to 32 KB', () => {
    const chip = new MemoryChip();
    const memory = ferroelectricMemory(chip)!;
    expect(memory.bytes).toBe(32768);
    for (const address of [0, 255, 256, 4095, 32765]) {
      memory.write(address, [7, 8, 9]);
      expect([...Array.from(memory.read(address, 3))]).toEqual([7, 8, 9]);
    }
    expect(chip.cells[32767]).toBe(9);
  });

  it('is undefined when no chip answers, and throws when it stops answering later', () => {
    const chip = new MemoryChip();
    chip.isAnswering = false;
    expect(ferroelectricMemory(chip)).toBeUndefined();
    chip.isAnswering = true;
    const memory = ferroelectricMemory(chip)!;
    chip.isAnswering = false;
    expect(() => memory.read(0, 1)).toThrow();
    expect(() => {
      memory.write(0, [1]);
    }).toThrow();
  });
});

describe('RAM in its place', () => {
  it('keeps bytes as well', () => {
    const memory = volatileMemory(64);
    memory.write(60, [1, 2, 3, 4]);
    expect(Array.from(memory.read(59, 5))).toEqual([0, 1, 2, 3, 4]);
  });
});
