/* The temperature probe's rows and check sums against published numbers, and its driver against a bus that fails in every way. */
import { describe, expect, it } from 'vitest';
import { type Inputs, ProbeFault } from '@bathkeeper/shared-core/control';
import {
  CLIPS_NOT_FITTED,
  dallasCrc,
  scratchpadFault,
  temperatureProbes,
  temperatureRaw,
} from '../../../firmware/src/drivers/ds18b20.js';

/** Nine bytes as the chip sends them, check byte included. */
function scratchpad(raw: number): number[] {
  const bytes = [raw & 255, (raw >> 8) & 255, 0x4b, 0x46, 0x7f, 0xff, 0x0c, 0x10];
  return [...bytes, dallasCrc(bytes, 8)];
}

/** A bus with probes on it, by ROM code; those that are absent do not answer. */
class ProbeBus {
  probes: Record<string, { raw: number; isPresent: boolean; converted: number }> = {};
  spoil = (bytes: number[]): number[] => bytes;
  commands: string[] = [];
  private selected: string | undefined;
  constructor(...roms: string[]) {
    for (const rom of roms.length ? roms : ['']) this.probes[rom] = { raw: 0x0190, isPresent: true, converted: 0x0550 };
  }
  get bath() {
    return Object.values(this.probes)[0]!;
  }
  reset = (): boolean => {
    this.selected = undefined;
    return Object.values(this.probes).some((probe) => probe.isPresent);
  };
  skip = (): void => {
    this.selected = undefined;
  };
  select = (rom: string): void => {
    this.reset();
    this.selected = rom;
  };
  write = (byte: number): void => {
    this.commands.push((this.selected ?? '') + byte.toString(16));
    if (byte === 0x44) for (const probe of Object.values(this.probes)) probe.converted = probe.raw;
  };
  read = (count: number): number[] => {
    expect(count).toBe(9);
    const probe = this.selected === undefined ? this.bath : this.probes[this.selected];
    return probe?.isPresent ? this.spoil(scratchpad(probe.converted)) : new Array<number>(9).fill(255);
  };
}

function emptyInputs(): Inputs {
  return { bathCelsius: 0, probeFault: ProbeFault.absent, clipCelsius: CLIPS_NOT_FITTED } as Inputs;
}

