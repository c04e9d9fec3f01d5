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
  linkPassword: string;
  limits: RigLimits;
  shunt: Shunt;
  supply: SupplyInput;
  probeOffsetCelsius: number;
}

/** Where the INA226's shunt register ends (SBOS547): an alert limit beyond it would never act. */
const CLIPPING_MICROVOLTS = 81000;

/** Checked settings of a parsed file; `report` is told each fault. Example: a missing file gives `areValid` false. */
export function checkedSettings(file: unknown, report: (fault: string) => void): Settings {
  let areValid = true;

  const found = function (section: string, field: string): unknown {
    const whole = (file || {}) as Record<string, unknown>;
    const part = section ? ((whole[section] || {}) as Record<string, unknown>) : whole;
    return part[field];
  };
  const refuse = function (section: string, field: string, expected: string): void {
    areValid = false;
    report(
      'bathkeeper.json: ' +
        section +
        ' ' +
        field +
        ': expected ' +
        expected +
        ', got ' +
        found(section, field) +
        '. Write it at the bath.',
    );
  };
  const numberOf = function (section: string, field: string, least: number, most: number): number {
    const value = found(section, field);
    if (typeof value === 'number' && value >= least && value <= most) return value;
    refuse(section, field, least + ' to ' + most);
    return least;
  };
  const textOf = function (section: string, field: string, lengthMin: number): string {
    const value = found(section, field);
    if (typeof value === 'string' && value.length >= lengthMin && value.length < 65) return value;
    refuse(section, field, 'a text');
    return '';
  };

  numberOf('', 'v', 1, 1);
  const settings: Settings = {
    areValid: false,
    controllerId: textOf('', 'controllerId', 1),
    isSimulated: numberOf('', 'simulated', 0, 1) === 1,
    networkName: textOf('wifi', 'ssid', 0),
    networkPassword: textOf('wifi', 'password', 0),
    dashboardAddress: textOf('link', 'address', 7),
    dashboardPort: numberOf('link', 'port', 1, 65535),
    signOfLifePort: numberOf('link', 'signOfLifePort', 1, 65535),
    linkPassword: textOf('link', 'password', 1),
    limits: {
      currentAmpsMax: numberOf('rig', 'currentAmpsMax', 0.1, 300),
      terminalVoltsMax: numberOf('rig', 'terminalVoltsMax', 0.5, 36),
      bathCelsiusMax: numberOf('rig', 'bathCelsiusMax', 20, 80),
      runSecondsMax: numberOf('rig', 'runSecondsMax', 60, 604800),
    },
    shunt: {
      microOhms: numberOf('shunt', 'microOhms', 100, 100000),
      currentGain: numberOf('shunt', 'currentGain', 0.8, 1.25),
      currentOffsetAmps: numberOf('shunt', 'currentOffsetAmps', -1, 1),
    },
    supply: {
      codeAtZero: numberOf('supply', 'codeAtZero', -1000, 1000),
      codesPerAmp: numberOf('supply', 'codesPerAmp', 1, 4095),
    },
    probeOffsetCelsius: numberOf('probe', 'offsetCelsius', -5, 5),
  };
  if (settings.limits.currentAmpsMax * settings.shunt.microOhms > CLIPPING_MICROVOLTS) {
    refuse(
      'rig',
      'currentAmpsMax',
      'at most ' + Math.floor(CLIPPING_MICROVOLTS / settings.shunt.microOhms) + ' with this shunt',
    );
  }
  settings.areValid = areValid;
  return settings;
}
