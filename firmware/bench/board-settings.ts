/*
 * The settings file of a board, `bathkeeper.json` in its flash, and the one that a demonstration uses.
 * The virtual bath puts it into the virtual flash; it takes the shunt's and the supply's nominal values from it too.
 */

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
  shunt: { microOhms: number; currentGain: number; currentOffsetAmps: number };
  supply: { codeAtZero: number; codesPerAmp: number };
  probe: { offsetCelsius: number };
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
    shunt: { microOhms: 1500, currentGain: 1, currentOffsetAmps: 0 },
    supply: { codeAtZero: 0, codesPerAmp: 100 },
    probe: { offsetCelsius: 0 },
  };
}
