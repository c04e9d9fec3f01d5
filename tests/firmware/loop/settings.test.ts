/* The settings file: its check sum, every field at its bounds, and what a controller without calibration or with a damaged store makes of it. */
import { describe, expect, it } from 'vitest';
import { SupplyKind } from '@bathkeeper/shared-core/control';
import { alertRegister } from '../../../firmware/src/drivers/ina226.js';
import { checkedSettings, sealedSettings, unsealedSettings } from '../../../firmware/src/settings.js';
import { sealed, validSettings } from './stand-in-board.js';

type File = Record<string, Record<string, unknown>>;

function checked(file: unknown, kind: SupplyKind = SupplyKind.analogue) {
  const faults: string[] = [];
  const settings = checkedSettings(sealed(file), kind, (fault) => faults.push(fault));
  return { settings, faults };
}
function changed(path: string, value: unknown, kind?: SupplyKind) {
  const file = validSettings() as File;
  const [section, field] = path.split(' ') as [string, string];
  file[section]![field] = value;
  return checked(file, kind);
}

describe('the sealed text', () => {
  it('begins with the CRC-32 of the JSON text in eight hexadecimal digits', () => {
    // CRC-32 of "123456789" is CBF43926 (ITU-T V.42; the check value of every catalogue).
    expect(sealedSettings('123456789')).toBe('cbf43926123456789');
    expect(sealedSettings('{}')).toBe(sealed({}));
  });

  it('is read back as it was written, and not at all when one character of it changed', () => {
    const text = sealed(validSettings());
    expect(unsealedSettings(text)).toEqual(validSettings());
    for (let at = 0; at < text.length; at++) {
      const other = text[at] === '1' ? '2' : '1';
      expect(unsealedSettings(text.slice(0, at) + other + text.slice(at + 1))).toBeUndefined();
    }
  });

  it.each([undefined, '', '00000000', '{"v":1}', sealedSettings('not JSON')])('%j is nothing', (text) => {
    expect(unsealedSettings(text)).toBeUndefined();
  });

  it('a damaged store says so, and nothing of it is used', () => {
    const faults: string[] = [];
    const text = sealed(validSettings()).replace('"currentAmpsMax":35', '"currentAmpsMax":95');
    const settings = checkedSettings(text, SupplyKind.analogue, (fault) => faults.push(fault));
    expect(settings.areValid).toBe(false);
    expect(faults[0]).toMatch(/damaged/);
    expect(settings.limits.currentAmpsMax).toBe(0.1);
  });
});

describe('the fields', () => {
  it('are valid as written at the bath', () => {
    const { settings, faults } = checked(validSettings());
    expect(faults).toEqual([]);
    expect(settings).toMatchObject({
      areValid: true,
      limits: { currentAmpsMax: 35, terminalVoltsMax: 8 },
      clipRoms: [],
      probeRom: '',
      hasClock: false,
      fitted: { leak: false, level: false },
    });
  });

  it.each(['shunt', 'probe', 'supply'])('%s that was never measured energises nothing and says why', (section) => {
    for (const value of [0, undefined, '1', true]) {
      const { settings, faults } = changed(`${section} measured`, value);
      expect(settings.areValid).toBe(false);
      expect(faults.join()).toContain(`${section} measured`);
    }
  });

  it('a supply by hand or by SCPI needs no two points; SCPI needs its baud rate', () => {
    expect(changed('supply measured', 0, SupplyKind.byHand).settings.areValid).toBe(true);
    expect(changed('supply measured', 0, SupplyKind.scpi).settings).toMatchObject({ areValid: true, supplyBaud: 9600 });
    expect(changed('supply baud', 0, SupplyKind.scpi).settings.areValid).toBe(false);
    expect(changed('supply baud', 0).settings.areValid).toBe(true);
  });

  it.each([
    ['rig currentAmpsMax', 0.1, 300],
    ['rig terminalVoltsMax', 0.5, 36],
    ['rig bathCelsiusMax', 20, 80],
    ['rig runSecondsMax', 60, 604800],
    ['shunt microOhms', 100, 100000],
    ['shunt currentGain', 0.8, 1.25],
    ['shunt currentOffsetAmps', -1, 1],
    ['supply codeAtZero', -1000, 1000],
    ['supply codesPerAmp', 1, 4095],
    ['probe offsetCelsius', -5, 5],
    ['link port', 1, 65535],
    ['link signOfLifePort', 1, 65535],
    ['fitted leak', 0, 1],
    ['fitted clock', 0, 1],
  ])('%s from %d to %d, and nothing else', (path, least, most) => {
    expect(changed(path, least).settings.areValid).toBe(true);
    expect(changed(path, most).settings.areValid).toBe(true);
    for (const value of [least - 0.001, most + 0.001, NaN, null, undefined, String(least), [least], {}]) {
      const { settings, faults } = changed(path, value);
      expect(settings.areValid).toBe(false);
      expect(faults.join()).toContain(path);
    }
  });

  it.each([
    // 81 mV over 2.5 mOhm are 32.4 A of the bare shunt.
    [1, 0, 32.4],
    [0.9, 0, 29.16],
    [1, -0.5, 31.9],
    [0.9, 0.2, 29.36],
    // More than the rig bears is never made of it.
    [1.2, 1, 35],
  ])(
    'with a gain of %d and an offset of %d A the alert can act up to %d A, and no limit is above',
    (gain, offset, amps) => {
      const shunt = { microOhms: 2500, currentGain: gain, currentOffsetAmps: offset, measured: 1 };
      const { settings } = checked({ ...validSettings(), shunt });
      expect(settings.areValid).toBe(true);
      expect(settings.limits.currentAmpsMax).toBeCloseTo(amps, 9);
      expect(alertRegister(settings.limits.currentAmpsMax, settings.shunt)).toBeLessThanOrEqual(32_400);
    },
  );

  it('each contact that is fitted is fitted alone', () => {
    for (const name of ['leak', 'smoke', 'agitation', 'filter', 'level']) {
      const { fitted } = changed(`fitted ${name}`, 1).settings;
      expect(Object.entries(fitted).filter(([, isFitted]) => isFitted)).toEqual([[name, true]]);
    }
  });

  it('clips need the ROM codes of all probes on the wire, the bath’s own included', () => {
    const rom = '28ff641e8316034d';
    const file = validSettings() as File;
    file['fitted']!['clips'] = [rom];
    expect(checked(file).settings.areValid).toBe(false);
    file['probe']!['rom'] = '28ff641e83160311';
    expect(checked(file).settings).toMatchObject({ areValid: true, clipRoms: [rom], probeRom: '28ff641e83160311' });
    for (const clips of [[rom, ''], ['28ff'], [rom, rom, rom, rom, rom]]) {
      file['fitted']!['clips'] = clips;
      expect(checked(file).settings.areValid).toBe(false);
    }
  });

  it('a secret has 64 digits or is not there', () => {
    expect(checked({ ...validSettings(), secret: 'ab'.repeat(32) }).settings).toMatchObject({
      areValid: true,
      secret: 'ab'.repeat(32),
    });
    expect(checked({ ...validSettings(), secret: '' }).settings.areValid).toBe(true);
    expect(checked({ ...validSettings(), secret: 'ab'.repeat(31) }).settings.areValid).toBe(false);
  });
});
