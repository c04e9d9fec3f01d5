import { describe, expect, it } from 'vitest';
import { crc8, Ds18b20, rawTemperature } from '../../../firmware/bench/chips/ds18b20.js';
import { Ina226, Register } from '../../../firmware/bench/chips/ina226.js';
import { Mb85rc256v } from '../../../firmware/bench/chips/mb85rc256v.js';
import { Mcp4725 } from '../../../firmware/bench/chips/mcp4725.js';
import type { SeededNoise } from '../../../firmware/bench/seeded-noise.js';
import type { Tank } from '../../../firmware/bench/tank/tank.js';

const silence = { gaussian: () => 0, uniform: () => 0, uint32: () => 0 } as unknown as SeededNoise;

/** A circuit that carries what the test says, behind the monitor. */
function monitorAt(shuntOhms: number, amps: number, volts: number) {
  const circuit = {
    ...{ shuntOhms, currentAmps: amps, terminalVolts: volts, shuntCoulombs: 0, terminalVoltSeconds: 0, nowSeconds: 0 },
    get seenAmps(): number {
      return this.currentAmps;
    },
    get seenVolts(): number {
      return this.terminalVolts;
    },
    options: { supplyRippleFraction: 0 },
    advanceTo(untilSeconds: number) {
      this.shuntCoulombs += this.currentAmps * (untilSeconds - this.nowSeconds);
      this.terminalVoltSeconds += this.terminalVolts * (untilSeconds - this.nowSeconds);
      this.nowSeconds = untilSeconds;
    },
  };
  const alerts: boolean[] = [];
  const monitor = new Ina226(circuit as unknown as Tank, silence, (isLow) => {
    if (alerts.at(-1) !== isLow) alerts.push(isLow);
  });
  const write = (register: number, value: number, at = 0): void => {
    monitor.write(Uint8Array.of(register, (value >> 8) & 0xff, value & 0xff), 3, at);
  };
  const read = (register: number, at: number): number => {
    monitor.write(Uint8Array.of(register), 1, at);
    const bytes = new Uint8Array(2);
    monitor.read(bytes, at);
    return (bytes[0]! << 8) | bytes[1]!;
  };
  /** Runs conversions as the bath's clock does. */
  const runTo = (untilSeconds: number): void => {
    while (monitor.dueAtSeconds <= untilSeconds) monitor.act(monitor.dueAtSeconds);
  };
  return { circuit, monitor, write, read, runTo, alerts };
}

