/* Rotation as the supervisor judges it: stopped, slow, by any speed. Limits and delays are our own practice; no outside source. */
import { Condition, Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { pulseAge } from './expectations/expectation.js';
import { bathIn, lampshade, type ScriptedBath } from './scripted-bath.js';

describe('rotation', () => {
  test.each([
    [30, 20],
    [6.6, 20],
    [6, 22],
    [3, 44],
    [1, 132],
  ])('at %d pulses a minute is due after %d s', (rotationPulsesPerMinute, seconds) => {
    const bath = bathIn('plate', { ...lampshade, rotationPulsesPerMinute });
    bath.untilLookIsDue();
    pulseAge(seconds - 0.2)(bath);
    bath.step();
    expect(bath.isRaised(Condition.rotationStopped)).toBe(false);
    bath.advance(1);
    expect(bath.isRaised(Condition.rotationStopped)).toBe(true);
    expect(bath.isRaised(Condition.rotationStoppedLong)).toBe(false);
    bath.advance(119);
    expect(bath.isRaised(Condition.rotationStoppedLong)).toBe(false);
    bath.advance(1);
    expect(bath.isRaised(Condition.rotationStoppedLong)).toBe(true);
  });

  test('one lonely pulse of a jammed shaft does not clear it', () => {
    const bath = bathIn('plate');
    bath.isTurning = false;
    bath.advance(30);
    expect(bath.isRaised(Condition.rotationStopped)).toBe(true);
    bath.inputs.rotationPulses++;
    bath.advance(50);
    expect(bath.isRaised(Condition.rotationStopped)).toBe(true);
  });

  test('derates strike, ramp and plating, and leaves hold and finish as low as they are', () => {
    for (const [phase, amps] of [
      ['strike', 1.6],
      ['plate', 8],
      ['hold', 3],
      ['finish', 2],
    ] as const) {
      const bath = bathIn(phase).untilLookIsDue();
      pulseAge(142)(bath);
      bath.step();
      expect(bath.isRaised(Condition.rotationStoppedLong)).toBe(true);
      expect(bath.state.outputs.permittedAmps).toBeCloseTo(amps, 6);
      expect(bath.state.commandedAmps).toBe(bath.state.outputs.permittedAmps);
    }
  });

  test('is no longer judged when the motor is off', () => {
    const bath = bathIn('plate').untilLookIsDue();
    pulseAge(200)(bath);
    bath.step();
    bath.press('stopPressed');
    expect(bath.state.phase).toBe(Phase.done);
    bath.advance(32);
    expect(bath.raised()).toEqual([]);
  });
});

describe('a part that turns', () => {
  /** Pulses every so many seconds, on a bath that is made for `perMinute`. */
  function turningEvery(seconds: number, perMinute: number): ScriptedBath {
    const bath = bathIn('plate', { ...lampshade, rotationPulsesPerMinute: perMinute });
    bath.isTurning = false;
    let nextAt = bath.seconds;
    bath.beforeStep = () => {
      for (; bath.seconds >= nextAt; nextAt += seconds) bath.inputs.rotationPulses++;
    };
    return bath;
  }

  test.each([
    [10, 6],
    [14.9, 6],
    [1, 60],
    [0.24, 240],
    [1.4, 60],
  ])('with a pulse every %d s is fast enough for %d a minute', (seconds, perMinute) => {
    expect(turningEvery(seconds, perMinute).advance(300).raised()).toEqual([]);
  });

  test.each([
    [15.2, 6],
    [19, 6],
    [1.6, 60],
    [10, 60],
    [0.4, 240],
  ])('with a pulse every %d s is slow for %d a minute', (seconds, perMinute) => {
    expect(turningEvery(seconds, perMinute).advance(300).raised()).toEqual([Condition.rotationSlow]);
  });

  test('after a stop is not slow for having stopped', () => {
    const bath = turningEvery(10, 6);
    const pulses = bath.beforeStep;
    bath.beforeStep = () => undefined;
    bath.advance(21);
    bath.beforeStep = pulses;
    bath.advance(300);
    expect(bath.raised()).toEqual([]);
  });
});
