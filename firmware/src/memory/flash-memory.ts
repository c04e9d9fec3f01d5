/*
 * Byte memory in the ESP32's own flash, for a board without FRAM: outbox, journal and marks as in FRAM, at most a minute behind.
 * Opened once at boot; written by the keeper's beat and the link, never by the control step, since an erase holds everything up.
 *
 * A log of cells in a ring of 16 pages. A cell holds one block of 64 bytes, its number and a check sum; the newest good cell of a block
 * is the block, so a write torn at any byte leaves the block as it was. What still counts in the two pages ahead is copied to the
 * end of the log before they are erased.
 */
import { volatileMemory } from '../drivers/mb85rc256v.js';
import type { BlockMemory } from '../ports.js';

/*
 * Wear. A minute costs about 12 blocks (a record, twice the kept row, marks): 0.86 KB. With a third more for what is copied that is
 * 410 pages a day or 26 erases of each page; 100,000 erases (common for NOR flash, no data sheet of the module at hand) are 10 years of
 * plating day and night.
 */
const PAGES = 16;
const PAGE_BYTES = 4096;
const BLOCK_BYTES = 64;
const BLOCKS = 192;
/** Block, number and two bytes to spare, check sum: whole words, as the chip writes them. */
const CELL_BYTES = 72;
const CHECK_AT = 68;
/** The same in words: lowest byte first on this chip, as on most. */
const NUMBER_WORD = 16;
const CHECK_WORD = 17;
/** A page begins with a cell of its own, whose block holds how many pages were begun before. */
const CELLS = 56;
/** The number in a page's first cell. */
const PAGE_NUMBER = 65534;
const NONE = 65535;
/** CRC-32 of anything followed by its own CRC-32, lowest byte first (a property of the polynomial; CRC catalogue, from memory). */
const RIGHT_SUM = 0x2144df1c;
/** CRC-32 of a cell of ones, as an erase leaves it. */
const BLANK_SUM = 1782286881;

/** The memory, or undefined where the board has no area for it. Throws when a page cannot be erased or does not keep what is written. */
export function flashMemory(flash: FlashModule): BlockMemory | undefined {
  const wordsOf = function (content: Uint8Array): Uint32Array {
    return new Uint32Array(content.buffer);
  };
  let base = 0;
  /** Where each block's newest cell is: page * CELLS + cell. */
  const places = new Uint16Array(BLOCKS).fill(NONE);
  let page = 0;
  /** The next free cell of the page; CELLS: none. */
  let cell = CELLS;
  let begun = 0;

  const addressOf = function (place: number): number {
    return base + Math.floor(place / CELLS) * PAGE_BYTES + (place % CELLS) * CELL_BYTES;
  };
  const cellAt = function (place: number): Uint8Array {
    return flash.read(CELL_BYTES, addressOf(place));
  };
  const blockAt = function (block: number): Uint8Array {
    return places[block] === NONE ? new Uint8Array(CELL_BYTES) : cellAt(places[block]!);
  };
  /** Throws when it does not read back: the next try takes the next cell. */
  const writeCell = function (place: number, content: Uint8Array, number: number): void {
    const words = wordsOf(content);
    words[NUMBER_WORD] = number;
    words[CHECK_WORD] = E.CRC32(new Uint8Array(content.buffer, 0, CHECK_AT));
    flash.write(content, addressOf(place));
    if (E.CRC32(cellAt(place)) !== RIGHT_SUM) throw new Error('flash does not keep');
  };
  const beginPage = function (): void {
    const next = (page + 1) % PAGES;
    const first = new Uint8Array(CELL_BYTES);
    wordsOf(first)[0] = begun + 1;
    flash.erasePage(addressOf(next * CELLS));
    writeCell(next * CELLS, first, PAGE_NUMBER);
    begun++;
    page = next;
    cell = 1;
  };
  const append = function (block: number, content: Uint8Array): void {
    if (cell === CELLS) beginPage();
    const place = page * CELLS + cell++;
    writeCell(place, content, block);
    places[block] = place;
  };
  /** Copies what counts in the two pages ahead; again when that began a page. */
  const clearAhead = function (): void {
    let from;
    do {
      from = page;
      for (let ahead = 1; ahead < 3; ahead++) {
        for (let block = 0; block < BLOCKS; block++) {
          if (Math.floor(places[block]! / CELLS) === (from + ahead) % PAGES) append(block, blockAt(block));
        }
      }
    } while (from !== page);
  };

  // The area of just this size is the partition that the board keeps free for programs; a larger one that the interpreter
  // lists lies over its own Storage.
  flash.getFree().map(function (area: FlashArea): void {
    if (area.length === PAGES * PAGE_BYTES) base = area.addr;
  });
  if (!base) return undefined;
  for (let one = 0; one < PAGES; one++) {
    const first = cellAt(one * CELLS);
    const words = wordsOf(first);
    if (E.CRC32(first) === RIGHT_SUM && words[NUMBER_WORD] === PAGE_NUMBER && words[0]! > begun) {
      begun = words[0]!;
      page = one;
    }
  }
  // Oldest page first, so that the newest cell of a block is found last. The last one is the page that was being filled.
  for (let one = 1; begun && one <= PAGES; one++) {
    const from = ((page + one) % PAGES) * CELLS;
    for (cell = 1; cell < CELLS; cell++) {
      const found = cellAt(from + cell);
      const sum = E.CRC32(found);
      if (sum === BLANK_SUM) break;
      const number = wordsOf(found)[NUMBER_WORD]!;
      if (sum === RIGHT_SUM && number < BLOCKS) places[number] = from + cell;
    }
  }
  if (begun) clearAhead();
  else beginPage();
  print('Memory in flash, each page erased ' + Math.floor(begun / PAGES) + ' times');

  return {
    bytes: BLOCKS * BLOCK_BYTES,
    wears: true,
    read: function (address: number, length: number): ArrayLike<number> {
      const bytes = new Uint8Array(length);
      for (let done = 0; done < length;) {
        const at = (address + done) % BLOCK_BYTES;
        const block = blockAt(Math.floor((address + done) / BLOCK_BYTES));
        const part = block.slice(at, Math.min(BLOCK_BYTES, at + length - done));
        bytes.set(part, done);
        done += part.length;
      }
      return bytes;
    },
    write: function (address: number, bytes: ArrayLike<number>): void {
      for (let done = 0; done < bytes.length;) {
        const block = Math.floor((address + done) / BLOCK_BYTES);
        const content = blockAt(block);
        let isNew = false;
        for (let at = (address + done) % BLOCK_BYTES; at < BLOCK_BYTES && done < bytes.length; at++) {
          if (content[at] !== bytes[done]) isNew = true;
          content[at] = bytes[done++]!;
        }
        if (isNew) append(block, content);
      }
      clearAhead();
    },
  };
}

/** Flash, or RAM of so many bytes where there is none that keeps. */
export function memoryInPlaceOfFram(volatileBytes: number): BlockMemory {
  let memory: BlockMemory | undefined;
  try {
    const flash = require('Flash');
    memory = flashMemory(flash);
  } catch (_) {
    // A build without the module, or flash that is worn.
  }
  return memory || volatileMemory(volatileBytes);
}
