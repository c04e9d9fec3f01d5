/*
 * The rig's settings: what was measured and decided at the bath and written there over USB. Checked once at boot, every field;
 * with any of them missing or out of range nothing is ever energised, and the console lists all faults at once.
 * Numbers that cannot be read take the lowest value allowed, so that a limit is never too wide.
 */
import type { RigLimits } from '@bathkeeper/shared-core/control';
import type { Shunt } from './drivers/ina226.js';
import type { SupplyInput } from './drivers/mcp4725.js';

export interface Settings {
  areValid: boolean;
  controllerId: string;
  isSimulated: boolean;
  networkName: string;
  networkPassword: string;
  dashboardAddress: string;
  dashboardPort: number;
  signOfLifePort: number;
  /** 64 hexadecimal digits, or empty: never paired, so no message from afar is believed. */
  secret: string;
  limits: { currentAmpsMax: number } & RigLimits;
  shunt: Shunt;
  supply: SupplyInput;
  probeOffsetCelsius: number;
}

/** Where the INA226's shunt register ends (SBOS547, 81.92 mV), less some: an alert limit beyond it would never act. */
const SHUNT_MICROVOLTS_MAX = 81000;
const TEXT_MAX = 64;

/**
 * Checked settings of a parsed file; `report` is told each fault. Example: a missing file gives `areValid` false.
 * A current that the shunt monitor cannot see is no limit: the rig's is lowered to what it can.
 */
export function checkedSettings(file: unknown, report: (fault: string) => void): Settings {
  let areValid = true;
  /** A number from `careful` to `most`, or, when `careful` is a text, a text of at most so many characters. */
  const checked = function <T extends string | number>(section: string, field: string, careful: T, most: number): T {
    const isText = careful === '';
    const whole = (file || {}) as Record<string, unknown>;
    const value = (section ? ((whole[section] || {}) as Record<string, unknown>) : whole)[field];
    const size = isText && typeof value === 'string' ? value.length : value;
    const least = isText ? (section === 'wifi' ? 0 : 1) : careful;
    if (typeof size === 'number' && isText === (size !== value) && size >= (least as number) && size <= most) {
      return value as T;
    }
    areValid = false;
    report('Settings: ' + section + ' ' + field + ' is ' + value + ', must be ' + least + ' to ' + most);
    return careful;
  };

  checked('', 'v', 1, 1);
  const settings: Settings = {
    areValid: true,
    controllerId: checked('', 'controllerId', '', TEXT_MAX),
    isSimulated: checked('', 'simulated', 0, 1) > 0,
    networkName: checked('wifi', 'ssid', '', TEXT_MAX),
    networkPassword: checked('wifi', 'password', '', TEXT_MAX),
    dashboardAddress: checked('link', 'address', '', TEXT_MAX),
    dashboardPort: checked('link', 'port', 1, 65535),
    signOfLifePort: checked('link', 'signOfLifePort', 1, 65535),
    secret:
      ((file || {}) as Record<string, unknown>)['secret'] === undefined ? '' : checked('', 'secret', '', TEXT_MAX),
    limits: {
      currentAmpsMax: checked('rig', 'currentAmpsMax', 0.1, 300),
      terminalVoltsMax: checked('rig', 'terminalVoltsMax', 0.5, 36),
      bathCelsiusMax: checked('rig', 'bathCelsiusMax', 20, 80),
      runSecondsMax: checked('rig', 'runSecondsMax', 60, 604800),
    },
    shunt: {
      microOhms: checked('shunt', 'microOhms', 100, 100000),
      currentGain: checked('shunt', 'currentGain', 0.8, 1.25),
      currentOffsetAmps: checked('shunt', 'currentOffsetAmps', -1, 1),
    },
    supply: {
      codeAtZero: checked('supply', 'codeAtZero', -1000, 1000),
      codesPerAmp: checked('supply', 'codesPerAmp', 1, 4095),
    },
    probeOffsetCelsius: checked('probe', 'offsetCelsius', -5, 5),
  };
  settings.limits.currentAmpsMax = Math.min(
    settings.limits.currentAmpsMax,
    SHUNT_MICROVOLTS_MAX / settings.shunt.microOhms,
  );
  settings.areValid = areValid;
  return settings;
}
