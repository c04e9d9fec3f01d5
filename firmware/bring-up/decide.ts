/*
 * Commands that change the settings and keep them: what the rig is, what it may see, who it belongs to. Called from the console. Nothing
 * is in flash before `keep()`; what is not understood changes nothing, and says what was expected.
 */
import { ProbeFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { BringUpStep, pairingText } from '@bathkeeper/shared-core/messages';
import { checkedSettings, sealedSettings, SETTINGS_FILE, unsealedSettings } from '../src/settings.js';
import { roundedTo } from './calibration.js';
import { isRom } from './look.js';
import { isWithin, type Section, type Session, shown, told } from './session.js';

/** Bounds of the settings, as settings.ts checks them. */
const LIMITS: readonly (readonly [string, string, number, number, number])[] = [
  ['amps', 'currentAmpsMax', 0.1, 300, 1],
  ['volts', 'terminalVoltsMax', 0.5, 36, 1],
  ['celsius', 'bathCelsiusMax', 20, 80, 1],
  ['hours', 'runSecondsMax', 0.02, 168, 3600],
];
const CONTACTS = ['leak', 'smoke', 'agitation', 'filter', 'level', 'clock'];
const TEXT_MAX = 64;
const CLIPS_MAX = 4;
const SECRET_BYTES = 32;

/** Sections that a new board needs before anything is decided: the careful values. */
export function fillGaps(session: Session): void {
  const put = function (section: Section, name: string, value: unknown): void {
    if (section[name] === undefined) section[name] = value;
  };
  put(session.settings, 'v', 1);
  put(session.settings, 'controllerId', '');
  put(session.settings, 'simulated', 0);
  put(session.settings, 'secret', '');
  const wifi = session.section('wifi');
  put(wifi, 'ssid', '');
  put(wifi, 'password', '');
  const link = session.section('link');
  put(link, 'address', '');
  put(link, 'port', 1883);
  put(link, 'signOfLifePort', 41883);
  session.section('rig');
  const shunt = session.section('shunt');
  put(shunt, 'currentGain', 1);
  put(shunt, 'currentOffsetAmps', 0);
  put(shunt, 'measured', 0);
  const supply = session.section('supply');
  put(supply, 'codeAtZero', 0);
  put(supply, 'codesPerAmp', 100);
  put(supply, 'measured', 0);
  put(supply, 'baud', 9600);
  const probe = session.section('probe');
  put(probe, 'offsetCelsius', 0);
  put(probe, 'rom', '');
  put(probe, 'measured', 0);
  const fitted = session.section('fitted');
  for (let i = 0; i < CONTACTS.length; i++) put(fitted, CONTACTS[i]!, 0);
  put(fitted, 'clips', []);
}

export function setLimits(session: Session, asked: unknown): void {
  const given = (asked || {}) as Section;
  const rig = session.section('rig');
  let isGood = true;
  for (let i = 0; i < LIMITS.length; i++) {
    const limit = LIMITS[i]!;
    if (!isWithin(given[limit[0]], limit[2], limit[3])) {
      isGood = false;
      print(
        'limits: ' + limit[0] + ' is ' + told(given[limit[0]]) + ', expected ' + limit[2] + ' to ' + limit[3] + '.',
      );
    }
  }
  if (!isGood) {
    print('Nothing changed. All four together, for example limits({ amps: 35, volts: 8, celsius: 40, hours: 14 }).');
    return;
  }
  for (let i = 0; i < LIMITS.length; i++)
    rig[LIMITS[i]![1]] = Math.round((given[LIMITS[i]![0]] as number) * LIMITS[i]![4] * 100) / 100;
  session.change();
  session.done(BringUpStep.limitsSet, 0);
  print('Limits set. No recipe and no message can widen them. Next: shunt(amps, millivolts).');
}

export function nameShunt(session: Session, amps: unknown, millivolts: unknown): void {
  if (!isWithin(amps, 1, 1000) || !isWithin(millivolts, 10, 200)) {
    print(
      'shunt(amps, millivolts): as it says on the shunt, for example shunt(50, 75). Got ' +
        told(amps) +
        ', ' +
        told(millivolts) +
        '.',
    );
    return;
  }
  const shunt = session.section('shunt');
  const microOhms = Math.round((millivolts * 1000) / amps);
  if (!isWithin(microOhms, 100, 100000)) {
    print('A shunt of ' + microOhms + ' microohm is beyond what the monitor can use: expected 100 to 100000.');
    return;
  }
  shunt['microOhms'] = microOhms;
  // Another shunt, another calibration.
  shunt['currentGain'] = 1;
  shunt['currentOffsetAmps'] = 0;
  shunt['measured'] = 0;
  session.change();
  print(
    'Shunt of ' +
      microOhms +
      ' microohm: the monitor sees up to ' +
      shown(81000 / microOhms) +
      ' A. Its calibration is to be made anew: current(). Next: latch().',
  );
}

export function setFitted(session: Session, asked: unknown): void {
  const given = (asked || {}) as Section;
  const fitted = session.section('fitted');
  let says = '';
  for (let i = 0; i < CONTACTS.length; i++) {
    const name = CONTACTS[i]!;
    if (given[name] !== undefined) fitted[name] = given[name] ? 1 : 0;
    says += (says ? ', ' : '') + name + (fitted[name] === 1 ? ' yes' : ' no');
  }
  session.change();
  print('Fitted: ' + says + '. Change it for example by fitted({ leak: 1, smoke: 1 }). Next: sensors().');
}

export function chooseProbe(session: Session, rom: unknown): void {
  if (rom !== '' && !isRom(rom)) {
    print("probe('...'): expected a number of 16 digits as probes() shows it, got " + rom + '.');
    return;
  }
  const probe = session.section('probe');
  probe['rom'] = rom;
  probe['measured'] = 0;
  session.change();
  print(
    rom
      ? "The bath's thermometer is " + told(rom) + '. Next: temperature(celsius).'
      : "The one thermometer on the wire is the bath's.",
  );
}

export function chooseClips(session: Session, roms: unknown): void {
  const list = roms as string[] | undefined;
  let isGood = !!list && list.length <= CLIPS_MAX;
  for (let i = 0; isGood && i < list!.length; i++) isGood = isRom(list![i]);
  if (!isGood) {
    print(
      "clips(['...']): expected a list of at most " +
        CLIPS_MAX +
        ' numbers as probes() shows them; clips([]) for none.',
    );
    return;
  }
  session.section('fitted')['clips'] = list;
  session.change();
  print(
    list!.length +
      ' at clips and contactor.' +
      (list!.length && !session.section('probe')['rom'] ? " Now the bath's own must be named too: probe('...')." : ''),
  );
}

/** One point against a trusted thermometer: the offset. */
export function setTemperature(session: Session, celsius: unknown): void {
  const inputs = session.inputs;
  if (!isWithin(celsius, -10, 100)) {
    print('temperature(celsius): expected what the thermometer shows, got ' + told(celsius) + '.');
    return;
  }
  if (inputs.probeFault !== ProbeFault.none) {
    print('The bath thermometer does not answer: sensors() says more.');
    return;
  }
  const offset = celsius - inputs.bathCelsius;
  if (!isWithin(offset, -5, 5)) {
    print(
      'The probe shows ' +
        shown(inputs.bathCelsius) +
        ' C, ' +
        shown(Math.abs(offset)) +
        ' C away: more than 5 is no offset but a wrong probe or place. Nothing changed.',
    );
    return;
  }
  const probe = session.section('probe');
  probe['offsetCelsius'] = roundedTo(offset, 100);
  probe['measured'] = 1;
  session.change();
  session.done(BringUpStep.temperatureCalibrated, offset * 1000);
  print('Offset ' + probe['offsetCelsius'] + ' C. Next: keep().');
}

export function nameController(session: Session, name: unknown): void {
  let isGood = typeof name === 'string' && name.length > 0 && name.length <= 32;
  for (let i = 0; isGood && i < (name as string).length; i++) {
    isGood = 'abcdefghijklmnopqrstuvwxyz0123456789-'.indexOf((name as string).charAt(i)) >= 0;
  }
  if (!isGood) {
    print(
      "controller('name'): expected small letters, digits and hyphens, for example controller('north-bench'); got " +
        name +
        '.',
    );
    return;
  }
  session.settings['controllerId'] = name;
  session.change();
  print('This controller is ' + name + '. The dashboard must know it by the same name. Next: network(...).');
}

export function setNetwork(session: Session, ssid: unknown, password: unknown, address: unknown): void {
  const isText = function (text: unknown, least: number): boolean {
    return typeof text === 'string' && text.length >= least && text.length <= TEXT_MAX;
  };
  const parts = typeof address === 'string' ? address.split('.') : [];
  let isAddress = parts.length === 4;
  for (let i = 0; i < parts.length; i++) {
    if (parts[i] === '' || !isWithin(Number(parts[i]), 0, 255)) isAddress = false;
  }
  if (!isText(ssid, 1) || !isText(password, 0) || !isAddress) {
    print(
      "network('name', 'password', 'address'): expected the wireless network and the dashboard's address in numbers, for example network('workshop', '...', '192.168.1.20'). A name in place of the address would hold the controller up.",
    );
    return;
  }
  const wifi = session.section('wifi');
  wifi['ssid'] = ssid;
  wifi['password'] = password;
  session.section('link')['address'] = address;
  session.change();
  print('Network ' + ssid + ', dashboard at ' + address + '. Next: pair().');
}

export function setSerial(session: Session, baud: unknown): void {
  if (session.supplyKind !== SupplyKind.scpi || !isWithin(baud, 300, 115200)) {
    print('serial(baud): for a supply with a serial line, 300 to 115200; got ' + told(baud) + '.');
    return;
  }
  session.section('supply')['baud'] = baud;
  session.change();
  print('Serial line at ' + baud + ' baud. Next: keep().');
}

/** A new secret, shown this once. */
export function pair(session: Session): void {
  const board = session.board;
  // The chip's own generator, and stirred into it what no second board has: the moment of typing, the noise of the readings.
  let pool = '';
  for (let i = 0; i < SECRET_BYTES; i++) pool += board.randomBits() + ',';
  pool += getTime() + ',' + session.inputs.currentAmps + ',' + session.inputs.terminalVolts;
  const bytes = new Uint8Array(require('crypto').SHA256(pool));
  let secret = '';
  for (let i = 0; i < SECRET_BYTES; i++) secret += (256 + bytes[i]!).toString(16).substr(1);
  session.settings['secret'] = secret;
  session.change();
  session.done(BringUpStep.paired, 0);
  print('The secret of this controller, shown only now. Type it into the settings page of the dashboard:');
  print(pairingText(secret));
  print('Whoever has it can stop a run, never start one. The one before is void. Next: keep().');
}

/** Says each thing that is missing. */
function isWhole(session: Session): boolean {
  return checkedSettings(
    sealedSettings(JSON.stringify(session.settings)),
    session.supplyKind,
    function (fault: string): void {
      print('!  ' + fault);
    },
  ).areValid;
}

/** Everything that stands, and all that is missing. Secrets are not shown. */
export function show(session: Session): void {
  const names = Object.keys(session.settings);
  for (let i = 0; i < names.length; i++) {
    const name = names[i]!;
    const value = session.settings[name];
    if (name === 'secret') print('   secret: ' + (value ? 'drawn' : 'none: pair()'));
    else if (name === 'wifi') print('   wifi: ' + JSON.stringify((value as Section)['ssid']) + ', password not shown');
    else print('   ' + name + ': ' + JSON.stringify(value));
  }
  if (isWhole(session)) print('Complete.' + (session.isChanged ? ' Not in flash yet: keep().' : ''));
}

/** Into flash, with a check sum, and read back. Incomplete ones too: the controller runs nothing on them. */
export function keep(session: Session): void {
  const text = sealedSettings(JSON.stringify(session.settings));
  let isWritten = false;
  try {
    isWritten = require('Storage').write(SETTINGS_FILE, text) && !!unsealedSettings(session.board.settingsText());
  } catch (_) {
    // Told below.
  }
  if (!isWritten || session.board.settingsText() !== text) {
    print(
      'The flash did not take them: what was there before may be gone. Try keep() again; if it stays, the flash is full or worn.',
    );
    return;
  }
  session.isChanged = false;
  if (!isWhole(session)) {
    print('Kept, but not complete: nothing will be energised before what is marked with ! is done.');
    return;
  }
  session.done(BringUpStep.settingsKept, 0);
  print('Kept and complete. leave() goes back to the controller.');
}
