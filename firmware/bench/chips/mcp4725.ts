/*
 * Digital-to-analogue converter MCP4725 (Microchip data sheet DS22039): fast write, write with and without EEPROM,
 * read-back, power-down. Its output is the supply's analogue current input. It keeps its code while the board restarts,
 * and takes the code of its EEPROM when its power comes.
 */
import type { I2cChip } from './i2c-bus.js';

export class Mcp4725 implements I2cChip {
  isAnswering = true;
  code = 0;
  #powerDown = 0;
  #eepromCode = 0;
  #eepromPowerDown = 0;

  constructor(readonly onOutput: (code: number, nowSeconds: number) => void) {}

  powerUp(nowSeconds: number): void {
    this.#drive(this.#eepromCode, this.#eepromPowerDown, nowSeconds);
  }

  /** Its power fails: no output. */
  loseOutput(nowSeconds: number): void {
    this.onOutput(0, nowSeconds);
  }

  write(bytes: Uint8Array, length: number, nowSeconds: number): void {
    if (length < 2) return;
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
        this.#eepromCode = code;
        this.#eepromPowerDown = powerDown;
      }
      this.#drive(code, powerDown, nowSeconds);
    }
  }

  read(into: Uint8Array): void {
    const ready = 0xc0;
    const all = [
      ready | (this.#powerDown << 1),
      this.code >> 4,
      (this.code & 0x0f) << 4,
      (this.#eepromPowerDown << 5) | (this.#eepromCode >> 8),
      this.#eepromCode & 0xff,
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
