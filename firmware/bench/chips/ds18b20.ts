/*
 * Temperature probe DS18B20 on the one-wire bus: conversion takes its time, the scratchpad holds 85.0 until one
 * is complete, nine bytes with a CRC-8 (Maxim data sheet and application note 27), spoken to alone by its address or with all others on
 * its wire. Faults make it absent, forget its conversions, answer zeros, damage a bit or stay at its last value.
 */
import type { SeededNoise } from '../seeded-noise.js';

const CONVERSION_SECONDS = 0.75;
const POWER_ON_RAW = 0x0550;

/** CRC-8, x8 + x5 + x4 + 1, reflected, start 0. `crc8([0x02, 0x1c, 0xb8, 0x01, 0, 0, 0])` is 0xa2. */
export function crc8(bytes: ArrayLike<number>, length = bytes.length): number {
  let crc = 0;
  for (let index = 0; index < length; index++) {
    crc ^= bytes[index]!;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
  }
  return crc;
}

/** Sixteenths of a degree as 16 bit two's complement. `rawTemperature(25.0625)` is 0x0191, `rawTemperature(-55)` 0xfc90. */
export function rawTemperature(celsius: number): number {
  return Math.round(Math.max(-55, Math.min(125, celsius)) * 16) & 0xffff;
}

export type ProbeTrouble = 'none' | 'absent' | 'power-on value' | 'zero frame' | 'damaged frame' | 'stuck';

export class Ds18b20 {
  trouble: ProbeTrouble = 'none';
  readonly #rom: Uint8Array;
  #raw = POWER_ON_RAW;
  #convertsUntilSeconds: number | undefined;
  #convertingRaw = POWER_ON_RAW;
  /** Bytes of the answer that is being read. */
  #answer: number[] = [];
  #isAddressed = false;
  #awaitsRomBytes = 0;
  #isMeant = false;

  constructor(
    readonly bathCelsius: (nowSeconds: number) => number,
    readonly noise: SeededNoise,
    readonly noiseCelsius: number,
    /** Last byte of its serial number. */
    serial = 0,
  ) {
    const rom = [0x28, 0x4b, 0x61, 0x74, 0x68, 0x00, serial];
    this.#rom = Uint8Array.of(...rom, crc8(rom));
  }

  powerUp(): void {
    this.#raw = POWER_ON_RAW;
    this.#convertsUntilSeconds = undefined;
    this.#answer = [];
  }

  /** True: a device held the bus low after the reset pulse. */
  reset(): boolean {
    this.#isAddressed = false;
    this.#awaitsRomBytes = 0;
    this.#answer = [];
    return this.trouble !== 'absent';
  }

  write(byte: number, nowSeconds: number): void {
    if (this.trouble === 'absent') return;
    if (this.#awaitsRomBytes > 0) {
      if (this.#rom[8 - this.#awaitsRomBytes] !== byte) this.#isMeant = false;
      if (--this.#awaitsRomBytes === 0) this.#isAddressed = this.#isMeant;
      return;
    }
    if (!this.#isAddressed) {
      // Match ROM takes eight bytes, skip ROM none.
      if (byte === 0x55) this.#awaitsRomBytes = 8;
      this.#isMeant = true;
      this.#isAddressed = byte === 0xcc;
      return;
    }
    if (byte === 0x44) {
      this.#convertingRaw = rawTemperature(this.bathCelsius(nowSeconds) + this.noiseCelsius * this.noise.gaussian());
      this.#convertsUntilSeconds = nowSeconds + CONVERSION_SECONDS;
    } else if (byte === 0xbe) {
      this.#answer = this.#scratchpad(nowSeconds);
    }
  }

  /** The next byte; a bus that nobody drives reads as ones. */
  read(nowSeconds: number): number {
    if (this.trouble === 'absent' || !this.#isAddressed) return 0xff;
    const byte = this.#answer.shift();
    if (byte !== undefined) return byte;
    // Between commands it signals a conversion in progress by zeros.
    return this.#convertsUntilSeconds !== undefined && nowSeconds < this.#convertsUntilSeconds ? 0x00 : 0xff;
  }

  /** Its 64 bit address as the interpreter's search gives it: family 28, serial number, CRC. */
  get address(): string {
    return Array.from(this.#rom, (byte) => byte.toString(16).padStart(2, '0')).join('');
  }

  #scratchpad(nowSeconds: number): number[] {
    if (this.#convertsUntilSeconds !== undefined && nowSeconds >= this.#convertsUntilSeconds) {
      if (this.trouble !== 'stuck') this.#raw = this.#convertingRaw;
      this.#convertsUntilSeconds = undefined;
    }
    if (this.trouble === 'zero frame') return [0, 0, 0, 0, 0, 0, 0, 0, 0];
    const raw = this.trouble === 'power-on value' ? POWER_ON_RAW : this.#raw;
    const bytes = [raw & 0xff, raw >> 8, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
    bytes.push(crc8(bytes));
    if (this.trouble === 'damaged frame') bytes[0]! ^= 0x08;
    return bytes;
  }
}

/** One wire with several probes: all hear what is written, and whoever pulls it low is read. */
export class OneWireLine {
  constructor(readonly probes: readonly Ds18b20[]) {}

  reset(): boolean {
    let isPresent = false;
    for (const probe of this.probes) if (probe.reset()) isPresent = true;
    return isPresent;
  }
  write(byte: number, nowSeconds: number): void {
    for (const probe of this.probes) probe.write(byte, nowSeconds);
  }
  read(nowSeconds: number): number {
    let byte = 0xff;
    for (const probe of this.probes) byte &= probe.read(nowSeconds);
    return byte;
  }
  get addresses(): string[] {
    return this.probes.filter((probe) => probe.trouble !== 'absent').map((probe) => probe.address);
  }
}
