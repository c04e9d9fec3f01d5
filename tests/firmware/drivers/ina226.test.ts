/* The shunt monitor's arithmetic against published numbers, and its driver against a chip made of registers. */
import { describe, expect, it } from 'vitest';
import { type Inputs, MonitorFault, Phase } from '@bathkeeper/shared-core/control';
import {
  alertRegister,
  calibrationRegister,
  LIMIT_OF_TEST,
  shuntAmps,
  shuntMonitor,
} from '../../../firmware/src/drivers/ina226.js';

const shunt = { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0 };

/** An INA226 by its registers (TI SBOS547): a pointer, sixteen bits each, conversion ready cleared by reading the mask. */
class RegisterChip {
  registers: Record<number, number> = {};
  isAnswering = true;
  converts = true;
  writes = 0;
  private pointer = 0;
  constructor() {
    this.powerOn();
  }
  powerOn(): void {
    this.registers = { 0: 0x4127, 1: 0, 2: 0, 5: 0, 6: 0, 7: 0, 0xfe: 0x5449, 0xff: 0x2260 };
  }
  writeTo = (address: number, ...parts: (number | ArrayLike<number>)[]): void => {
    if (!this.isAnswering || address !== 0x40) throw new Error('no acknowledge');
    const bytes = parts.flatMap((part) => (typeof part === 'number' ? [part] : Array.from(part)));
    this.pointer = bytes[0]!;
    if (bytes.length === 3) {
      this.registers[this.pointer] = bytes[1]! * 256 + bytes[2]!;
      this.writes++;
    }
  };
  readFrom = (address: number, count: number): Uint8Array => {
    if (!this.isAnswering || address !== 0x40) throw new Error('no acknowledge');
    expect(count).toBe(2);
    let value = this.registers[this.pointer]!;
    if (this.pointer === 6 && this.converts) value |= 8;
    return new Uint8Array([value >> 8, value & 255]);
  };
}

function emptyInputs(): Inputs {
  return { currentAmps: -1, terminalVolts: -1, monitorFault: MonitorFault.none } as Inputs;
}

/** Steps of the loop in which every register comes to its turn. */
const ROUND = 10;

/** A monitor that was read until its registers were written and checked. */
function settled(chip: RegisterChip, limitAmps: number) {
  const readMonitor = shuntMonitor(chip, shunt);
  const inputs = emptyInputs();
  const steps = (count: number, isLive: boolean, limit = limitAmps) => {
    for (let i = 0; i < count; i++) readMonitor(inputs, limit, isLive ? Phase.plate : Phase.idle);
  };
  steps(1 + ROUND, false);
  expect(inputs.monitorFault).toBe(MonitorFault.none);
  return { readMonitor, inputs, steps };
}

describe('INA226 arithmetic', () => {
  it.each([
    // TI SBOS547, the data sheet's example (from memory, its arithmetic checked): 2 mOhm, 1 mA a bit.
    { lsbMilliamps: 1, microOhms: 2000, register: 0x0a00 },
    // Texas Instruments' support forum, an answered question: 10 mOhm, 250 uA a bit.
    { lsbMilliamps: 0.25, microOhms: 10000, register: 2048 },
    // Computed here after the data sheet's formula: 0.00512 / (2 mA x 1.5 mOhm) = 1706.67, truncated.
    { lsbMilliamps: 2, microOhms: 1500, register: 1706 },
  ])('calibrates $microOhms microohms at $lsbMilliamps mA a bit with $register', (row) => {
    expect(calibrationRegister(row.lsbMilliamps, row.microOhms)).toBe(row.register);
  });

  it('reads 31 A over 1.5 mOhm from register 18600: 46.5 mV at 2.5 uV a bit (SBOS547)', () => {
    expect(shuntAmps(18600, shunt)).toBeCloseTo(31, 9);
    expect(shuntAmps(-18600, shunt)).toBeCloseTo(-31, 9);
  });

  it('clips at 54.61 A over 1.5 mOhm: full scale 81.92 mV (SBOS547)', () => {
    expect(shuntAmps(32767, shunt)).toBeCloseTo(54.61, 2);
  });

  it('puts the alert limit at the current or below it, whatever the calibration', () => {
    expect(alertRegister(31, shunt)).toBe(18600);
    for (const gain of [0.97, 1, 1.03])
      for (const offset of [-0.2, 0, 0.2]) {
        const calibrated = { microOhms: 1500, currentGain: gain, currentOffsetAmps: offset };
        const register = alertRegister(24, calibrated);
        expect(shuntAmps(register, calibrated)).toBeLessThanOrEqual(24 + 1e-9);
        expect(shuntAmps(register + 1, calibrated)).toBeGreaterThan(24);
      }
  });

  it('never lets a limit wrap around the register', () => {
    expect(alertRegister(1000, shunt)).toBe(32767);
    expect(alertRegister(0, shunt)).toBe(0);
    expect(alertRegister(-5, shunt)).toBe(0);
  });
});

