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
/** Where a time's text has what the registers hold in turn: second, minute, hour, (weekday: any), day, month, year. */
const PLACES = [17, 14, 11, 8, 8, 5, 2];

/** Seconds since 1970, or 0 when the chip does not answer or does not know. @onceAtBoot */
export function clockChipSeconds(bus: TwoWireBus): number {
  try {
    bus.writeTo(ADDRESS, STATUS);
    if (bus.readFrom(ADDRESS, 1)[0]! & OSCILLATOR_STOPPED) return 0;
    bus.writeTo(ADDRESS, 0);
    const registers = bus.readFrom(ADDRESS, REGISTERS);
    // A coded decimal is its own two digits in hexadecimal.
    const digits = function (register: number): string {
      return (256 + registers[register]!).toString(16).substr(1);
    };
    const day = '20' + digits(6) + '-' + digits(5) + '-' + digits(4);
    return Date.parse(day + 'T' + digits(2) + ':' + digits(1) + ':' + digits(0) + 'Z') / 1000 || 0;
  } catch (_) {
    return 0;
  }
}

/** What sets the chip, and with it its oscillator's flag; it throws when it does not answer. */
export function clockChipSetter(bus: TwoWireBus): (seconds: number) => void {
  return function (seconds: number): void {
    const text = new Date(seconds * 1000).toISOString();
    bus.writeTo(
      ADDRESS,
      0,
      PLACES.map(function (place: number): number {
        return parseInt(text.substr(place, 2), 16);
      }),
    );
    bus.writeTo(ADDRESS, STATUS, 0);
  };
}
