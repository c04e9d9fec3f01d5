/*
 * HD44780 display of one line (Hitachi data sheet) behind a PCF8574 expander: a half-byte is taken when enable falls. Wakes in eight-bit
 * mode. Shows what a person would read; nothing comes back from it.
 */
import type { I2cChip } from './i2c-bus.js';

const REGISTER_SELECT = 1;
const ENABLE = 4;
const COLUMNS = 16;

export class CharacterDisplay implements I2cChip {
  isAnswering = true;
  #line = ' '.repeat(COLUMNS);
  #column = 0;
  #isFourBit = false;
  #upperHalf: number | undefined;
  #last = 0;

  /** What stands there, without spaces at its end. */
  get text(): string {
    return this.#line.trimEnd();
  }

  powerUp(): void {
    this.#line = ' '.repeat(COLUMNS);
    this.#column = 0;
    this.#isFourBit = false;
    this.#upperHalf = undefined;
  }

  write(bytes: Uint8Array, length: number): void {
    for (let index = 0; index < length; index++) {
      const now = bytes[index]!;
      if (this.#last & ENABLE && !(now & ENABLE)) this.#takeHalf(this.#last >> 4, (this.#last & REGISTER_SELECT) !== 0);
      this.#last = now;
    }
  }

  read(into: Uint8Array): void {
    into.fill(this.#last);
  }

  #takeHalf(half: number, isCharacter: boolean): void {
    if (!this.#isFourBit) this.#take(half << 4, isCharacter);
    else if (this.#upperHalf === undefined) this.#upperHalf = half;
    else {
      const byte = (this.#upperHalf << 4) | half;
      this.#upperHalf = undefined;
      this.#take(byte, isCharacter);
    }
  }

  #take(byte: number, isCharacter: boolean): void {
    if (isCharacter) {
      const at = this.#column++;
      if (at < COLUMNS) this.#line = this.#line.slice(0, at) + String.fromCharCode(byte) + this.#line.slice(at + 1);
    } else if (byte & 0x80) this.#column = byte & 0x7f;
    else if (byte & 0x20) {
      this.#isFourBit = (byte & 0x10) === 0;
      this.#upperHalf = undefined;
    } else if (byte === 1) this.powerUpLine();
  }

  private powerUpLine(): void {
    this.#line = ' '.repeat(COLUMNS);
    this.#column = 0;
  }
}
