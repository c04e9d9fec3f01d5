/*
 * Digital-to-analogue converter MCP4725 (Microchip data sheet DS22039): fast write, write with and without EEPROM,
 * read-back, power-down. Its output is the supply's analogue current input. It keeps its code while the board restarts,
 * and takes the code of its EEPROM when its power comes; writing that EEPROM takes a while, for which it says that it is busy.
 */
import type { I2cChip } from './i2c-bus.js';

/** Reads for which it is busy with its EEPROM: it has no clock here, and only that a program waits for it can be seen. */
const BUSY_READS = 3;

export class Mcp4725 implements I2cChip {
  isAnswering = true;
  code = 0;
  #powerDown = 0;
  #eepromCode = 0;
  #eepromPowerDown = 0;
  #busyReads = 0;
  #kept = 0;
  /** Writes to its EEPROM, which wears. */
  eepromWrites = 0;
  isEepromWorn = false;

  constructor(readonly onOutput: (code: number, nowSeconds: number) => void) {}

  powerUp(nowSeconds: number): void {
    this.#drive(this.#eepromCode, this.#eepromPowerDown, nowSeconds);
  }

  /** As it comes from its maker: half of full scale at power-up (from memory of DS22039). */
  makeNew(): void {
    this.#eepromCode = this.#kept = 0x800;
  }

  /** Its power fails: no output. */
  loseOutput(nowSeconds: number): void {
    this.onOutput(0, nowSeconds);
  }

  write(bytes: Uint8Array, length: number, nowSeconds: number): void {
    if (length < 2 || this.#busyReads > 0) return;
    const command = bytes[0]! >> 5;
    if (command <= 1) {
      // Fast write: any number of pairs, the last one stands.
      for (let index = 0; index + 1 < length; index += 2) {
        this.#drive(((bytes[index]! & 0x0f) << 8) | bytes[index + 1]!, (bytes[index]! >> 4) & 3, nowSeconds);
      }
    } else if ((command === 2 || command === 3) && length >= 3) {
      const code = (bytes[1]! << 4) | (bytes[2]! >> 4);
      const powerDown = (bytes[0]! >> 1) & 3;
      if (command === 3) {
        this.eepromWrites++;
        this.#busyReads = BUSY_READS;
        if (!this.isEepromWorn) {
          this.#eepromCode = code;
          this.#eepromPowerDown = powerDown;
        }
      }
      this.#drive(code, powerDown, nowSeconds);
    }
  }

  read(into: Uint8Array): void {
    const isBusy = this.#busyReads > 0;
    if (isBusy) this.#busyReads--;
    else this.#kept = (this.#eepromPowerDown << 13) | this.#eepromCode;
    const all = [
      (isBusy ? 0x40 : 0xc0) | (this.#powerDown << 1),
      this.code >> 4,
      (this.code & 0x0f) << 4,
      this.#kept >> 8,
      this.#kept & 0xff,
    ];
    for (let index = 0; index < into.length; index++) into[index] = all[index % all.length]!;
  }

  #drive(code: number, powerDown: number, nowSeconds: number): void {
    this.code = code;
    this.#powerDown = powerDown;
    // Powered down, a resistor pulls the output to ground.
    this.onOutput(powerDown === 0 ? code : 0, nowSeconds);
  }
}
