/*
 * Byte memory as an FRAM is: kept byte by byte, and cut off at any byte on demand. Used by the memory and outbox tests.
 */
import type { BlockMemory } from '../../../firmware/src/ports.js';

export class PowerCut extends Error {}

export class TornMemory implements BlockMemory {
  readonly image: Uint8Array;
  /** Bytes that will still be kept; then the power is gone. */
  bytesUntilCut = Infinity;
  bytesWritten = 0;
  constructor(readonly bytes: number) {
    this.image = new Uint8Array(bytes);
  }
  read(address: number, length: number): Uint8Array {
    if (address < 0 || address + length > this.bytes) throw new Error(`read outside the memory: ${address}`);
    return this.image.slice(address, address + length);
  }
  write(address: number, bytes: ArrayLike<number>): void {
    if (address < 0 || address + bytes.length > this.bytes) throw new Error(`write outside the memory: ${address}`);
    for (let i = 0; i < bytes.length; i++) {
      if (this.bytesUntilCut <= 0) throw new PowerCut();
      this.bytesUntilCut--;
      this.bytesWritten++;
      this.image[address + i] = bytes[i]!;
    }
  }
}

/** Runs until the power is cut; true when it was. */
export function isCut(act: () => void): boolean {
  try {
    act();
    return false;
  } catch (error) {
    if (error instanceof PowerCut) return true;
    throw error;
  }
}
