/*
 * DS18B20 temperature probe (Analog Devices / Maxim data sheet), alone on its 1-Wire bus. Read by the control loop; one
 * conversion a second, the bus is touched only then. What is not certainly a temperature is a fault, never a number:
 * the power-on value 85.0, a frame of zeros (which passes the check sum), no presence, a wrong check sum.
 *
 *   DQ with 4.7 kOhm to 3.3 V, three wires, in a closed glass or PTFE sleeve
 */
import { ProbeFault, type Inputs } from '@bathkeeper/shared-core/control';
import type { OneWireBus } from '../ports.js';

const CONVERT = 0x44;
const READ_SCRATCHPAD = 0xbe;
const SCRATCHPAD_BYTES = 9;
/** 750 ms for 12 bits (data sheet, table 2), rounded up to the next of the loop's steps. */
const CONVERSION_MS = 900;
const POWER_ON_RAW = 0x0550;
/** Outside these an acid copper bath is not: common practice, no source. */
const CELSIUS_MIN = -10;
const CELSIUS_MAX = 100;

/**
 * Check byte of the first `count` bytes: CRC-8, x8 + x5 + x4 + 1 reflected (Maxim application note 27).
 * Example: 02 1C B8 01 00 00 00 gives A2.
 */
export function dallasCrc(bytes: ArrayLike<number>, count: number): number {
  let crc = 0;
  for (let i = 0; i < count; i++) {
    crc ^= bytes[i]!;
    for (let bit = 8; bit--;) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
  }
  return crc;
}

/** The temperature register in sixteenths of a degree, signed. Example: 91 01 is 401, that is 25.0625 C. */
export function temperatureRaw(scratchpad: ArrayLike<number>): number {
  const raw = scratchpad[1]! * 256 + scratchpad[0]!;
  return raw > 32767 ? raw - 65536 : raw;
}

/** What is wrong with nine bytes read from the scratchpad; none when they are a temperature. */
export function scratchpadFault(scratchpad: ArrayLike<number>): ProbeFault {
  // Five bits of the configuration register are always set (data sheet, figure 8): a frame of zeros passes the check sum.
  if ((scratchpad[4]! & 31) !== 31 || dallasCrc(scratchpad, 8) !== scratchpad[8]) return ProbeFault.checksum;
  const raw = temperatureRaw(scratchpad);
  if (raw === POWER_ON_RAW) return ProbeFault.powerOnValue;
  return raw < CELSIUS_MIN * 16 || raw > CELSIUS_MAX * 16 ? ProbeFault.impossible : ProbeFault.none;
}

/** Once a second: takes the finished conversion into the inputs and starts the next. Before the first: absent. */
export type ReadProbe = (inputs: Inputs, nowMs: number) => void;

export function temperatureProbe(bus: OneWireBus, offsetCelsius: number): ReadProbe {
  let startedMs = -CONVERSION_MS;
  let isConverting = false;

  /** False when nobody answered the reset. */
  const send = function (command: number): boolean {
    if (!bus.reset()) return false;
    bus.skip();
    bus.write(command);
    return true;
  };

  return function (inputs: Inputs, nowMs: number): void {
    if (nowMs - startedMs < CONVERSION_MS) return;
    inputs.probeFault = ProbeFault.absent;
    if (isConverting && send(READ_SCRATCHPAD)) {
      const scratchpad = bus.read(SCRATCHPAD_BYTES);
      inputs.probeFault = scratchpadFault(scratchpad);
      if (!inputs.probeFault) inputs.bathCelsius = temperatureRaw(scratchpad) / 16 + offsetCelsius;
    }
    isConverting = send(CONVERT);
    startedMs = nowMs;
  };
}