/** Probes on a bus, read in steps of 200 ms. */
function stepped(bus: ProbeBus, offsetCelsius = 0, roms: string[] = []) {
  const inputs = emptyInputs();
  const readProbes = temperatureProbes(bus, {
    probeOffsetCelsius: offsetCelsius,
    probeRom: roms[0] ?? '',
    clipRoms: roms.slice(1),
  });
  let ms = 0;
  const steps = (count: number) => {
    for (let i = 0; i < count; i++) readProbes(inputs, (ms += 200));
  };
  return { inputs, steps };
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
      // The highest bit of the configuration makes it look like a bus that nobody drives, which is as careful.
      expect(scratchpadFault(bytes)).toBe(bit === 39 ? ProbeFault.absent : ProbeFault.checksum);
    }
  });

  it('nine zeros pass the check sum and are refused all the same', () => {
    expect(dallasCrc(new Array<number>(8).fill(0), 8)).toBe(0);
    expect(scratchpadFault(new Array<number>(9).fill(0))).toBe(ProbeFault.checksum);
  });

  it('nine 255, a wire that nobody drives, are an absent probe', () => {
    expect(scratchpadFault(new Array<number>(9).fill(255))).toBe(ProbeFault.absent);
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
  it('is absent until a conversion was asked for and had its 750 ms', () => {
    const bus = new ProbeBus();
    const { inputs, steps } = stepped(bus);
    steps(1);
    expect(bus.commands).toEqual(['44']);
    steps(3);
    expect(inputs.probeFault).toBe(ProbeFault.absent);
    expect(bus.commands).toEqual(['44']);
    steps(1);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.none, bathCelsius: 25 });
    expect(bus.commands).toEqual(['44', 'be']);
  });

  it('reads once a second, and never both converts and reads in one step', () => {
    const bus = new ProbeBus();
    const { steps } = stepped(bus);
    for (let i = 0; i < 100; i++) {
      bus.commands = [];
      steps(1);
      expect(bus.commands.length).toBeLessThanOrEqual(1);
    }
    bus.commands = [];
    steps(50);
    expect(bus.commands.filter((command) => command === 'be').length).toBe(10);
  });

  it('adds the calibrated offset to the bath, and to no clip', () => {
    const bus = new ProbeBus('bath', 'clip');
    const { inputs, steps } = stepped(bus, -0.4, ['bath', 'clip']);
    steps(6);
    expect(inputs.bathCelsius).toBeCloseTo(24.6, 9);
    expect(inputs.clipCelsius).toBe(25);
  });

  it('tells each kind of failure, keeps the last good value, and is good again two seconds after the cause is gone', () => {
    const bus = new ProbeBus();
    const { inputs, steps } = stepped(bus);
    steps(5);
    expect(inputs.probeFault).toBe(ProbeFault.none);

    bus.spoil = (bytes) => bytes.map((byte, i) => (i === 3 ? byte ^ 4 : byte));
    bus.bath.raw = 0x0300;
    steps(5);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.checksum, bathCelsius: 25 });

    bus.spoil = (bytes) => bytes;
    bus.bath.raw = 0x0550;
    steps(5);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.powerOnValue, bathCelsius: 25 });

    bus.bath.isPresent = false;
    steps(5);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.absent, bathCelsius: 25 });

    bus.bath.isPresent = true;
    bus.bath.raw = 0x01a0;
    steps(10);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.none, bathCelsius: 26 });
  });

  it('a probe that came back after the conversion was asked for is not believed before the next', () => {
    const bus = new ProbeBus();
    const { inputs, steps } = stepped(bus);
    bus.bath.isPresent = false;
    steps(4);
    bus.bath.isPresent = true;
    steps(1);
    expect(inputs.probeFault).toBe(ProbeFault.absent);
  });
});

describe('probes at clips and contactor', () => {
  const roms = ['28000000000000bb', '28000000000000c1', '28000000000000c2'];
  const fitted = () => {
    const bus = new ProbeBus(...roms);
    return { bus, ...stepped(bus, 0, roms) };
  };

  it('are read each by its ROM code, the hottest counts, and the bath is the bath', () => {
    const { bus, inputs, steps } = fitted();
    bus.probes[roms[1]!]!.raw = 61.5 * 16;
    bus.probes[roms[2]!]!.raw = 40 * 16;
    steps(7);
    expect(inputs).toMatchObject({ bathCelsius: 25, probeFault: ProbeFault.none, clipCelsius: 61.5 });
    expect(bus.commands).toEqual(['44', `${roms[0]!}be`, `${roms[1]!}be`, `${roms[2]!}be`]);
    bus.probes[roms[1]!]!.raw = 30 * 16;
    steps(7);
    expect(inputs.clipCelsius).toBe(40);
  });

  it.each([1, 2])('one that cannot be read (%i) makes all untold, however hot the other is', (missing) => {
    const { bus, inputs, steps } = fitted();
    bus.probes[roms[3 - missing]!]!.raw = 75 * 16;
    bus.probes[roms[missing]!]!.isPresent = false;
    steps(14);
    expect(inputs.clipCelsius).toBeNaN();
    expect(inputs.probeFault).toBe(ProbeFault.none);
  });

  it('an absent bath probe is absent though clips answer', () => {
    const { bus, inputs, steps } = fitted();
    steps(7);
    bus.bath.isPresent = false;
    steps(7);
    expect(inputs).toMatchObject({ probeFault: ProbeFault.absent, clipCelsius: 25 });
  });

  it('where none is fitted nothing is told', () => {
    const { inputs, steps } = stepped(new ProbeBus());
    steps(20);
    expect(inputs.clipCelsius).toBe(CLIPS_NOT_FITTED);
  });
});
