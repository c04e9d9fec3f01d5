/*
 * The rig's settings: what was measured and decided at the bath and written there over USB, with a check sum. Checked once at boot,
 * every field; with any of them missing, out of range or never measured nothing is ever energised, and the console lists all
 * faults at once. Numbers that cannot be read take the most careful value, so that a limit is never too wide.
 */
import { type RigLimits, SupplyKind } from '@bathkeeper/shared-core/control';
import type { Shunt } from './drivers/ina226.js';
import type { SupplyInput } from './drivers/mcp4725.js';
import type { FittedContacts } from './ports.js';

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
  /** Of an analogue supply; zeros of any other. */
  supply: SupplyInput;
  /** Of a supply with a serial line; 0 of any other. */
  supplyBaud: number;
  probeOffsetCelsius: number;
  /** ROM code of the bath's probe; empty when it is alone on its wire. */
  probeRom: string;
  fitted: FittedContacts;
  /** ROM codes of the probes at clips and contactor. */
  clipRoms: string[];
  /** A clock chip is fitted. */
  hasClock: boolean;
}

/** Name of the settings file in flash: eight hexadecimal digits, the CRC-32 of the JSON text, and behind them that text. */
export const SETTINGS_FILE = 'bathkeeper.json';
const CHECK_DIGITS = 8;

/** Where the INA226's shunt register ends (SBOS547, 81.92 mV), less some: an alert limit beyond it would never act. */
const SHUNT_MICROVOLTS_MAX = 81000;
const TEXT_MAX = 64;
const ROM_DIGITS = 16;
const SECRET_DIGITS = 64;
/** More would make a round of the probes longer than two seconds. */
const CLIPS_MAX = 4;

/** The file's text for a JSON text. Example: of `{}` it is `bf...{}` with eight digits. Used where settings are written. */
export function sealedSettings(json: string): string {
  let check = E.CRC32(json);
  let digits = '';
  for (let i = 0; i < CHECK_DIGITS; i++) {
    digits = '0123456789abcdef'.charAt(check & 15) + digits;
    check >>>= 4;
  }
  return digits + json;
}

/** The parsed JSON of a sealed text; undefined when it is damaged or not there. */
export function unsealedSettings(text: string | undefined): unknown {
  try {
    const json = text!.substr(CHECK_DIGITS);
    // (The digits end at the brace.)
    return parseInt(text!, 16) ^ E.CRC32(json) ? undefined : JSON.parse(json);
  } catch (_) {
    // No file; or the check sum is right and the text is not JSON: whoever wrote it meant something else.
    return undefined;
  }
}

/**
 * Checked settings of the file's text for this build's kind of supply; `report` is told each fault. Example: a missing file gives
 * `areValid` false. A current that the shunt monitor cannot see is no limit: the rig's is lowered to what it can.
 */
export function checkedSettings(
  text: string | undefined,
  supplyKind: SupplyKind,
  report: (fault: string) => void,
): Settings {
  let areValid = true;
  const whole = unsealedSettings(text) as Record<string, unknown> | undefined;
  const refuse = function (fault: string): void {
    areValid = false;
    report('Settings: ' + fault);
  };
  const found = function (path: string): unknown {
    const names = path.split(' ');
    const section = (whole || {})[names[0]!];
    return names.length > 1 ? ((section || {}) as Record<string, unknown>)[names[1]!] : section;
  };
  /** A number from `careful` to `most`, or, when `careful` is a text, a text of so many characters. Of `wifi` it may be empty. */
  const checked = function <T extends string | number>(path: string, careful: T, most: number): T {
    const value = found(path);
    const isText = careful === '';
    const size = isText && typeof value === 'string' ? value.length : value;
    const least = isText ? (path < 'w' ? 1 : 0) : careful;
    if (typeof size === 'number' && isText === (size !== value) && size >= (least as number) && size <= most) {
      return value as T;
    }
    refuse(path + ' is ' + value + ', must be ' + least + ' to ' + most);
    return careful;
  };
  const isFitted = function (field: string): boolean {
    return checked('fitted ' + field, 0, 1) > 0;
  };
  /** A code of so many characters, or none. */
  const code = function (path: string, value: unknown, length: number): string {
    if (!value) return '';
    const digits = value as string;
    if (digits.length !== length) refuse(path + ' is ' + digits + ', must be ' + length + ' digits 0-9 a-f');
    return '' + digits;
  };

  if (!whole) refuse(text ? 'damaged, check sum wrong' : 'none');
  checked('v', 1, 1);
  // Nothing is energised on nominal values: each calibration says that it was made.
  checked('shunt measured', 1, 1);
  checked('probe measured', 1, 1);
  if (supplyKind === SupplyKind.analogue) checked('supply measured', 1, 1);

  const clips = (found('fitted clips') || []) as string[];
  const clipRoms: string[] = [];
  for (let i = 0; i < clips.length && i < CLIPS_MAX; i++) clipRoms.push(code('fitted clips', clips[i], ROM_DIGITS));
  const probeRom = code('probe rom', found('probe rom'), ROM_DIGITS);
  if (clips.length && (clips.length > CLIPS_MAX || !probeRom || clipRoms.indexOf('') >= 0)) {
    refuse('probe rom, fitted clips: ROM codes of all on the wire, of at most ' + CLIPS_MAX + ' clips');
  }

  const microOhms = checked('shunt microOhms', 100, 100000);
  const currentGain = checked('shunt currentGain', 0.8, 1.25);
  const currentOffsetAmps = checked('shunt currentOffsetAmps', -1, 1);
  const settings: Settings = {
    areValid: true,
    controllerId: checked('controllerId', '', TEXT_MAX),
    isSimulated: checked('simulated', 0, 1) > 0,
    networkName: checked('wifi ssid', '', TEXT_MAX),
    networkPassword: checked('wifi password', '', TEXT_MAX),
    dashboardAddress: checked('link address', '', TEXT_MAX),
    dashboardPort: checked('link port', 1, 65535),
    signOfLifePort: checked('link signOfLifePort', 1, 65535),
    secret: code('secret', found('secret'), SECRET_DIGITS),
    limits: {
      currentAmpsMax: Math.min(
        checked('rig currentAmpsMax', 0.1, 300),
        (SHUNT_MICROVOLTS_MAX / microOhms) * currentGain + currentOffsetAmps,
      ),
      terminalVoltsMax: checked('rig terminalVoltsMax', 0.5, 36),
      bathCelsiusMax: checked('rig bathCelsiusMax', 20, 80),
      runSecondsMax: checked('rig runSecondsMax', 60, 604800),
    },
    shunt: {
      microOhms: microOhms,
      currentGain: currentGain,
      currentOffsetAmps: currentOffsetAmps,
    },
    supply:
      supplyKind === SupplyKind.analogue
        ? {
            codeAtZero: checked('supply codeAtZero', -1000, 1000),
            codesPerAmp: checked('supply codesPerAmp', 1, 4095),
          }
        : { codeAtZero: 0, codesPerAmp: 0 },
    supplyBaud: supplyKind === SupplyKind.scpi ? checked('supply baud', 300, 115200) : 0,
    probeOffsetCelsius: checked('probe offsetCelsius', -5, 5),
    probeRom: probeRom,
    fitted: {
      leak: isFitted('leak'),
      smoke: isFitted('smoke'),
      agitation: isFitted('agitation'),
      filter: isFitted('filter'),
      level: isFitted('level'),
    },
    clipRoms: clipRoms,
    hasClock: isFitted('clock'),
  };
  settings.areValid = areValid;
  return settings;
}
