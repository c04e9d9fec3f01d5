/* The shunt monitor's arithmetic against published numbers, and its driver against a chip made of registers. */
import { describe, expect, it } from 'vitest';
import { type Inputs, MonitorFault } from '@bathkeeper/shared-core/control';
import { alertRegister, calibrationRegister, shuntAmps, shuntMonitor } from '../../../firmware/src/drivers/ina226.js';

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

/** A monitor that was read until its registers were written and checked. */
function settled(chip: RegisterChip, limitAmps: number) {
  const readMonitor = shuntMonitor(chip, shunt);
  const inputs = emptyInputs();
  readMonitor(inputs, limitAmps, false, 0);
  return { readMonitor, inputs };
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
    const { readMonitor, inputs } = settled(chip, 24);
    expect(chip.registers).toMatchObject({ 0: 0x4727, 5: 1706, 6: 0x8000, 7: 14400 });
    chip.registers[1] = 11040;
    chip.registers[2] = 2560;
    readMonitor(inputs, 24, false, 200);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    expect(inputs.currentAmps).toBeCloseTo(18.4, 9);
    expect(inputs.terminalVolts).toBeCloseTo(3.2, 9);
  });

  it('reads a negative current as negative', () => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.registers[1] = 0xb758;
    readMonitor(inputs, 24, false, 200);
    expect(inputs.currentAmps).toBeCloseTo((-18600 * 2.5) / 1500, 9);
  });

  it('is silent when the chip does not answer, and keeps the last reading', () => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.registers[1] = 6000;
    readMonitor(inputs, 24, true, 200);
    chip.isAnswering = false;
    readMonitor(inputs, 24, true, 400);
    expect(inputs.monitorFault).toBe(MonitorFault.silent);
    expect(inputs.currentAmps).toBeCloseTo(10, 9);
  });

  it('is silent when no new conversion came for four conversion times, and not before', () => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.converts = false;
    readMonitor(inputs, 24, true, 599);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    readMonitor(inputs, 24, true, 600);
    expect(inputs.monitorFault).toBe(MonitorFault.silent);
  });

  it.each([
    [0, 'averaging'],
    [5, 'calibration'],
    [6, 'mask'],
    [7, 'alert limit'],
    [0xfe, 'maker'],
    [0xff, 'chip'],
  ])('register %i (%s) changed is noticed within a second', (register) => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.registers[register]! ^= 0x0100;
    readMonitor(inputs, 24, true, 1000);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
  });

  it('a brown-out while live is never mended in silence, and is mended once the run is over', () => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.powerOn();
    chip.writes = 0;
    for (let ms = 200; ms <= 5000; ms += 200) readMonitor(inputs, 24, true, ms);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
    expect(chip.writes).toBe(0);
    for (let ms = 5200; ms <= 6200; ms += 200) readMonitor(inputs, 24, false, ms);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    expect(chip.registers).toMatchObject({ 0: 0x4727, 5: 1706, 6: 0x8000, 7: 14400 });
  });

  it('a new limit counts as changed until the chip carries it', () => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    readMonitor(inputs, 12, false, 200);
    expect(inputs.monitorFault).toBe(MonitorFault.changed);
    for (let ms = 400; ms <= 1200; ms += 200) readMonitor(inputs, 12, false, ms);
    expect(inputs.monitorFault).toBe(MonitorFault.none);
    expect(chip.registers[7]).toBe(7200);
  });

  it.each([0x7fff, 0x8000, 0x8001])('shunt register %i is clipped, not a current', (register) => {
    const chip = new RegisterChip();
    const { readMonitor, inputs } = settled(chip, 24);
    chip.registers[1] = register;
    readMonitor(inputs, 24, true, 200);
    expect(inputs.monitorFault).toBe(MonitorFault.clipped);
  });
});