describe('INA226 driver', () => {
  it('writes averaging, calibration, mask and limit before the first reading is believed', () => {
    const chip = new RegisterChip();
    const readMonitor = shuntMonitor(chip, shunt);
    const inputs = emptyInputs();
    const written = { 0: 0x4727, 5: 1706, 6: 0x8000, 7: 14400 };
    let steps = 0;
    do {
      readMonitor(inputs, 24, Phase.idle);
      if (inputs.monitorFault === MonitorFault.none) expect(chip.registers).toMatchObject(written);
    } while (inputs.monitorFault !== MonitorFault.none && ++steps < 30);
    expect(steps).toBeLessThanOrEqual(1 + ROUND);
    chip.registers[1] = 11040;
    chip.registers[2] = 2560;
    readMonitor(inputs, 24, Phase.idle);
    expect(inputs.currentAmps).toBeCloseTo(18.4, 9);
    expect(inputs.terminalVolts).toBeCloseTo(3.2, 9);
  });

  it('speaks to the chip six times a step at most', () => {
    const chip = new RegisterChip();
    const { steps } = settled(chip, 24);
    let calls = 0;
    const { writeTo, readFrom } = chip;
    chip.writeTo = (...values) => {
      calls++;
      writeTo(...values);
    };
    chip.readFrom = (...values) => {
      calls++;
      return readFrom(...values);
    };
    for (let i = 0; i < 2 * ROUND; i++) {
      calls = 0;
      steps(1, true);
      expect(calls).toBeLessThanOrEqual(6);
    }
  });

  it('reads a negative current as negative', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.registers[1] = 0xb758;
    steps(1, false);
    expect(inputs.currentAmps).toBeCloseTo((-18600 * 2.5) / 1500, 9);
  });

  it('applies gain and offset of the calibration', () => {
    const chip = new RegisterChip();
    const inputs = emptyInputs();
    chip.registers[1] = 6000;
    shuntMonitor(chip, { microOhms: 1500, currentGain: 1.02, currentOffsetAmps: -0.1 })(inputs, 24, Phase.idle);
    expect(inputs.currentAmps).toBeCloseTo(10 * 1.02 - 0.1, 9);
  });

  it('is silent when the chip does not answer, and keeps the last reading', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.registers[1] = 6000;
    steps(1, true);
    chip.isAnswering = false;
    steps(1, true);
    expect(inputs.monitorFault).toBe(MonitorFault.silent);
    expect(inputs.currentAmps).toBeCloseTo(10, 9);
  });

  it('is silent within a second when no new conversion comes, never after less than two conversion times', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.converts = false;
    steps(2, true);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    steps(2, true);
    expect(inputs.monitorFault).toBe(MonitorFault.silent);
    chip.converts = true;
    steps(2, true);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
  });

  it.each([
    [0, 'averaging'],
    [5, 'calibration'],
    [6, 'mask'],
    [7, 'alert limit'],
    [0xfe, 'maker'],
    [0xff, 'chip'],
  ])('register %i (%s) changed while live is noticed within two seconds and stays told', (register) => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.registers[register]! ^= 0x0100;
    steps(ROUND, true);
    for (let i = 0; i < 3 * ROUND; i++) {
      expect(inputs.monitorFault).toBe(MonitorFault.changed);
      steps(1, true);
    }
  });

  it('a brown-out while live is noticed within two steps, never mended in silence, and mended once the run is over', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.powerOn();
    chip.writes = 0;
    steps(2, true);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
    steps(50, true);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
    expect(chip.writes).toBe(0);
    steps(ROUND, false);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    expect(chip.registers).toMatchObject({ 0: 0x4727, 5: 1706, 6: 0x8000, 7: 14400 });
  });

  it('a new limit is carried in the step that asks for it; while live it is a change, and not written', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    steps(1, false, 12);
    expect(chip.registers[7]).toBe(7200);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    steps(1, true, 20);
    expect(chip.registers[7]).toBe(7200);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
  });

  it('the test of the latch is a limit below everything, so that no current at all is above it', () => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    steps(1, false, LIMIT_OF_TEST);
    // 0x8000 is the least of the register's signed values (SBOS547).
    expect(chip.registers[7]).toBe(0x8000);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    steps(1, false);
    expect(chip.registers[7]).toBe(14400);
  });

  it.each([0x7fff, 0x8000, 0x8001])('shunt register %i is clipped, not a current', (register) => {
    const chip = new RegisterChip();
    const { inputs, steps } = settled(chip, 24);
    chip.registers[1] = register;
    steps(1, true);
    expect(inputs.monitorFault).toBe(MonitorFault.clipped);
  });
});