describe('the INA226 of the virtual board', () => {
  it('wakes with the data sheet’s reset values and says who it is', () => {
    // SBOS547: configuration 4127h, identification 5449h and 2260h, everything else 0.
    const { read } = monitorAt(0.002, 0, 0);
    expect(read(Register.configuration, 0)).toBe(0x4127);
    expect(read(Register.manufacturerId, 0)).toBe(0x5449);
    expect(read(Register.dieId, 0)).toBe(0x2260);
    expect(read(Register.calibration, 0)).toBe(0);
    expect(read(Register.alertLimit, 0)).toBe(0);
  });

  it('computes current and power as in Texas Instruments’ example', () => {
    // SBOS547 (from memory, arithmetic recomputed): 2 milliohm, CAL A00h, shunt 8000, bus 9584 -> current 10000, power 4792.
    const { write, read } = monitorAt(0.002, 10, 11.98);
    write(Register.calibration, 0xa00);
    expect(read(Register.shuntVoltage, 1)).toBe(8000);
    expect(read(Register.busVoltage, 1)).toBe(9584);
    expect(read(Register.current, 1)).toBe(10000);
    expect(read(Register.power, 1)).toBe(4792);
  });

  it('reads current 0 until it is calibrated', () => {
    expect(monitorAt(0.002, 10, 12).read(Register.current, 1)).toBe(0);
  });

  it('shows 31 A on 1.5 milliohm as 18600, and 15493 with a calibration of 1706', () => {
    // Recomputed with CAL = trunc(0.00512 / (2 mA x 1.5 milliohm)) = 1706; no publisher.
    const { write, read } = monitorAt(0.0015, 31, 3);
    write(Register.calibration, 1706);
    expect(read(Register.shuntVoltage, 1)).toBe(18600);
    expect(read(Register.current, 1)).toBe(15493);
  });

  it('shows a reversed 31 A in two’s complement', () => {
    expect(monitorAt(0.0015, -31, 0).read(Register.shuntVoltage, 1)).toBe(0xb758);
  });

  it('clips at full scale, which is 54.61 A on 1.5 milliohm', () => {
    expect(monitorAt(0.0015, 54.5, 0).read(Register.shuntVoltage, 1)).toBeLessThan(32767);
    expect(monitorAt(0.0015, 60, 0).read(Register.shuntVoltage, 1)).toBe(32767);
    expect(monitorAt(0.0015, -60, 0).read(Register.shuntVoltage, 1)).toBe(0x8000);
  });

  it('needs 140.8 ms for 64 averages of two conversions of 1.1 ms', () => {
    const { write, read } = monitorAt(0.0015, 10, 2);
    write(Register.configuration, 0x4727, 0);
    expect(read(Register.maskEnable, 0.1407) & 0x0008).toBe(0);
    expect(read(Register.shuntVoltage, 0.1407)).toBe(0);
    expect(read(Register.maskEnable, 0.1409) & 0x0008).toBe(0x0008);
    expect(read(Register.shuntVoltage, 0.1409)).toBe(6000);
  });

  it('clears the conversion-ready flag when the mask is read', () => {
    const { read } = monitorAt(0.0015, 10, 2);
    expect(read(Register.maskEnable, 1) & 0x0008).toBe(0x0008);
    expect(read(Register.maskEnable, 1) & 0x0008).toBe(0);
  });

  it('pulls the alert low at the end of the first conversion above the limit, and lets go below it', () => {
    const { circuit, write, runTo, alerts } = monitorAt(0.0015, 20, 2);
    write(Register.configuration, 0x4727);
    write(Register.alertLimit, 14400); // 24 A
    write(Register.maskEnable, 0x8000);
    runTo(0.5);
    expect(alerts).toEqual([false]);
    circuit.currentAmps = 30;
    runTo(0.5 + 2 * 0.1408);
    expect(alerts).toEqual([false, true]);
    circuit.currentAmps = 20;
    runTo(1);
    expect(alerts).toEqual([false, true, false]);
  });

  it('averages over the conversion: a short spike within the limit’s mean does not alert', () => {
    const { circuit, write, runTo, alerts } = monitorAt(0.0015, 20, 2);
    write(Register.configuration, 0x4727);
    write(Register.alertLimit, 14400);
    write(Register.maskEnable, 0x8000);
    runTo(0.1408 * 3);
    circuit.advanceTo(0.45);
    circuit.currentAmps = 40;
    circuit.advanceTo(0.46);
    circuit.currentAmps = 20;
    runTo(1);
    expect(alerts).toEqual([false]);
  });

  it('forgets limit, mask and calibration in a brown-out', () => {
    const { monitor, write, read, runTo, alerts } = monitorAt(0.0015, 30, 2);
    write(Register.configuration, 0x4727);
    write(Register.calibration, 1706);
    write(Register.alertLimit, 14400);
    write(Register.maskEnable, 0x8000);
    monitor.reset(0.05);
    runTo(1);
    expect(alerts).toEqual([false]);
    expect([0, 5, 6, 7].map((register) => read(register, 1) & 0xfff7)).toEqual([0x4127 & 0xfff7, 0, 0, 0]);
  });

  it('keeps its registers and its flag as they are when it is frozen', () => {
    const { circuit, monitor, read } = monitorAt(0.0015, 20, 2);
    expect(read(Register.shuntVoltage, 1)).toBe(12000);
    monitor.setFrozen(true, 1);
    circuit.currentAmps = 30;
    read(Register.maskEnable, 2);
    expect(read(Register.maskEnable, 3) & 0x0008).toBe(0);
    expect(read(Register.shuntVoltage, 3)).toBe(12000);
  });
});

