/*
 * MB85RC256V 32 KB FRAM (Fujitsu data sheet) at 0x50: outbox, journal, marks. No wear and no erase; each byte is kept the
 * moment it is acknowledged, so a power cut falls between two bytes and never within one. Where none answers, RAM
 * stands in, and what waits is lost with the power.
 *
 *   SDA SCL I2C · A0 A1 A2 WP ground
 */
import type { BlockMemory, TwoWireBus } from '../ports.js';

const ADDRESS = 0x50;
const BYTES = 32768;

/** The chip as memory, or undefined when none answers. Later reads and writes throw when it stops answering. */
export function ferroelectricMemory(bus: TwoWireBus): BlockMemory | undefined {
  const memory: BlockMemory = {
    bytes: BYTES,
    read: function (address: number, length: number): ArrayLike<number> {
      bus.writeTo(ADDRESS, address >> 8, address & 255);
      return bus.readFrom(ADDRESS, length);
    },
    write: function (address: number, bytes: ArrayLike<number>): void {
      bus.writeTo(ADDRESS, address >> 8, address & 255, bytes);
    },
  };
  try {
    memory.read(0, 1);
    return memory;
  } catch (_) {
    return undefined;
  }
}

/** RAM in its place. */
export function volatileMemory(bytes: number): BlockMemory {
  const kept = new Uint8Array(bytes);
  return {
    bytes: bytes,
    read: function (address: number, length: number): ArrayLike<number> {
      return kept.slice(address, address + length);
    },
    write: function (address: number, written: ArrayLike<number>): void {
      kept.set(written, address);
    },
  };
}
