/*
 * Raw flash as NOR flash is: an erase sets a page to ones, a write only clears bits, and the power can go between any two bytes written or in
 * the middle of an erase. Used by the memory tests. It refuses what the chip cannot do, so that a test fails and no bit is lost unseen.
 */
import { PowerCut } from '../link/torn-memory.js';

export const FLASH_PAGE_BYTES = 4096;
const BASE = 0x310000;

export class WornFlash {
  readonly image: Uint8Array;
  /** Erases of each page. */
  readonly erases: number[];
  /** Bytes that will still be kept, an erase counting as one; then the power is gone. */
  bytesUntilCut = Infinity;
  bytesWritten = 0;
  /** What an erase that is cut leaves of a page. */
  tornErase: (page: Uint8Array) => void = (page) => page.fill(0xff, 0, 1500);
  /** Pages that no longer take an erase. */
  readonly deadPages = new Set<number>();

  constructor(readonly pages = 16) {
    this.image = new Uint8Array(pages * FLASH_PAGE_BYTES);
    // A new board's partition is not defined: it is not blank here either.
    for (let at = 0; at < this.image.length; at++) this.image[at] = (at * 37 + 11) & 0xff;
    this.erases = new Array<number>(pages).fill(0);
  }
  getFree(): { addr: number; length: number }[] {
    return [
      { addr: 0xe000, length: 0x2000 },
      { addr: BASE, length: this.image.length },
      // As the interpreter lists it, though its own Storage lies there: whoever takes it is told so.
      { addr: 0x360000, length: 0xa0000 },
    ];
  }
  private at(address: number, length: number): number {
    const at = address - BASE;
    if (at < 0 || at + length > this.image.length) throw new Error(`outside the partition: ${address.toString(16)}`);
    return at;
  }
  erasePage(address: number): void {
    const at = this.at(address, 1);
    const from = at - (at % FLASH_PAGE_BYTES);
    const page = this.image.subarray(from, from + FLASH_PAGE_BYTES);
    if (this.deadPages.has(from / FLASH_PAGE_BYTES)) return;
    if (this.bytesUntilCut <= 0) {
      this.tornErase(page);
      throw new PowerCut();
    }
    this.bytesUntilCut--;
    this.erases[from / FLASH_PAGE_BYTES]!++;
    page.fill(0xff);
  }
  write(bytes: ArrayLike<number>, address: number): void {
    const at = this.at(address, bytes.length);
    if (address % 4 || bytes.length % 4) throw new Error('not in whole words');
    for (let i = 0; i < bytes.length; i++) {
      if (this.bytesUntilCut <= 0) throw new PowerCut();
      this.bytesUntilCut--;
      this.bytesWritten++;
      this.image[at + i]! &= bytes[i]!;
    }
  }
  read(length: number, address: number): Uint8Array {
    const at = this.at(address, length);
    return this.image.slice(at, at + length);
  }
}
