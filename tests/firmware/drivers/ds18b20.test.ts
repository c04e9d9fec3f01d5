/* The temperature probe's rows and check sums against published numbers, and its driver against a bus that fails in every way. */
import { describe, expect, it } from 'vitest';
import { type Inputs, ProbeFault } from '@bathkeeper/shared-core/control';
import { dallasCrc, scratchpadFault, temperatureProbe, temperatureRaw } from '../../../firmware/src/drivers/ds18b20.js';

/** Nine bytes as the chip sends them, check byte included. */
function scratchpad(raw: number): number[] {
  const bytes = [raw & 255, (raw >> 8) & 255, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
  return [...bytes, dallasCrc(bytes, 8)];
}

/** A bus with one probe on it, as far as `isPresent` goes. */
class ProbeBus {
  isPresent = true;
  raw = 0x0190;
  spoil = (bytes: number[]): number[] => bytes;
  commands: number[] = [];
  reset = (): boolean => this.isPresent;
  skip = (): void => undefined;
  write = (byte: number): void => {
    this.commands.push(byte);
  };
  read = (count: number): number[] => {
    expect(count).toBe(9);
    return this.spoil(scratchpad(this.raw));
  };
}

function emptyInputs(): Inputs {
  return { bathCelsius: 0, probeFault: ProbeFault.absent } as Inputs;
}

describe('DS18B20 arithmetic', () => {
  it.each([
    // Maxim/Analog Devices DS18B20 data sheet, table 1: 125 and the 85 of the reset seen, the others from memory; all recomputed.
    [0x07d0, 125],
    [0x0550, 85],
    [0x0191, 25.0625],
    [0x00a2, 10.125],
    [0x0008, 0.5],
    [0x0000, 0],
    [0xfff8, -0.5],
    [0xff5e, -10.125],
    [0xfe6f, -25.0625],
    [0xfc90, -55],
  ])('raw %i is %d degrees', (raw, celsius) => {
    expect(temperatureRaw(scratchpad(raw)) / 16).toBe(celsius);
  });

  it('02 1C B8 01 00 00 00 has check byte A2 (Maxim application note 27)', () => {
    expect(dallasCrc([0x02, 0x1c, 0xb8, 0x01, 0, 0, 0], 7)).toBe(0xa2);
  });

  it('the power-on scratchpad 50 05 4B 46 7F FF 0C 10 has check byte 1C (computed, no source)', () => {
    expect(dallasCrc([0x50, 0x05, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10], 8)).toBe(0x1c);
  });

  it('any single wrong bit is noticed', () => {
    for (let bit = 0; bit < 72; bit++) {
      const bytes = scratchpad(0x0190);
      bytes[bit >> 3]! ^= 1 << (bit & 7);
      expect(scratchpadFault(bytes)).toBe(ProbeFault.checksum);
    }
  });

  it('nine zeros pass the check sum and are refused all the same', () => {
    expect(dallasCrc(new Array<number>(8).fill(0), 8)).toBe(0);
    expect(scratchpadFault(new Array<number>(9).fill(0))).toBe(ProbeFault.checksum);
  });

  it('nine 255, a wire pulled high, are refused', () => {
    expect(scratchpadFault(new Array<number>(9).fill(255))).toBe(ProbeFault.checksum);
  });

  it('85.0 is the power-on value, not a bath; 84.9375 is a bath', () => {
    expect(scratchpadFault(scratchpad(0x0550))).toBe(ProbeFault.powerOnValue);
    expect(scratchpadFault(scratchpad(0x054f))).toBe(ProbeFault.none);
  });

  it.each([
    [-161, ProbeFault.impossible],
    [-160, ProbeFault.none],
    [1600, ProbeFault.none],
    [1601, ProbeFault.impossible],
  ])('%i sixteenths of a degree: fault %i', (raw, fault) => {
    expect(scratchpadFault(scratchpad(raw & 0xffff))).toBe(fault);
  });
});

describe('DS18B20 driver', () => {
  it('is absent until a conversion was asked for and had its time', () => {
    const bus = new ProbeBus();
    const inputs = emptyInputs();
    const readProbe = temperatureProbe(bus, 0);
    readProbe(inputs, 0);
    expect(inputs.probeFault).toBe(ProbeFault.absent);
    expect(bus.commands).toEqual([0x44]);
    readProbe(inputs, 800);
    expect(inputs.probeFault).toBe(ProbeFault.absent);
    readProbe(inputs, 1000);
    expect(inputs.probeFault).toBe(ProbeFault.none);
    expect(inputs.bathCelsius).toBe(25);
    expect(bus.commands).toEqual([0x44, 0xbe, 0x44]);
  });

  it('adds the calibrated offset', () => {
    const inputs = emptyInputs();
    const readProbe = temperatureProbe(new ProbeBus(), -0.4);
    readProbe(inputs, 0);
    readProbe(inputs, 1000);
    expect(inputs.bathCelsius).toBeCloseTo(24.6, 9);
  });

  it('tells each kind of failure, keeps the last good value, and is good again one second after the cause is gone', () => {
    const bus = new ProbeBus();
    const inputs = emptyInputs();
    const readProbe = temperatureProbe(bus, 0);
    let ms = 0;
    const nextSecond = () => readProbe(inputs, (ms += 1000));
    readProbe(inputs, 0);
    nextSecond();
    expect(inputs.probeFault).toBe(ProbeFault.none);

    bus.spoil = (bytes) => bytes.map((byte, i) => (i === 3 ? byte ^ 4 : byte));
    bus.raw = 0x0300;
    nextSecond();
    expect(inputs).toMatchObject({ probeFault: ProbeFault.checksum, bathCelsius: 25 });

    bus.spoil = (bytes) => bytes;
    bus.raw = 0x0550;
    nextSecond();
    expect(inputs).toMatchObject({ probeFault: ProbeFault.powerOnValue, bathCelsius: 25 });

    bus.isPresent = false;
    nextSecond();
    expect(inputs).toMatchObject({ probeFault: ProbeFault.absent, bathCelsius: 25 });

    bus.isPresent = true;
    bus.raw = 0x01a0;
    nextSecond();
    expect(inputs.probeFault).toBe(ProbeFault.absent);
    nextSecond();
    expect(inputs).toMatchObject({ probeFault: ProbeFault.none, bathCelsius: 26 });
  });
});
