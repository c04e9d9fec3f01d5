/*
 * FRAM MB85RC256V (Fujitsu data sheet): 32 KB, two address bytes, no write time, keeps everything without power.
 * Bytes land one by one as they arrive, so the power may fail between any two of them; a test decides after how many.
 */
import type { I2cChip } from './i2c-bus.js';

export const MEMORY_BYTES = 32768;

export class Mb85rc256v implements I2cChip {
  isAnswering = true;
  readonly bytes: Uint8Array;
  /** Bytes written since the bath was switched on. */
  bytesWritten = 0;
  /** The power fails when so many more bytes have been written. */
  bytesUntilPowerFails = Infinity;
  #address = 0;

  constructor(
    image: Uint8Array | undefined,
    readonly onPowerFails: () => void,
  ) {
    this.bytes = new Uint8Array(MEMORY_BYTES);
    // A new chip's contents are not defined: this one is not blank either, so that nobody relies on it.
    if (image === undefined) for (let at = 0; at < MEMORY_BYTES; at++) this.bytes[at] = (at * 37 + 11) & 0xff;
    else this.bytes.set(image.subarray(0, MEMORY_BYTES));
  }

  write(sent: Uint8Array, length: number): void {
    if (length < 2) return;
    this.#address = ((sent[0]! << 8) | sent[1]!) % MEMORY_BYTES;
    for (let index = 2; index < length; index++) {
      if (this.bytesUntilPowerFails <= 0) {
        this.bytesUntilPowerFails = Infinity;
        this.onPowerFails();
        return;
      }
      this.bytesUntilPowerFails--;
      this.bytes[this.#address] = sent[index]!;
      this.bytesWritten++;
      this.#address = (this.#address + 1) % MEMORY_BYTES;
    }
  }

  read(into: Uint8Array): void {
    const { length } = into;
    for (let index = 0; index < length; index++) {
      into[index] = this.bytes[this.#address]!;
      this.#address = (this.#address + 1) % MEMORY_BYTES;
    }
  }
}
