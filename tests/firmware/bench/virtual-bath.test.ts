import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { VirtualBath } from '@bathkeeper/firmware/bench';
import { bathRunning, keepingProgram, printedLines, startAtTheBath } from './board-program.js';

/** Prints all that the board can read, so that two nights can be compared to the last bit. */
const readingProgram = `${keepingProgram(12)}
  function read(register) { I2C1.writeTo(0x40, register); var two = I2C1.readFrom(0x40, 2); return two[0] << 8 | two[1]; }
  var pulses = 0, probe = new OneWire(D4);
  setWatch(function (edge) { pulses = edge.time; }, D27, { repeat: true, edge: 'rising', debounce: 25 });
  setInterval(function () {
    probe.reset(); probe.skip(); probe.write(0xBE);
    var frame = probe.read(9);
    probe.reset(); probe.skip(); probe.write(0x44);
    print(read(1), read(2), frame[0], frame[1], pulses, E.hwRand());
  }, 1000);
`;

function night(seed: number, advance: (bath: VirtualBath) => void): string {
  const bath = bathRunning(readingProgram, {
    seed,
    faults: [
      { name: 'supply-drift', scope: 'bath', atSeconds: 100, durationSeconds: 50 },
      { name: 'power-cut', scope: 'bath', atSeconds: 200 },
      { name: 'contactor-drop', scope: 'bath', atSeconds: 150 },
    ],
  });
  startAtTheBath(bath);
  advance(bath);
  return JSON.stringify([bath.consoleText, bath.truth, bath.contactorLog, bath.bootLog]);
}

describe('a night in the virtual bath', () => {
  const wholeNight = (seed: number): string =>
    night(seed, (bath) => {
      bath.advance(300);
    });

  it('is the same to the last bit for the same seed', () => {
    expect(wholeNight(7)).toBe(wholeNight(7));
  });

  it('is another for another seed', () => {
    expect(wholeNight(7)).not.toBe(wholeNight(8));
  });

  it('does not depend on the portions in which it is advanced, nor on who looks at it', () => {
    const reference = wholeNight(7);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 60_000 }), { minLength: 5, maxLength: 30 }), (milliseconds) => {
        const inPortions = night(7, (bath) => {
          let leftMilliseconds = 300_000;
          for (const portion of milliseconds) {
            const taken = Math.min(portion, leftMilliseconds);
            leftMilliseconds -= taken;
            bath.advance(taken / 1000);
            expect(bath.truth.chargeMilliCoulombs).toBeGreaterThanOrEqual(0);
          }
          bath.advance(leftMilliseconds / 1000);
        });
        expect(inPortions).toBe(reference);
      }),
      { numRuns: 20 },
    );
  });

  it('shows the board the shunt’s current and the terminals’ voltage as they are, within noise', () => {
    const bath = bathRunning(readingProgram);
    startAtTheBath(bath);
    bath.advance(60);
    const [shunt, bus] = printedLines(bath).at(-1)!.split(' ').map(Number) as [number, number];
    expect(Math.abs((shunt * 2.5e-6) / 0.0015 / bath.truth.currentAmps - 1)).toBeLessThan(0.02);
    expect(Math.abs((bus * 1.25e-3) / bath.truth.terminalVolts - 1)).toBeLessThan(0.02);
  });
});

describe('the power of the virtual board', () => {
  it('can fail between any two bytes on their way into the FRAM; what follows is not written', () => {
    for (let count = 0; count < 8; count++) {
      const bath = bathRunning(
        'I2C1.writeTo(0x50, [0, 0, 1, 2, 3, 4, 5, 6, 7, 8]); print("written"); digitalWrite(D25, 1);',
        { memoryImage: new Uint8Array(32_768) },
      );
      bath.cutPowerAfterMemoryBytes(count);
      bath.advance(1);
      expect([...bath.memoryImage.subarray(0, 8)]).toEqual(
        [1, 2, 3, 4, 5, 6, 7, 8].map((byte, at) => (at < count ? byte : 0)),
      );
      expect(printedLines(bath)).toEqual([]);
      expect(bath.isBoardRunning).toBe(false);
      bath.advance(10);
      expect(bath.bootLog.at(-1)!.because).toBe('power came back');
      expect(printedLines(bath)).toEqual(['written']);
      expect([...bath.memoryImage.subarray(0, 8)]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    }
  });

  it('takes the registers of the monitor and the code of the converter with it', () => {
    const bath = bathRunning(
      `function read(register) { I2C1.writeTo(0x40, register); var two = I2C1.readFrom(0x40, 2); return two[0] << 8 | two[1]; }
       print(read(0), read(5));
       I2C1.writeTo(0x40, 0, 0x47, 0x27); I2C1.writeTo(0x40, 5, 6, 0xaa); I2C1.writeTo(0x60, 1, 2);`,
    );
    bath.advance(1);
    expect(bath.truth.setPointCode).toBe(0x102);
    bath.powerCut();
    bath.advance(10);
    expect(printedLines(bath)).toEqual(['16679 0', '16679 0']);
  });

  it('leaves the converter’s code and the monitor’s registers alone when only the program restarts', () => {
    const bath = bathRunning(
      `I2C1.writeTo(0x40, 5); var two = I2C1.readFrom(0x40, 2); print(two[0] << 8 | two[1]);
       I2C1.writeTo(0x40, 5, 6, 0xaa); if (two[0] === 0) setTimeout(load, 1000);`,
    );
    bath.advance(10);
    expect(printedLines(bath)).toEqual(['0', '1706']);
  });

  it('boots once when it fails again while it is off', () => {
    const bath = bathRunning('print("up");');
    bath.advance(1);
    bath.powerCut(5);
    bath.advance(3);
    bath.powerCut(5);
    bath.advance(20);
    expect(bath.bootLog).toHaveLength(2);
    expect(bath.bootLog[1]!.atSeconds).toBeCloseTo(1 + 3 + 5 + 1.5, 6);
  });

  it('starts with an FRAM whose contents mean nothing, unless it is given some', () => {
    expect(new Set(bathRunning('').memoryImage).size).toBeGreaterThan(100);
    const given = bathRunning('', { memoryImage: Uint8Array.of(5, 6, 7) });
    expect([...given.memoryImage.subarray(0, 4)]).toEqual([5, 6, 7, 0]);
  });

  it('has no FRAM when none is fitted', () => {
    const bath = bathRunning('try { I2C1.readFrom(0x50, 1); } catch (fault) { print("none"); }', { hasMemory: false });
    bath.advance(1);
    expect(printedLines(bath)).toEqual(['none']);
  });
});
