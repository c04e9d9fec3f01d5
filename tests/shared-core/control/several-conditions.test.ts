/* Several conditions at once, and what cannot be told. */
import { Condition } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { pulseAge } from './expectations/expectation.js';
import { bathIn, type ScriptedBath } from './scripted-bath.js';

describe('several conditions', () => {
  test('the worst that stands is done, whatever their order', () => {
    const bath = bathIn('plate');
    pulseAge(142)(bath);
    bath.inputs.bathCelsius = 32;
    bath.advance(32);
    expect(bath.raised()).toEqual([
      Condition.bathWarm,
      Condition.bathHot,
      Condition.rotationStopped,
      Condition.rotationStoppedLong,
    ]);
    expect(bath.phaseName()).toBe('hold');
    expect(bath.state.outputs.permittedAmps).toBe(3);
    expect(bath.state.derateFraction).toBe(1);
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    expect(bath.phaseName()).toBe('trip');
  });

  test('a reset clears the trips whose cause is gone and stays in trip for the others', () => {
    const bath = bathIn('plate');
    bath.inputs.emergencyStopPressed = bath.inputs.alertLatchOpen = true;
    bath.step();
    expect(bath.raised()).toEqual([Condition.alertLatch, Condition.emergencyStop]);
    bath.inputs.emergencyStopPressed = false;
    bath.step();
    bath.press('resetPressed');
    expect(bath.raised()).toEqual([Condition.alertLatch]);
    expect(bath.phaseName()).toBe('trip');
    bath.inputs.alertLatchOpen = false;
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
  });

  test('emergency stop and alert latch open the contactor themselves and are named as the cause', () => {
    for (const [spoil, condition] of [
      [(bath: ScriptedBath): unknown => (bath.inputs.emergencyStopPressed = true), Condition.emergencyStop],
      [(bath: ScriptedBath): unknown => (bath.inputs.alertLatchOpen = true), Condition.alertLatch],
    ] as const) {
      const bath = bathIn('plate');
      spoil(bath);
      bath.contactorFor = () => false;
      bath.step();
      expect(bath.raised()).toEqual([condition]);
    }
  });

  test('a monitor that changes from one fault to another every step is not believed longer for it', () => {
    const bath = bathIn('plate');
    for (let fault = 0; fault < 7; fault++) {
      bath.inputs.monitorFault = ((fault % 3) + 1) as 1 | 2 | 3;
      bath.step();
    }
    expect(bath.phaseName()).toBe('trip');
  });

  test('a current or a temperature that is no number counts as no answer', () => {
    const silent = bathIn('plate');
    silent.currentFor = () => NaN;
    silent.advance(1.4);
    expect(silent.raised()).toEqual([Condition.monitorSilent]);
    const blind = bathIn('plate');
    blind.inputs.bathCelsius = Infinity;
    blind.advance(32);
    expect(blind.raised()).toEqual([Condition.probeFault]);
  });

  test('a bath that was hot when its probe failed stays hot until the probe says otherwise', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 32;
    bath.advance(32);
    bath.inputs.probeFault = 1;
    bath.inputs.bathCelsius = 20;
    bath.advance(300);
    expect(bath.isRaised(Condition.bathHot)).toBe(true);
  });
});
