/*
 * The commands of bring-up on a virtual board: what they say, what they write, and that no current flows but while start is held down.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { BringUpStep, readPairingText } from '@bathkeeper/shared-core/messages';
import { bringUpText, BringUpConsole, SETTINGS_FILE } from './bring-up-console.js';

let text: string;
let byHandText: string;
beforeAll(async () => {
  text = await bringUpText();
  byHandText = await bringUpText('by-hand').catch(() => '');
}, 240_000);

const LIMITS = { amps: 35, volts: 8, celsius: 40, hours: 14 };

describe('looking', () => {
  it('says of every part whether it is there, and ticks only when all are', () => {
    const console = new BringUpConsole(text);
    const said = console.wait(2) + console.type('sensors');
    expect(said).toMatch(/shunt monitor: good, -?0(\.0\d)? A/);
    expect(said).toMatch(/bath thermometer: good, 2\d(\.\d+)? C/);
    expect(said).toContain('All 5 are there');
    expect(console.doneSteps).toEqual([BringUpStep.sensorsSeen]);
  });

  it('names what is missing and what to look at, and does not tick', () => {
    const console = new BringUpConsole(text);
    console.bath.parts.monitor.isAnswering = false;
    console.bath.parts.converter.isAnswering = false;
    console.bath.parts.probe.trouble = 'absent';
    console.bath.press('emergency-stop');
    console.wait(3);
    const said = console.type('sensors');
    expect(said).toContain('!  shunt monitor: MISSING');
    expect(said).toContain('!  bath thermometer: MISSING');
    expect(said).toContain('!  set-point converter: MISSING');
    expect(said).toContain('!  emergency stop: pressed');
    expect(said).toContain('1 good, 4 not');
    expect(console.doneSteps).toEqual([]);
  });

  it('finds the thermometers on the wire with their readings', () => {
    const console = new BringUpConsole(text);
    const said = console.type('probes') + console.wait(2);
    expect(said).toMatch(/'28[0-9a-f]{14}': 2\d(\.\d+)? C/);
    expect(said).toContain('1 found');
    console.bath.parts.probe.trouble = 'absent';
    expect(console.type('probes')).toContain('No thermometer on the wire');
  });
});

describe('moving', () => {
  it('announces the motor for five seconds, turns it, counts pulses and stops it', () => {
    const console = new BringUpConsole(text);
    console.type('motor', 30);
    console.bath.advance(2);
    expect(console.bath.truth).toMatchObject({ isBuzzerOn: true, isMotorOn: false });
    console.bath.advance(4);
    expect(console.bath.truth).toMatchObject({ isBuzzerOn: false, isMotorOn: true });
    expect(console.wait(32)).toMatch(/\d pulses, \d+(\.\d)? a minute/);
    expect(console.bath.truth.isMotorOn).toBe(false);
    expect(console.doneSteps).toEqual([BringUpStep.motorTurned]);
  });

  it('stops the motor at once when stop is pressed, and refuses what is no time', () => {
    const console = new BringUpConsole(text);
    expect(console.type('motor', 'long')).toContain('expected 1 to 120, got "long"');
    console.type('motor', 60);
    console.bath.advance(8);
    console.bath.press('stop');
    console.bath.advance(0.6);
    expect(console.bath.truth.isMotorOn).toBe(false);
    expect(console.said()).toContain('stop was pressed');
  });

  it('sees the alert latch open by itself, and ticks; a latch that stays closed is told', () => {
    const console = new BringUpConsole(text);
    expect(console.type('latch')).toContain('open, as after each power-up');
    expect(console.proveLatch()).toContain('It opened: good');
    expect(console.doneSteps).toEqual([BringUpStep.latchTested]);
    console.bath.parts.chain.isLatchStuck = true;
    expect(console.type('latch') + console.wait(7)).toContain('did NOT open');
    expect(console.doneSteps).toEqual([BringUpStep.latchTested]);
  });

  it('clicks the second means with the contactor open and leaves it off', () => {
    const console = new BringUpConsole(text);
    console.type('secondMeans');
    expect(console.bath.parts.pins.read('D2')).toBe(true);
    expect(console.wait(4)).toContain('Off again');
    expect(console.bath.parts.pins.read('D2')).toBe(false);
    expect(console.doneSteps).toEqual([BringUpStep.secondMeansClicked]);
  });
});

describe('the contactor in bring-up', () => {
  it('closes only while start is held down, and opens within a second of letting go', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    expect(console.type('contactor')).toContain('hold start');
    console.bath.advance(5);
    expect(console.bath.truth.isContactorClosed).toBe(false);
    console.holdStart(true);
    console.bath.advance(1);
    expect(console.bath.truth.isContactorClosed).toBe(true);
    console.holdStart(false);
    console.bath.advance(0.5);
    expect(console.bath.truth.isContactorClosed).toBe(false);
    expect(console.wait(2)).toContain('opened when you let go: good');
    expect(console.doneSteps).toEqual([BringUpStep.contactorClicked]);
  });

  it('does not close for a press that no command asked for', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    console.holdStart(true);
    console.bath.advance(5);
    expect(console.bath.contactorLog).toEqual([]);
  });

  it('refuses the click while the terminals carry a voltage', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    console.bath.parts.tank.changeSupply((supply) => {
      supply.isEnabled = true;
      supply.setPointAmps = 2;
    }, console.bath.nightSeconds);
    console.wait(3);
    expect(console.type('contactor')).toMatch(/terminals carry \d.*V/);
    console.holdStart(true);
    console.bath.advance(3);
    expect(console.bath.contactorLog).toEqual([]);
  });

  it.each([
    ['the alert latch is open', (console: BringUpConsole) => console, 'alert latch is open'],
    [
      'the emergency stop is pressed',
      (console: BringUpConsole) => {
        console.closeLatch();
        console.bath.press('emergency-stop');
        console.bath.advance(1);
      },
      'emergency stop is pressed',
    ],
    [
      'the shunt monitor is silent',
      (console: BringUpConsole) => {
        console.closeLatch();
        console.bath.parts.monitor.isAnswering = false;
        console.bath.advance(1);
      },
      'does not answer',
    ],
  ] as const)('refuses while %s', (_what, prepare, says) => {
    const console = new BringUpConsole(text);
    prepare(console);
    expect(console.type('contactor')).toContain(says);
    console.holdStart(true);
    console.bath.advance(3);
    expect(console.bath.contactorLog).toEqual([]);
  });

  it('opens by itself after a minute, however long start is held', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    console.type('contactor');
    console.holdStart(true);
    console.bath.advance(63);
    expect(console.bath.truth.isContactorClosed).toBe(false);
    expect(console.wait(1)).toContain('a minute is over');
  });

  it('is opened by the one-shot when the interpreter takes the beat away', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    console.type('contactor');
    console.holdStart(true);
    console.bath.advance(2);
    console.bath.takeAwayCallbacks((name) => name === 'interval 200 ms');
    console.bath.advance(21);
    expect(console.bath.truth.isContactorClosed).toBe(false);
  });

  it('says loudly when it did not open', () => {
    const console = new BringUpConsole(text);
    console.closeLatch();
    console.type('contactor');
    console.holdStart(true);
    console.bath.advance(1.5);
    console.bath.parts.chain.setWelded(true, console.bath.nightSeconds);
    console.holdStart(false);
    console.bath.advance(3);
    expect(console.said()).toContain('THE CONTACTOR DID NOT OPEN');
    expect(console.bath.truth.isBuzzerOn).toBe(true);
    expect(console.doneSteps).toEqual([]);
  });
});

describe('a session', () => {
  it('goes back to the controller by itself after an hour in which nobody typed', () => {
    const console = new BringUpConsole(text);
    console.bath.advance(3500);
    expect(console.bath.bootLog).toHaveLength(1);
    console.type('show');
    console.bath.advance(3500);
    expect(console.bath.bootLog).toHaveLength(1);
    console.bath.advance(200);
    expect(console.bath.bootLog).toMatchObject([{}, { because: 'the program asked for it' }]);
  });
});

describe('calibrating current', () => {
  /** The real shunt is 3 % above its name: it shows 3 % too much. */
  const ready = (): BringUpConsole => {
    const console = new BringUpConsole(text, { tank: { shuntErrorFraction: 0.03, supplyWanderFraction: 0 } });
    console.type('limits', LIMITS);
    console.type('shunt', 50, 75);
    console.proveLatch();
    return console;
  };
  const point = (console: BringUpConsole, amps: number): string => {
    console.type('current');
    const said = console.holdAndLetGo(() => {
      console.setSupply(amps);
    });
    expect(said).toContain('Type what the meter showed');
    return console.type('current', console.meterAmps);
  };

  it('finds the true gain from a low and a high point against a meter', () => {
    const console = ready();
    expect(point(console, 2)).toContain('Point taken');
    expect(point(console, 10)).toContain('Current calibrated: gain 0.97');
    console.type('keep');
    const { shunt } = console.settings;
    // What is expected is the simulated error itself: no outside number.
    expect(shunt!['currentGain']).toBeCloseTo(1 / 1.03, 2);
    expect(Math.abs(shunt!['currentOffsetAmps'] as number)).toBeLessThan(0.03);
    expect(shunt!['measured']).toBe(1);
    expect(console.doneSteps).toContain(BringUpStep.currentCalibrated);
  });

  it('refuses points that are too near, and a meter that shows what cannot be', () => {
    const console = ready();
    point(console, 5);
    expect(point(console, 6)).toContain('too near');
    console.type('current');
    console.holdAndLetGo(() => {
      console.setSupply(20);
    });
    expect(console.type('current', 70)).toContain('cannot be: expected 0.8 to 1.25');
    console.type('keep');
    expect(console.settings['shunt']!['measured']).not.toBe(1);
  });

  it('takes no number for which there was no hold, and no hold before the latch was proven', () => {
    const console = new BringUpConsole(text);
    expect(console.type('current', 5)).toContain('no hold to which this belongs');
    expect(console.type('current')).toContain('First latch()');
    console.holdStart(true);
    console.bath.advance(3);
    expect(console.bath.contactorLog).toEqual([]);
  });

  it('takes no point from a hold that was too short', () => {
    const console = ready();
    console.type('current');
    const said = console.holdAndLetGo(() => {
      console.setSupply(3);
    }, 2);
    expect(said).toContain('held too short');
    expect(console.type('current', 3)).toContain('no hold');
  });

  it('opens when more flows than the rig may see, by the latch itself', () => {
    const console = ready();
    console.type('current');
    console.holdStart(true);
    console.bath.advance(1.5);
    console.setSupply(39);
    console.bath.advance(1.5);
    expect(console.bath.truth.isContactorClosed).toBe(false);
    expect(console.bath.truth.isLatchClosed).toBe(false);
  });

  it('makes of two codes the scale of the supply, by the shunt calibrated before', () => {
    const console = ready();
    point(console, 2);
    point(console, 10);
    expect(console.type('supply', 5000)).toContain('expected a whole number from 1 to 4095');
    for (const code of [200, 1000]) {
      console.type('supply', code);
      console.holdStart(true);
      console.bath.advance(9);
      console.holdStart(false);
      console.bath.advance(2);
      expect(console.bath.truth.setPointCode).toBe(0);
    }
    expect(console.said()).toContain('Supply calibrated');
    console.type('keep');
    // The simulated supply takes 100 codes for each ampere.
    expect(console.settings['supply']!['codesPerAmp']).toBeCloseTo(100, -1);
    expect(console.doneSteps).toContain(BringUpStep.supplyCalibrated);
  });

  it('opens the contactor before it asks the set-point for zero: a stuck bus holds nothing up', () => {
    const console = ready();
    point(console, 2);
    point(console, 10);
    console.type('supply', 200);
    console.holdStart(true);
    console.bath.advance(4);
    const { converter, pins } = console.bath.parts;
    expect(converter.code).toBe(200);
    const write = converter.write.bind(converter);
    const enabledAtWrites: boolean[] = [];
    converter.write = (bytes, length, nowSeconds) => {
      if (bytes[0] === 0 && bytes[1] === 0) enabledAtWrites.push(pins.read('D19'));
      write(bytes, length, nowSeconds);
    };
    console.holdStart(false);
    console.bath.advance(1);
    expect(enabledAtWrites).toEqual([false]);
  });

  it('makes a new converter wake at zero, once, and reads it back', () => {
    const console = new BringUpConsole(text);
    const { converter } = console.bath.parts;
    const wakesAt = (): number => {
      converter.powerUp(console.bath.nightSeconds);
      return converter.code;
    };
    converter.makeNew();
    expect(wakesAt()).toBe(2048);
    expect(console.type('sensors')).toContain('would have woken at code 2048');
    expect(wakesAt()).toBe(0);
    expect(console.type('sensors')).toContain('set-point converter: good');
    expect(converter.eepromWrites).toBe(1);
  });

  it('does the same before the scale of the supply, and lets nothing flow where the converter does not keep it', () => {
    const calibrated = (): BringUpConsole => {
      const console = ready();
      point(console, 2);
      point(console, 10);
      return console;
    };
    const console = calibrated();
    const { converter } = console.bath.parts;
    converter.makeNew();
    console.type('supply', 200);
    expect(converter.eepromWrites).toBe(1);
    const worn = calibrated();
    worn.bath.parts.converter.makeNew();
    worn.bath.parts.converter.isEepromWorn = true;
    expect(worn.type('supply', 200)).toContain('would wake at code 2048');
    worn.holdStart(true);
    worn.bath.advance(3);
    expect(worn.bath.truth.isContactorClosed).toBe(false);
    worn.bath.parts.converter.isAnswering = false;
    expect(worn.type('supply', 200)).toContain('does not answer');
  });

  it('does not ask a supply that is set by hand for its scale', () => {
    if (!byHandText) return;
    const console = new BringUpConsole(byHandText);
    expect(console.type('supply', 200)).toContain('needs no such calibration');
  });
});

