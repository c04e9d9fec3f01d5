/*
 * The board's raw flash: pages of 4 KB that an erase fills with ones and a write can only clear bits of. Bytes are written one by one, so
 * the power may fail between any two of them, and within an erase, which then leaves a page that means nothing. Keeps everything
 * without power. Called by the interpreter's module Flash; a test decides when the power fails.
 */
export const PAGE_BYTES = 4096;
const BASE_ADDRESS = 0x300000;
/** The partition that an ESP32 keeps free for programs: 64 KB. */
const PAGES = 16;

export class FlashPages {
  readonly bytes = new Uint8Array(PAGES * PAGE_BYTES).fill(0xff);
  readonly erases = new Uint32Array(PAGES);
  bytesWritten = 0;
  /** The power fails when so many more bytes have been written; an erase counts as one. */
  bytesUntilPowerFails = Infinity;

  constructor(readonly onPowerFails: () => void) {}

  /** As `require('Flash').getFree()` lists them. */
  get areas(): { addr: number; length: number }[] {
    return [{ addr: BASE_ADDRESS, length: PAGES * PAGE_BYTES }];
  }

  erasePage(address: number): void {
    const page = Math.floor((address - BASE_ADDRESS) / PAGE_BYTES);
    const isCut = this.#failsNow();
    const from = page * PAGE_BYTES;
    // Half of it is gone, and nobody can say which half.
    if (isCut) for (let at = 0; at < PAGE_BYTES; at++) this.bytes[from + at]! |= (at * 89 + 7) & 0xff;
    else this.bytes.fill(0xff, from, from + PAGE_BYTES);
    this.erases[page]!++;
    if (isCut) this.onPowerFails();
  }

  write(address: number, written: Uint8Array): void {
    for (let index = 0; index < written.length; index++) {
      if (this.#failsNow()) {
        this.onPowerFails();
        return;
      }
      this.bytes[address - BASE_ADDRESS + index]! &= written[index]!;
      this.bytesWritten++;
    }
  }

  read(address: number, into: Uint8Array): void {
    const from = address - BASE_ADDRESS;
    into.set(this.bytes.subarray(from, from + into.length));
  }

  #failsNow(): boolean {
    if (this.bytesUntilPowerFails > 0) {
      this.bytesUntilPowerFails--;
      return false;
    }
    this.bytesUntilPowerFails = Infinity;
    return true;
  }
}
