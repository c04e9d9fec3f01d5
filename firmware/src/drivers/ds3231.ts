/*
 * DS3231 clock chip (Maxim 19-5170) at 0x68, with a cell of its own: the time of day through a power cut. Optional. Binary-coded decimals,
 * 24 hours, coordinated universal time. A chip whose oscillator once stopped is not believed until it was set.
 *
 *   SDA SCL I2C
 */
import type { TwoWireBus } from '../ports.js';

const ADDRESS = 0x68;
const STATUS = 0x0f;
const OSCILLATOR_STOPPED = 0x80;
const REGISTERS = 7;
/** In the order of the registers: second, minute, hour, day of the week, day, month, year. */
const MASKS = [127, 127, 63, 7, 63, 31, 255];

/** Seconds since 1970, or 0 when the chip does not answer or does not know. */
export function clockChipSeconds(bus: TwoWireBus): number {
  try {
    bus.writeTo(ADDRESS, STATUS);
    if (bus.readFrom(ADDRESS, 1)[0]! & OSCILLATOR_STOPPED) return 0;
    bus.writeTo(ADDRESS, 0);
    const registers = bus.readFrom(ADDRESS, REGISTERS);
    const read = MASKS.map(function (mask: number, index: number): number {
      const value = registers[index]! & mask;
      return (value >> 4) * 10 + (value & 15);
    });
    return new Date(2000 + read[6]!, read[5]! - 1, read[4], read[2], read[1], read[0]).getTime() / 1000 || 0;
  } catch (_) {
    return 0;
  }
}

/** Sets the chip, and with it its oscillator's flag. One that does not answer is passed over. */
export function setClockChip(bus: TwoWireBus, seconds: number): void {
  const time = new Date(seconds * 1000);
  const registers = [
    time.getSeconds(),
    time.getMinutes(),
    time.getHours(),
    time.getDay() + 1,
    time.getDate(),
    time.getMonth() + 1,
    time.getFullYear() - 2000,
  ].map(function (value: number): number {
    return Math.floor(value / 10) * 16 + (value % 10);
  });
  try {
    bus.writeTo(ADDRESS, 0, registers);
    bus.writeTo(ADDRESS, STATUS, 0);
  } catch (_) {
    // Not there: the time of day is only lost with the power.
  }
}
