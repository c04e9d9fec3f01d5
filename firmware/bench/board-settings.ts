/*
 * The settings file of a board, `bathkeeper.json` in its flash, and the one that a demonstration uses.
 * The virtual bath puts it into the virtual flash; it takes the shunt's and the supply's nominal values from it too.
 */
import { crc32 } from 'node:zlib';

/** Keys as they stand in the file. */
export interface BoardSettings {
  v: 1;
  controllerId: string;
  /** 1: everything that this controller says is marked as simulated. */
  simulated: 0 | 1;
  wifi: { ssid: string; password: string };
  link: { address: string; port: number; signOfLifePort: number };
  /** 64 hexadecimal digits: what proves commands and signs of life, and makes the broker's password. */
  secret: string;
  rig: { currentAmpsMax: number; terminalVoltsMax: number; bathCelsiusMax: number; runSecondsMax: number };
  /** `measured`: 1 once a calibration was made; nothing is energised before. */
  shunt: { microOhms: number; currentGain: number; currentOffsetAmps: number; measured: 0 | 1 };
  /** The first three of an analogue supply, `baud` of one with a serial line. */
  supply: { codeAtZero: number; codesPerAmp: number; measured: 0 | 1; baud: number };
  /** ROM code, 16 hexadecimal digits; empty when the probe is alone on its wire. */
  probe: { offsetCelsius: number; measured: 0 | 1; rom: string };
  fitted: {
    leak: 0 | 1;
    smoke: 0 | 1;
    agitation: 0 | 1;
    filter: 0 | 1;
    level: 0 | 1;
    clock: 0 | 1;
    /** ROM codes of further probes on the same wire. */
    clips: string[];
  };
}

export const SETTINGS_FILE = 'bathkeeper.json';

/** Known to everybody, so it guards nothing: for baths that exist in a program only. */
export const SIMULATED_SECRET = '5e'.repeat(32);

/** A 50 A / 75 mV shunt (1500 micro-ohm), a supply of 40 A at full scale, a rig that may see 35 A. */
export function simulatedBoardSettings(
  link: Partial<BoardSettings['link']> = {},
  controllerId = 'north-bench',
): BoardSettings {
  return {
    v: 1,
    controllerId,
    simulated: 1,
    wifi: { ssid: '', password: '' },
    link: { address: '127.0.0.1', port: 1883, signOfLifePort: 41883, ...link },
    secret: SIMULATED_SECRET,
    rig: { currentAmpsMax: 35, terminalVoltsMax: 8, bathCelsiusMax: 40, runSecondsMax: 50400 },
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0, measured: 1 },
    supply: { codeAtZero: 0, codesPerAmp: 100, measured: 1, baud: 9600 },
    probe: { offsetCelsius: 0, measured: 1, rom: '' },
    fitted: { leak: 0, smoke: 0, agitation: 0, filter: 0, level: 0, clock: 0, clips: [] },
  };
}

/** The text of the file: the CRC-32 of the JSON text in eight hexadecimal digits, and that text. */
export function sealedBoardSettings(settings: BoardSettings): string {
  const json = JSON.stringify(settings);
  return crc32(json).toString(16).padStart(8, '0') + json;
}
