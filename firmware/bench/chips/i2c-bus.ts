/*
 * The I2C bus: hands each transaction to the chip at that address, and fails as the interpreter does when none answers.
 * Called by the interpreter's I2C1; the chips hang on it.
 */

export interface I2cChip {
  /** False: the chip does not acknowledge its address (no power, broken wire). */
  isAnswering: boolean;
  /** One write transaction: the first `length` bytes, in the order sent. The array is not the chip's to keep. */
  write(bytes: Uint8Array, length: number, nowSeconds: number): void;
  /** Fills what the program gave: one read transaction. */
  read(into: Uint8Array, nowSeconds: number): void;
}

export class I2cBus {
  /** False: nobody on it has power. */
  isPowered = true;
  readonly #chips: (I2cChip | undefined)[] = new Array<undefined>(128).fill(undefined);

  attach(address: number, chip: I2cChip): void {
    this.#chips[address] = chip;
  }

  /** The chip at an address, or undefined when nobody acknowledges it. */
  answering(address: number): I2cChip | undefined {
    const chip = this.#chips[address];
    return this.isPowered && chip?.isAnswering === true ? chip : undefined;
  }
}
