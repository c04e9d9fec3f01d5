/*
 * The parts that came with the whole table of conditions: raw flash, several probes on a wire, a display, supplies on a serial line and by hand,
 * contactors that weld or lie, the second means, handlers that the interpreter takes away.
 */
import { describe, expect, it } from 'vitest';
import { CLIP_ROMS, BATH_PROBE_ROM, simulatedBoardSettings } from '@bathkeeper/firmware/bench';
import { CharacterDisplay } from '../../../firmware/bench/chips/character-display.js';
import { FlashPages, PAGE_BYTES } from '../../../firmware/bench/chips/flash-pages.js';
import { PersonAtSupply } from '../../../firmware/bench/instruments/person-at-supply.js';
import { ScpiSupply } from '../../../firmware/bench/instruments/scpi-supply.js';
import type { SeededNoise } from '../../../firmware/bench/seeded-noise.js';
import { bathRunning, keepingProgram, printedLines, startAtTheBath } from './board-program.js';

describe('raw flash', () => {
  const base = (flash: FlashPages): number => flash.areas[0]!.addr;
  const read = (flash: FlashPages, length: number): number[] => {
    const bytes = new Uint8Array(length);
    flash.read(base(flash), bytes);
    return [...bytes];
  };

  it('can only clear bits until its page is erased', () => {
    const flash = new FlashPages(() => undefined);
    flash.write(base(flash), Uint8Array.of(0xf0, 1, 2, 3));
    flash.write(base(flash), Uint8Array.of(0x3c, 255, 255, 255));
    expect(read(flash, 4)).toEqual([0x30, 1, 2, 3]);
    flash.erasePage(base(flash));
    expect(read(flash, 4)).toEqual([255, 255, 255, 255]);
    expect(flash.erases[0]).toBe(1);
  });

  it('loses what comes after a cut between two bytes, and leaves a page without meaning when the cut falls into an erase', () => {
    let cuts = 0;
    const flash = new FlashPages(() => cuts++);
    flash.bytesUntilPowerFails = 2;
    flash.write(base(flash), Uint8Array.of(1, 2, 3, 4));
    expect(cuts).toBe(1);
    expect(read(flash, 4)).toEqual([1, 2, 255, 255]);
    flash.write(base(flash), new Uint8Array(64));
    flash.bytesUntilPowerFails = 0;
    flash.erasePage(base(flash));
    expect(cuts).toBe(2);
    const half = read(flash, 64);
    expect(half.some((byte) => byte !== 255 && byte !== 0)).toBe(true);
    expect(PAGE_BYTES).toBe(4096);
  });

  it('is offered to a program as the board’s module has it, in whole words', () => {
    const bath = bathRunning(`
      var flash = require('Flash'), area = flash.getFree()[0];
      flash.erasePage(area.addr);
      flash.write(new Uint8Array([1, 2, 3, 4]), area.addr + 8);
      print(flash.read(4, area.addr + 8).join(), area.length);
      try { flash.write([1], area.addr); } catch (fault) { print('refused'); }
    `);
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['1,2,3,4 65536', 'refused']);
  });
});

describe('several probes on one wire', () => {
  it('answer one at a time when they are called by their address, and garble each other when they are not', () => {
    const settings = simulatedBoardSettings();
    settings.fitted.clips = [...CLIP_ROMS];
    const bath = bathRunning(
      `
      var wire = new OneWire(D4);
      print(wire.search().length);
      wire.reset(); wire.skip(); wire.write(0x44);
      setTimeout(function () {
        function celsius(rom) { wire.select(rom); wire.write(0xBE); var frame = wire.read(9); return (frame[1] << 8 | frame[0]) / 16; }
        print(Math.round(celsius('${BATH_PROBE_ROM}')), Math.round(celsius('${CLIP_ROMS[0]!}')));
        print(celsius('2800000000000000'));
      }, 800);`,
      { settings, tank: { startCelsius: 22, probeNoiseCelsius: 0 } },
    );
    bath.advance(2);
    // A clip is 6 degrees above the bath; at an address that nobody has the bus stays high.
    expect(printedLines(bath)).toEqual(['3', '22 28', `${String(0xffff / 16)}`]);
  });
});

describe('the display that says what to set', () => {
  it('shows what was sent by half-bytes, and takes its set-up from any state', () => {
    const display = new CharacterDisplay();
    const put = (byte: number, isCharacter: boolean): void => {
      const low = isCharacter ? 1 : 0;
      const [high, rest] = [(byte & 0xf0) | low, ((byte << 4) & 0xf0) | low];
      display.write(Uint8Array.of(high | 4, high, rest | 4, rest), 4);
    };
    for (let round = 0; round < 2; round++) {
      for (const byte of [0x33, 0x32, 0x28, 0x0c, 0x06, 0x80]) put(byte, false);
      for (const character of `SET 1${String(round)}.4 A`) put(character.charCodeAt(0), true);
      expect(display.text).toBe(`SET 1${String(round)}.4 A`);
    }
  });
});

