/*
 * What must not be taken from a reading that cannot be believed, and what the quick look past a calm cell and a calm bath must not hide.
 * Expected: common practice, no source: unknown is never good news.
 */
import { Command, Condition, EventKind } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { calm, shows, volts } from './expectations/expectation.js';
import { bathIn } from './scripted-bath.js';

describe('while the monitor cannot be believed', () => {
  test('a voltage that was too high is not said to be gone, and is when the monitor is back', () => {
    const bath = bathIn('plate');
    volts(8.3)(bath);
    bath.advance(4);
    expect(bath.isRaised(Condition.voltageHigh)).toBe(true);
    bath.inputs.monitorFault = 1;
    bath.advance(60).press('resetPressed').advance(1);
    expect(bath.isRaised(Condition.voltageHigh)).toBe(true);
    bath.inputs.monitorFault = 0;
    bath.advance(5).press('resetPressed').advance(1);
    expect(bath.raised()).toEqual([]);
    expect(bath.phaseName()).toBe('ready');
  });

  test('a current that did not fall is not said to have fallen, and the second means stays open', () => {
    const bath = bathIn('plate');
    bath.inputs.emergencyStopPressed = true;
    bath.contactorFor = () => false;
    shows(1)(bath);
    bath.advance(8);
    expect(bath.isRaised(Condition.currentDoesNotFall)).toBe(true);
    bath.inputs.emergencyStopPressed = false;
    bath.inputs.monitorFault = 1;
    shows(0)(bath);
    bath.advance(60).press('resetPressed').advance(1);
    expect(bath.isRaised(Condition.currentDoesNotFall)).toBe(true);
    expect(bath.state.outputs.supplyEnabled).toBe(false);
    bath.inputs.monitorFault = 0;
    bath.advance(5).press('resetPressed').advance(1);
    expect(bath.isRaised(Condition.currentDoesNotFall)).toBe(false);
    expect(bath.state.outputs.supplyEnabled).toBe(true);
  });
});

test('a ramp takes nothing from a monitor that is at fault', () => {
  const bath = bathIn('ramp').untilLookIsDue();
  bath.told.splice(0);
  bath.inputs.monitorFault = 1;
  volts(7.9)(bath);
  bath.step();
  bath.inputs.monitorFault = 0;
  calm(bath);
  bath.advance(10);
  expect(bath.told).toEqual([]);
});

test('a bath that was cold when its probe failed stays cold until the probe says otherwise', () => {
  const bath = bathIn('plate');
  bath.inputs.bathCelsius = 17;
  bath.advance(302);
  expect(bath.isRaised(Condition.bathCold)).toBe(true);
  bath.inputs.probeFault = 1;
  bath.advance(300);
  expect(bath.isRaised(Condition.bathCold)).toBe(true);
  bath.inputs.probeFault = 0;
  bath.inputs.bathCelsius = 24;
  bath.advance(62);
  expect(bath.isRaised(Condition.bathCold)).toBe(false);
});

test('a strike that backed off is as gentle and as long as it was, when contact is back', () => {
  const bath = bathIn('strike');
  const fromSeconds = bath.seconds;
  bath.advance(60);
  bath.voltsFor = (amps) => 2 * (0.5 + 0.12 * amps);
  bath.until(() => bath.isRaised(Condition.contactWeakInStart), 0.2, 30);
  expect(bath.state.outputs.permittedAmps).toBeCloseTo(2.8, 1);
  calm(bath);
  bath.until(() => !bath.isRaised(Condition.contactWeakInStart), 0.2, 60);
  expect(bath.state.outputs.permittedAmps).toBe(4);
  bath.until(() => bath.phaseName() === 'ramp', 0.2, 1000);
  // its 600 s, and what was waited meanwhile
  expect(bath.seconds - fromSeconds).toBeGreaterThan(599);
  expect(bath.seconds - fromSeconds).toBeLessThan(650);
});

describe('a quick look past what is calm', () => {
  test('sees the full current the other way round', () => {
    const bath = bathIn('plate');
    shows(-20)(bath);
    volts(2.9)(bath);
    bath.advance(1);
    expect(bath.phaseName()).toBe('trip');
    expect(bath.isRaised(Condition.reverseCurrent)).toBe(true);
  });

  test('sees loose sense leads at half an ampere of a hold', () => {
    const bath = bathIn('hold');
    shows(0.5)(bath);
    volts(0.01)(bath);
    bath.advance(1.4);
    expect(bath.isRaised(Condition.senseImplausible)).toBe(true);
  });

  test("sees a rig's limit that was tightened below the recipe's warning", () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 27;
    bath.advance(900);
    bath.limits = { ...bath.limits, bathCelsiusMax: 27 };
    bath.advance(32);
    expect(bath.isRaised(Condition.bathOverheated)).toBe(true);
    expect(bath.phaseName()).toBe('trip');
  });

  test('lets a warm bath stay warm within its deadband, also when its slope is long forgotten', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 28;
    bath.advance(32);
    bath.inputs.bathCelsius = 27.5;
    bath.advance(1200);
    expect(bath.isRaised(Condition.bathWarm)).toBe(true);
    bath.inputs.bathCelsius = 26.5;
    bath.advance(62);
    expect(bath.isRaised(Condition.bathWarm)).toBe(false);
  });

  test('lets a bath that will overheat go on being called that, until its slope is flat again', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 27;
    bath.advance(1200);
    bath.told.splice(0);
    // a tenth of a degree each minute: 6 degrees an hour, above 26 all the time
    for (let minute = 0; minute < 20; minute++) {
      bath.inputs.bathCelsius += 0.1;
      bath.advance(60);
    }
    expect(bath.toldOf(EventKind.conditionRaised, Condition.bathWillOverheat)).toHaveLength(1);
    bath.advance(1200);
    expect(bath.isRaised(Condition.bathWillOverheat)).toBe(false);
  });
});

test('a voltage that rises because a lowering was lifted is no anode that passivates', () => {
  const bath = bathIn('plate');
  bath.voltsFor = (amps) => (amps > 15 ? 7.4 : 6.5);
  bath.inputs.lowerToAmps = 10;
  bath.command(Command.lower).advance(420);
  expect(bath.state.outputs.permittedAmps).toBe(10);
  // 1125 s of climbing from 10 A to 20 A
  bath.press('startPressed').advance(1800);
  expect(bath.state.outputs.permittedAmps).toBe(20);
  expect(bath.toldOf(EventKind.conditionRaised, Condition.anodePassivating)).toEqual([]);
});