describe('the DS18B20 of the virtual board', () => {
  it.each([
    [125, 0x07d0],
    [85, 0x0550],
    [25.0625, 0x0191],
    [10.125, 0x00a2],
    [0.5, 0x0008],
    [-0.5, 0xfff8],
    [-10.125, 0xff5e],
    [-25.0625, 0xfe6f],
    [-55, 0xfc90],
  ])('codes %f Celsius', (celsius, raw) => {
    // Rows of the data sheet (125 and 85 published, the others from memory).
    expect(rawTemperature(celsius)).toBe(raw);
  });

  it('computes the check sum of application note 27', () => {
    expect(crc8([0x02, 0x1c, 0xb8, 0x01, 0, 0, 0])).toBe(0xa2);
    expect(crc8([0, 0, 0, 0, 0, 0, 0, 0, 0])).toBe(0);
  });

  function probeAt(celsius: number) {
    const probe = new Ds18b20(() => celsius, silence, 0);
    const ask = (now: number): number[] => {
      if (!probe.reset()) return [];
      probe.write(0xcc, now);
      probe.write(0xbe, now);
      return Array.from({ length: 9 }, () => probe.read(now));
    };
    const convert = (now: number): void => {
      probe.reset();
      probe.write(0xcc, now);
      probe.write(0x44, now);
    };
    return { probe, ask, convert };
  }

  it('answers 85.0 until a conversion of 750 ms is complete', () => {
    const { ask, convert } = probeAt(24.5);
    const raw = (now: number): number => ask(now)[0]! | (ask(now)[1]! << 8);
    convert(0);
    expect(raw(0.74)).toBe(0x0550);
    expect(raw(0.75)).toBe(24.5 * 16);
    expect(crc8(ask(1))).toBe(0);
  });

  it('is absent, zero, damaged or at its power-on value when a fault says so', () => {
    const { probe, ask, convert } = probeAt(24.5);
    convert(0);
    probe.trouble = 'absent';
    expect(probe.reset()).toBe(false);
    probe.trouble = 'zero frame';
    expect(ask(1)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0]);
    probe.trouble = 'damaged frame';
    expect(crc8(ask(1))).not.toBe(0);
    probe.trouble = 'power-on value';
    expect(ask(1).slice(0, 2)).toEqual([0x50, 0x05]);
    expect(crc8(ask(1))).toBe(0);
  });
});

describe('the MCP4725 of the virtual board', () => {
  it('takes fast writes and reads them back', () => {
    const seen: number[] = [];
    const converter = new Mcp4725((code) => seen.push(code));
    converter.write(Uint8Array.of(0x07, 0x80), 2, 0);
    expect(seen).toEqual([0x780]);
    // DS22039: status, then the code in the upper twelve of two bytes.
    const status = new Uint8Array(3);
    converter.read(status);
    expect([...status]).toEqual([0xc0, 0x78, 0x00]);
  });

  it('gives nothing while powered down, and the code of its EEPROM when its power comes', () => {
    const seen: number[] = [];
    const converter = new Mcp4725((code) => seen.push(code));
    converter.write(Uint8Array.of(0x60, 0x12, 0x30), 3, 0);
    const all = new Uint8Array(5);
    // Busy with its EEPROM it takes nothing, and shows what it held before.
    converter.write(Uint8Array.of(0x0f, 0xff), 2, 0);
    converter.read(all);
    expect([...all]).toEqual([0x40, 0x12, 0x30, 0x00, 0x00]);
    while (!(all[0]! & 0x80)) converter.read(all);
    expect([...all]).toEqual([0xc0, 0x12, 0x30, 0x01, 0x23]);
    converter.write(Uint8Array.of(0x17, 0xff), 2, 0);
    converter.powerUp(1);
    expect(seen).toEqual([0x123, 0, 0x123]);
  });
});

describe('the FRAM of the virtual board', () => {
  it('keeps what was written, from the address on, and wraps at its end', () => {
    const memory = new Mb85rc256v(undefined, () => undefined);
    memory.write(Uint8Array.of(0x7f, 0xff, 1, 2, 3), 5);
    expect(memory.bytes[0x7fff]).toBe(1);
    memory.write(Uint8Array.of(0x00, 0x00), 2);
    const read = new Uint8Array(2);
    memory.read(read);
    expect([...read]).toEqual([2, 3]);
  });

  it('loses its power between any two bytes', () => {
    for (let count = 0; count <= 4; count++) {
      let cuts = 0;
      const memory = new Mb85rc256v(new Uint8Array(32768), () => cuts++);
      memory.bytesUntilPowerFails = count;
      memory.write(Uint8Array.of(0, 0, 1, 2, 3, 4, 5), 7);
      expect(cuts).toBe(1);
      expect([...memory.bytes.subarray(0, 5)]).toEqual([1, 2, 3, 4, 5].map((byte, at) => (at < count ? byte : 0)));
    }
  });
});