describe('the supply on the serial line', () => {
  function supply() {
    const set: string[] = [];
    const answers: string[] = [];
    const scpi = new ScpiSupply({
      setAmps: (amps) => set.push(`${String(amps)} A`),
      setCeilingVolts: (volts) => set.push(`${String(volts)} V`),
      measuredAmps: () => 1.25,
    });
    scpi.onAnswer = (text) => answers.push(text.trim());
    const ask = (line: string): string | undefined => {
      scpi.take(`${line}\n`, 0);
      if (scpi.dueAtSeconds < Infinity) scpi.act();
      return answers.pop();
    };
    return { scpi, set, ask };
  }

  it('delivers its set-point only while its output is on, and answers what it carries', () => {
    const { set, ask } = supply();
    ask('CURR 12.34');
    expect(set.at(-1)).toBe('0 A');
    ask('OUTP 1');
    expect(set.at(-1)).toBe('12.34 A');
    expect(ask('CURR?')).toBe('12.340');
    expect(ask('OUTP?')).toBe('1');
    expect(ask('MEAS:CURR?')).toBe('1.250');
    expect(ask('*IDN?')!.split(',')).toHaveLength(4);
  });

  it('keeps an error until it is asked for, and loses everything with its mains', () => {
    const { scpi, set, ask } = supply();
    ask('NONSENSE');
    expect(ask('SYST:ERR?')).toContain('-113');
    expect(ask('SYST:ERR?')).toContain('No error');
    ask('CURR 5');
    ask('OUTP 1');
    scpi.powerUp(0);
    expect(set.at(-1)).toBe('0 A');
    expect(ask('OUTP?')).toBe('0');
  });

  it('says nothing and takes nothing while it is silent', () => {
    const { scpi, set, ask } = supply();
    scpi.isSilent = true;
    const before = set.length;
    expect(ask('CURR 7')).toBeUndefined();
    expect(ask('CURR?')).toBeUndefined();
    expect(set).toHaveLength(before);
  });
});

describe('the person at the supply', () => {
  it('sets what the display says after a while, once, and nothing while the line is not whole or nobody is there', () => {
    const set: number[] = [];
    let text = 'SET 3.6 A';
    const noise = { uniform: () => 0.5, gaussian: () => 0 } as unknown as SeededNoise;
    const person = new PersonAtSupply(
      () => text,
      (amps) => set.push(amps),
      noise,
    );
    const play = (seconds: number): void => {
      for (const end = person.dueAtSeconds + seconds; person.dueAtSeconds <= end;) person.act(person.dueAtSeconds);
    };
    play(15);
    expect(set).toEqual([]);
    play(60);
    expect(set).toEqual([3.6]);
    text = 'SET 1';
    play(60);
    person.isThere = false;
    text = 'SET 5.0 A';
    play(120);
    expect(set).toEqual([3.6]);
    person.isThere = true;
    play(60);
    expect(set).toEqual([3.6, 5]);
  });
});

describe('a contactor at fault', () => {
  it('that has welded stays closed when its coil has no current, and its auxiliary contact tells it', () => {
    const bath = bathRunning(`${keepingProgram(10)} setTimeout(function () { digitalWrite(D19, 0); }, 5000);`);
    startAtTheBath(bath);
    bath.injectFault('contactor-welds', 20);
    bath.advance(10);
    expect(bath.parts.chain.coilIsFed).toBe(false);
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.parts.pins.read('D32')).toBe(true);
    bath.advance(20);
    expect(bath.truth.isContactorClosed).toBe(false);
  });

  it('lets no current flow past an open second means, whatever its contacts do', () => {
    const bath = bathRunning(`${keepingProgram(10)} setTimeout(function () { digitalWrite(D2, 0); }, 5000);`);
    startAtTheBath(bath);
    bath.advance(2);
    expect(bath.truth.currentAmps).toBeCloseTo(10.1, 1);
    bath.advance(5);
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.truth.currentAmps).toBeLessThan(0.01);
  });

  it('whose auxiliary contact lies moves all the same', () => {
    const bath = bathRunning(keepingProgram(10));
    bath.advance(1);
    bath.injectFault('auxiliary-stuck-open', 60);
    bath.press('latch-reset');
    bath.press('start');
    bath.advance(1);
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.parts.pins.read('D32')).toBe(false);
    bath.advance(60);
    expect(bath.parts.pins.read('D32')).toBe(true);
  });

  it('is not opened by an alert latch that is stuck', () => {
    const bath = bathRunning(keepingProgram(10, 12));
    startAtTheBath(bath);
    bath.injectFault('latch-stuck');
    bath.injectFault('overcurrent');
    bath.advance(5);
    expect(bath.truth.isContactorClosed).toBe(true);
    expect(bath.truth.isLatchClosed).toBe(true);
    expect(bath.truth.currentAmps).toBeGreaterThan(15);
  });
});

describe('handlers that the interpreter takes away', () => {
  it('are listed by name, and what comes for them afterwards is lost', () => {
    const bath = bathRunning(`
      Serial2.on('data', function (text) { print('serial', text); });
      require('dgram').createSocket('udp4', function (text) { print('heard', text); }).bind(41883);
    `);
    bath.advance(1);
    expect(bath.callbackNames).toEqual(['datagram message', 'serial data']);
    expect(bath.deliverSignOfLife('one')).toBe(true);
    bath.advance(1);
    bath.injectFault('datagram-lost');
    bath.deliverSignOfLife('two');
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['heard one']);
    expect(bath.takenAwayLog).toMatchObject([{ count: 1 }]);
  });

  it('does not come to it when the console is not attached', () => {
    const program = (console: string): string =>
      `E.setConsole(${console}); setInterval(function () {}, 200); setInterval(function () {}, 500);`;
    const attached = bathRunning(program("'Serial1'"));
    attached.advance(1);
    attached.injectFault('console-byte');
    expect(attached.callbackNames).toEqual(['interval 500 ms']);
    const detached = bathRunning(program('null'));
    detached.advance(1);
    detached.injectFault('console-byte');
    expect(detached.callbackNames).toEqual(['interval 200 ms', 'interval 500 ms']);
  });
});
