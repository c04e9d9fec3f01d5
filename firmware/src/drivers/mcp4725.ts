/*
 * MCP4725 digital-to-analogue converter (Microchip DS22039) at 0x60: the analogue supply's current set-point. Written by the supply
 * in each step, so that a converter that lost its power carries the right value again 0.2 s later. It rounds down, never up.
 *
 *   VOUT amplifier to the supply's 0-5 V or 0-10 V input · SDA SCL I2C · A0 ground
 */
import { SupplyFault } from '@bathkeeper/shared-core/control';
import type { TwoWireBus } from '../ports.js';

/** How codes become amperes; measured at bring-up at two points. */
export interface SupplyInput {
  readonly codeAtZero: number;
  readonly codesPerAmp: number;
}

export const CONVERTER_ADDRESS = 0x60;
const FULL_SCALE = 4095;

/** Code for a current, rounded down; 0 for no current and for anything that is not a current. Example: 18.4 A at 100 a code is 1840. */
export function setPointCode(amps: number, supply: SupplyInput): number {
  if (!(amps > 0)) return 0;
  // A hundred-millionth against binary fractions: 0.29 x 100 is 28.999999999999996.
  const code = Math.floor(supply.codeAtZero + amps * supply.codesPerAmp + 1e-8);
  return code > 0 ? Math.min(code, FULL_SCALE) : 0;
}

/** Writes a code into the converter's output register; its EEPROM is never written. Throws when nobody answers. */
export function writeCode(bus: TwoWireBus, code: number): void {
  bus.writeTo(CONVERTER_ADDRESS, code >> 8, code & 255);
}

/** What is wrong with the converter, which should carry this code. Throws when nobody answers. */
export function codeFault(bus: TwoWireBus, code: number): SupplyFault {
  const bytes = bus.readFrom(CONVERTER_ADDRESS, 3);
  return bytes[1]! * 16 + (bytes[2]! >> 4) === code ? SupplyFault.none : SupplyFault.notAsAsked;
}
