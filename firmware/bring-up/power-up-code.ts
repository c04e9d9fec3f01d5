/*
 * What the set-point converter gives at power-up, before any program has written to it: the code in its EEPROM (MCP4725, Microchip DS22039). A new
 * chip wakes at half of full scale (from memory of the data sheet). Called by sensors() and before the supply's calibration. Writes the
 * EEPROM only when it holds anything but zero: once in the life of a chip.
 */
import { CONVERTER_ADDRESS } from '../src/drivers/mcp4725.js';
import type { TwoWireBus } from '../src/ports.js';

/** Write register and EEPROM, no power-down. */
const KEEP = 0x60;
/** Of the first byte read: no writing of the EEPROM goes on. It takes at most 50 ms (DS22039, from memory); each look far more than 0.1 ms. */
const READY = 0x80;
const LOOKS_MAX = 500;
/** Power-down bits and code as the last two of five bytes hold them. */
const KEPT_BITS = 0x6fff;

/** What is kept for the next power-up, once the chip is ready. Throws when nobody answers. */
function keptCode(bus: TwoWireBus): number {
  let bytes = bus.readFrom(CONVERTER_ADDRESS, 5);
  for (let look = 1; look < LOOKS_MAX && !(bytes[0]! & READY); look++) bytes = bus.readFrom(CONVERTER_ADDRESS, 5);
  return (bytes[3]! * 256 + bytes[4]!) & KEPT_BITS;
}

/** Sees to it that the converter wakes at zero; empty when all is well, else what to do. Throws when nobody answers. */
export function zeroPowerUpCode(bus: TwoWireBus): string {
  const before = keptCode(bus);
  if (!before) return '';
  bus.writeTo(CONVERTER_ADDRESS, KEEP, 0, 0);
  const after = keptCode(bus);
  if (after) return 'would wake at code ' + after + ' at power-up, and does not keep a zero: change it';
  print(
    '   The set-point converter would have woken at code ' + before + ' at power-up. It wakes at zero from now on.',
  );
  return '';
}
