/*
 * DS18B20 temperature probes (Analog Devices / Maxim data sheet) on one 1-Wire bus: the bath's, and further ones at clips and
 * contactor. Called in each control step, and uses the bus in few: one step starts the conversion of all, after it each is read in a
 * step of its own. What is not certainly a temperature is a fault, never a number: the power-on value 85.0, a frame of zeros (which
 * passes the check sum), nobody there, a wrong check sum.
 *
 *   DQ with 4.7 kOhm to 3.3 V, three wires, in a closed glass or PTFE sleeve
 */
import { ProbeFault, type Inputs } from '@bathkeeper/shared-core/control';
import type { OneWireBus } from '../ports.js';
import type { Settings } from '../settings.js';

const CONVERT = 0x44;
const READ_SCRATCHPAD = 0xbe;
const SCRATCHPAD_BYTES = 9;
/** 750 ms for 12 bits (data sheet, table 2); the next of the loop's steps after it comes at 800 ms or so. */
const CONVERSION_MS = 760;
const POWER_ON_RAW = 0x0550;
/** Outside these an acid copper bath is not: common practice, no source. */
const CELSIUS_MIN = -10;
const CELSIUS_MAX = 100;
/** `clipCelsius` where no clip has a probe. */
export const CLIPS_NOT_FITTED = -1000;

/** Check sums of all bytes: x8 + x5 + x4 + 1, reflected. @onceAtBoot */
function checkSums(): Uint8Array {
  const sums = new Uint8Array(256);
  for (let byte = 0; byte < 256; byte++) {
    let crc = byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0x8c : crc >> 1;
    sums[byte] = crc;
  }
  return sums;
}

const SUMS = checkSums();

/**
 * Check byte of the first `count` bytes: CRC-8, x8 + x5 + x4 + 1 reflected (Maxim application note 27).
 * Example: 02 1C B8 01 00 00 00 gives A2.
 */
export function dallasCrc(bytes: ArrayLike<number>, count: number): number {
  let crc = 0;
  for (let i = 0; i < count; i++) crc = SUMS[crc ^ bytes[i]!]!;
  return crc;
}

/** The temperature register in sixteenths of a degree, signed. Example: 91 01 is 401, that is 25.0625 C. */
export function temperatureRaw(scratchpad: ArrayLike<number>): number {
  const raw = scratchpad[1]! * 256 + scratchpad[0]!;
  return raw > 32767 ? raw - 65536 : raw;
}

/** What is wrong with nine bytes read from the scratchpad; none when they are a temperature. */
export function scratchpadFault(scratchpad: ArrayLike<number>): ProbeFault {
  const configuration = scratchpad[4]!;
  // Its highest bit is always clear (data sheet, figure 8): ones are a bus that nobody drives.
  if (configuration === 255) return ProbeFault.absent;
  // Five bits of it are always set: a frame of zeros passes the check sum.
  if ((configuration & 31) !== 31 || dallasCrc(scratchpad, 8) !== scratchpad[8]) return ProbeFault.checksum;
  const raw = temperatureRaw(scratchpad);
  if (raw === POWER_ON_RAW) return ProbeFault.powerOnValue;
  return raw < CELSIUS_MIN * 16 || raw > CELSIUS_MAX * 16 ? ProbeFault.impossible : ProbeFault.none;
}

/**
 * Takes what is due of this step: nothing, the start of a conversion, or one probe. The bath is read once in a second (with clips, a
 * step longer for each); before the first reading the probe is absent, and a clip cannot be told.
 */
export type ReadProbes = (inputs: Inputs, nowMs: number) => void;

/** What the probes need of the settings. */
export type ProbeSettings = Pick<Settings, 'probeOffsetCelsius' | 'probeRom' | 'clipRoms'>;

export function temperatureProbes(bus: OneWireBus, settings: ProbeSettings): ReadProbes {
  const roms = [settings.probeRom].concat(settings.clipRoms);
  let startedMs = 0;
  /** Which probe is read next; behind the last, a conversion is started. */
  let next = roms.length;
  let isConverting = false;
  let hottest = CLIPS_NOT_FITTED;

  const startConversion = function (inputs: Inputs, nowMs: number): void {
    isConverting = bus.reset();
    if (isConverting) {
      bus.skip();
      bus.write(CONVERT);
    } else {
      inputs.probeFault = ProbeFault.absent;
    }
    startedMs = nowMs;
    next = 0;
    hottest = CLIPS_NOT_FITTED;
  };

  const readProbe = function (inputs: Inputs): void {
    const rom = roms[next]!;
    let scratchpad: ArrayLike<number> = [];
    let fault: ProbeFault = ProbeFault.absent;
    // `select` resets the bus by itself.
    if (isConverting && (rom || bus.reset())) {
      if (rom) bus.select(rom);
      else bus.skip();
      bus.write(READ_SCRATCHPAD);
      scratchpad = bus.read(SCRATCHPAD_BYTES);
      fault = scratchpadFault(scratchpad);
    }
    const celsius = fault ? NaN : temperatureRaw(scratchpad) / 16;
    if (!next) {
      inputs.probeFault = fault;
      if (!fault) inputs.bathCelsius = celsius + settings.probeOffsetCelsius;
    } else if (fault || celsius > hottest) {
      // Once one cannot be read this stays NaN to the end of the round: nothing is greater than that.
      hottest = celsius;
    }
    next++;
    if (next === roms.length && next > 1) inputs.clipCelsius = hottest;
  };

  return function (inputs: Inputs, nowMs: number): void {
    if (next === roms.length) startConversion(inputs, nowMs);
    else if (nowMs - startedMs >= CONVERSION_MS) /* @__NOINLINE__ */ readProbe(inputs);
  };
}