describe('deciding and keeping', () => {
  it('refuses limits that are no limits, and changes nothing', () => {
    const console = new BringUpConsole(text);
    const before = console.bath.parts.storage.read(SETTINGS_FILE);
    const said = console.type('limits', { amps: 900, volts: '8', celsius: 40, hours: 14 });
    expect(said).toContain('amps is 900, expected 0.1 to 300');
    expect(said).toContain('volts is "8"');
    expect(said).toContain('Nothing changed');
    console.type('keep');
    expect(console.bath.parts.storage.read(SETTINGS_FILE)).toBe(before);
  });

  it('takes the offset of the thermometer, and refuses one that is no offset', () => {
    const console = new BringUpConsole(text);
    console.wait(3);
    const bath = console.bath.truth.bathCelsius;
    expect(console.type('temperature', bath + 12)).toContain('Nothing changed');
    expect(console.type('temperature', bath + 0.5)).toMatch(/Offset 0\.[45]\d* C/);
    console.type('keep');
    expect(console.settings['probe']!['offsetCelsius']).toBeCloseTo(0.5, 0);
  });

  it('draws a secret that the dashboard reads, shows it once, and never again', () => {
    const console = new BringUpConsole(text);
    const said = console.type('pair');
    const line = said.split('\n').find((each) => /^[0-9A-Z*~$=-]{71}$/.test(each))!;
    const read = readPairingText(line);
    expect(read.problems).toBeUndefined();
    expect(console.type('show')).not.toContain(line.slice(0, 8));
    console.type('keep');
    expect(console.settings['secret']).toBe(read.secret);
    const other = new BringUpConsole(text, { seed: 2 });
    other.type('pair');
    other.type('keep');
    expect(other.settings['secret']).not.toBe(read.secret);
  });

  it('takes a network only with an address in numbers, and does not show the password', () => {
    const console = new BringUpConsole(text);
    expect(console.type('network', 'workshop', 'not a real one', 'dashboard.local')).toContain('in numbers');
    expect(console.type('network', 'workshop', 'not a real one', '192.168.1.20')).toContain('192.168.1.20');
    const shown = console.type('show');
    expect(shown).toContain('workshop');
    expect(shown).not.toContain('not a real one');
  });

  it('brings a new board from nothing to settings that are complete', () => {
    const console = new BringUpConsole(text, { tank: { supplyWanderFraction: 0 } });
    console.bath.parts.storage.erase(SETTINGS_FILE);
    console.bath.powerCut(1);
    console.wait(6);
    expect(console.type('show')).toMatch(/! {2}Settings: shunt measured (is )?0/);
    console.type('controller', 'north-bench');
    console.type('limits', LIMITS);
    console.type('shunt', 50, 75);
    console.type('fitted', { leak: 0 });
    console.wait(2);
    console.proveLatch();
    for (const amps of [2, 10]) {
      console.type('current');
      console.holdAndLetGo(() => {
        console.setSupply(amps);
      });
      console.type('current', console.meterAmps);
    }
    for (const code of [200, 1000]) {
      console.type('supply', code);
      console.holdStart(true);
      console.bath.advance(9);
      console.holdStart(false);
      console.bath.advance(2);
    }
    console.type('temperature', console.bath.truth.bathCelsius);
    console.type('network', 'workshop', 'not a real one', '192.168.1.20');
    expect(console.type('leave')).toContain('not in flash: keep() first');
    console.type('pair');
    expect(console.type('keep')).toContain('Kept and complete');
    expect(console.doneSteps).toContain(BringUpStep.settingsKept);
    expect(console.settings['v']).toBe(1);
  });
});
