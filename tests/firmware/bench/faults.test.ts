import { describe, expect, it } from 'vitest';
import { faultKinds, faultNames, parseFault } from '@bathkeeper/firmware/bench';
import { bathRunning, keepingProgram, startAtTheBath } from './board-program.js';

describe('a fault on the command line', () => {
  it.each([
    ['rotation-stall@03:10', { name: 'rotation-stall', scope: 'bath', atSeconds: 11_400 }],
    ['rotation-stall@03:10+5m', { name: 'rotation-stall', scope: 'bath', atSeconds: 11_400, durationSeconds: 300 }],
    ['power-cut@00:00:30+90s', { name: 'power-cut', scope: 'bath', atSeconds: 30, durationSeconds: 90 }],
    ['network-loss@1.5h+10m', { name: 'network-loss', scope: 'bath', atSeconds: 5400, durationSeconds: 600 }],
    ['broker-restart@600s', { name: 'broker-restart', scope: 'dashboard', atSeconds: 600 }],
  ])('is read: %s', (text, fault) => {
    expect(parseFault(text)).toEqual(fault);
  });

  it('is refused with the list of those that exist when its name is not known', () => {
    const message = parseFault('gremlins@01:00');
    expect(message).toContain('no fault called "gremlins"');
    for (const name of faultNames) expect(message).toContain(name);
  });

  it('is refused for a name that only looks like one', () => {
    expect(parseFault('constructor@01:00')).toContain('no fault called "constructor"');
  });

  it.each([
    'overcurrent',
    'overcurrent@',
    'overcurrent@3',
    'overcurrent@03:70',
    'overcurrent@1h@2h',
    'overcurrent@1h+',
    'overcurrent@1h+5',
    'overcurrent@1h+5m+5m',
  ])('is refused with what was expected when its time is wrong: %s', (text) => {
    expect(parseFault(text)).toContain('expected NAME@HH:MM');
  });

  it('says who carries it out', () => {
    for (const name of faultNames) {
      const { scope, begin } = faultKinds[name];
      expect(begin !== undefined).toBe(scope === 'bath');
    }
  });
});

describe('a fault in the virtual bath', () => {
  it('begins and ends when it was scheduled, to the second', () => {
    const bath = bathRunning(keepingProgram(10), {
      faults: [{ name: 'supply-drift', scope: 'bath', atSeconds: 60, durationSeconds: 30 }],
    });
    startAtTheBath(bath);
    bath.advance(57);
    expect(bath.truth.currentAmps).toBeCloseTo(10.1, 1);
    bath.advance(2);
    expect(bath.truth.currentAmps).toBeCloseTo(10.9, 1);
    bath.advance(30);
    expect(bath.truth.currentAmps).toBeCloseTo(10.1, 1);
    expect(bath.faultLog).toEqual([{ name: 'supply-drift', atSeconds: 60 }]);
  });

  it('makes the supply run to 1.6 times what it is asked', () => {
    const bath = bathRunning(keepingProgram(10));
    startAtTheBath(bath);
    bath.advance(60);
    bath.injectFault('overcurrent');
    bath.advance(1);
    expect(bath.truth.currentAmps).toBeCloseTo(16.2, 1);
  });

  it('stalls the shaft and lets it go on from the same angle', () => {
    const bath = bathRunning(keepingProgram(1));
    bath.advance(60);
    bath.injectFault('rotation-stall', 300);
    const before = bath.truth.rotationPulses;
    bath.advance(300);
    expect(bath.truth.rotationPulses).toBe(before);
    bath.advance(60);
    expect(bath.truth.rotationPulses - before).toBeGreaterThanOrEqual(5);
  });

  it('slows the shaft to three tenths', () => {
    const bath = bathRunning(keepingProgram(1));
    bath.advance(60);
    bath.injectFault('rotation-slow');
    const before = bath.truth.rotationPulses;
    bath.advance(1000);
    expect(Math.abs(bath.truth.rotationPulses - before - 30)).toBeLessThanOrEqual(1);
  });

  it('heats the bath past 33 Celsius within the hour, and past 40 after it', () => {
    const bath = bathRunning(keepingProgram(19));
    startAtTheBath(bath);
    bath.injectFault('bath-heating');
    bath.advance(3600);
    expect(bath.truth.bathCelsius).toBeGreaterThan(33);
    bath.advance(3600);
    expect(bath.truth.bathCelsius).toBeGreaterThan(40);
  });

  it('leaves the dashboard’s faults to the caller', () => {
    const bath = bathRunning('', { faults: [{ name: 'broker-restart', scope: 'dashboard', atSeconds: 1 }] });
    bath.advance(2);
    expect(bath.faultLog).toEqual([]);
    expect(() => {
      bath.injectFault('broker-restart');
    }).toThrow('the caller must carry it out');
  });
});
