/*
 * Current, voltage and contactor as the supervisor judges them: what the suite of all conditions does not ask, and a painted start, which
 * must not be taken for a fault. Limits and delays are our own practice; no outside source.
 */
import { Command, Condition, EventKind, MonitorFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { calm, times, volts } from './expectations/expectation.js';
import { bathIn, lampshade, type ScriptedBath } from './scripted-bath.js';

describe('the current', () => {
  test('is judged against the larger permitted one until a step down is three seconds old', () => {
    const bath = bathIn('plate');
    bath.currentFor = () => 20;
    bath.inputs.command = 2; // hold: 20 A to 3 A, and the supply does not follow
    bath.step();
    expect(bath.phaseName()).toBe('hold');
    bath.advance(3);
    expect(bath.raised()).toEqual([]);
    bath.advance(0.6);
    expect(bath.raised()).toEqual([Condition.currentVeryHigh]);
    expect(bath.phaseName()).toBe('trip');
  });

  test('needs half an ampere too much before it is too much', () => {
    const small = { ...lampshade, plateAmps: 0.5, strikeAmps: 0.2, holdAmps: 0.2, finishAmps: 0.1 };
    const bath = bathIn('plate', { ...small, chargeMilliCoulombs: 5_000_000 });
    bath.currentFor = () => 0.99;
    bath.advance(10);
    expect(bath.isRaised(Condition.currentHigh)).toBe(false);
    expect(bath.isRaised(Condition.currentVeryHigh)).toBe(false);
    bath.currentFor = () => 1;
    bath.advance(1);
    expect(bath.isRaised(Condition.currentVeryHigh)).toBe(true);
    expect(bath.phaseName()).toBe('trip');
  });

  test('without any voltage is told as a loose sense lead, not as a short circuit', () => {
    const bath = bathIn('plate');
    bath.voltsFor = () => 0.019;
    bath.advance(1.4);
    expect(bath.raised()).toEqual([Condition.senseImplausible]);
    expect(bath.phaseName()).toBe('trip');
  });

  test.each([
    ['0.8 V', 0.04, 0.405, 0.395],
    ['0.3 V', 0.015, 0.255, 0.245],
  ])('in a sound cell of %s is a short at half of it, and under 0.25 V always', (_, ohms, soundVolts, shortedVolts) => {
    const bath = bathIn('strike');
    bath.voltsFor = (amps) => ohms * amps;
    bath.until(() => bath.phaseName() === 'plate', 0.2, 20_000);
    bath.voltsFor = (amps) => (soundVolts / 20) * amps;
    bath.advance(10);
    expect(bath.raised()).toEqual([]);
    bath.voltsFor = (amps) => (shortedVolts / 20) * amps;
    bath.advance(1.4);
    expect(bath.raised()).toEqual([Condition.shortCircuit]);
    expect(bath.phaseName()).toBe('trip');
  });

  test('that the shunt does not see at the voltage ceiling is a lost contact, and no loose lead', () => {
    const bath = bathIn('plate');
    bath.currentFor = () => 0;
    bath.voltsFor = () => 8;
    bath.advance(3.4);
    expect(bath.raised()).toEqual([Condition.contactLost]);
    expect(bath.phaseName()).toBe('hold');
  });

  test('that a hand has turned off, and its voltage with it, is no loose lead', () => {
    const bath = bathIn('plate', lampshade, SupplyKind.byHand);
    bath.currentFor = () => 0;
    bath.voltsFor = () => 0.29;
    bath.advance(15);
    expect(bath.raised()).toEqual([Condition.currentOutsideBand]);
    expect(bath.phaseName()).toBe('plate');
  });

  test('that flows backwards is judged by its size', () => {
    const bath = bathIn('plate');
    bath.currentFor = () => -30;
    bath.advance(1);
    expect(bath.phaseName()).toBe('trip');
  });

  test.each(['idle', 'ready', 'done'] as const)('that flows in %s, where none is permitted, trips', (phase) => {
    const bath = bathIn(phase);
    bath.advance(5);
    bath.currentFor = () => 0.5;
    bath.advance(1);
    expect(bath.isRaised(Condition.currentVeryHigh)).toBe(true);
    expect(bath.phaseName()).toBe('trip');
  });

  test('is open by the control step within three steps of 150 %', () => {
    const bath = bathIn('plate');
    bath.currentFor = () => 30.1;
    bath.step();
    bath.step();
    expect(bath.state.outputs.contactorEnabled).toBe(true);
    bath.step();
    expect(bath.state.outputs.contactorEnabled).toBe(false);
    expect(bath.state.outputs.permittedAmps).toBe(0);
  });
});

describe('the contactor', () => {
  test('that closes without a press is a trip after 3 s', () => {
    const bath = bathIn('ready');
    bath.contactorFor = (enabled) => enabled;
    bath.advance(3);
    expect(bath.phaseName()).toBe('ready');
    bath.advance(0.4);
    expect(bath.phaseName()).toBe('trip');
    expect(bath.state.outputs.contactorEnabled).toBe(false);
  });

  test('whose feedback does not follow the press within 3 s is a trip', () => {
    const bath = bathIn('ready');
    bath.contactorFor = () => false;
    bath.press('startPressed').advance(3);
    expect(bath.phaseName()).toBe('ready');
    bath.advance(0.4);
    expect(bath.raised()).toEqual([Condition.contactorContradicts]);
    bath.advance(1.2).press('resetPressed').advance(1);
    expect(bath.phaseName()).toBe('ready');
    expect(bath.state.outputs.contactorEnabled).toBe(true);
  });

  test.each(['idle', 'done'] as const)('that stays closed in %s is a trip after 3 s', (phase) => {
    const bath = bathIn(phase);
    bath.contactorFor = () => true;
    bath.advance(3.4);
    expect(bath.phaseName()).toBe('trip');
    bath.contactorFor = () => false;
    bath.advance(1.4).press('resetPressed');
    expect(bath.phaseName()).toBe(phase);
  });
});

describe('a lost contact', () => {
  const lost = (): ScriptedBath => {
    const bath = bathIn('plate');
    volts(7.8)(bath);
    times(0.1)(bath);
    return bath.advance(4);
  };

  test('holds, and stays a hold when contact comes back, until start is pressed', () => {
    const bath = lost();
    expect(bath.phaseName()).toBe('hold');
    calm(bath);
    bath.advance(600);
    expect(bath.isRaised(Condition.contactLost)).toBe(true);
    bath.press('startPressed');
    expect(bath.isRaised(Condition.contactLost)).toBe(false);
    expect(bath.phaseName()).toBe('ramp');
  });

  test('keeps its hold when start is pressed while it is lost, or before it was back for a second', () => {
    const bath = lost();
    bath.press('startPressed').advance(1);
    expect(bath.phaseName()).toBe('hold');
    calm(bath);
    bath.step();
    bath.advance(0.6).press('startPressed');
    expect(bath.phaseName()).toBe('hold');
    bath.advance(0.4).press('startPressed');
    expect(bath.phaseName()).toBe('ramp');
  });

  test('is cleared by a reset as well, which leaves the hold to the start', () => {
    const bath = lost();
    calm(bath);
    bath.advance(2).press('resetPressed');
    expect(bath.isRaised(Condition.contactLost)).toBe(false);
    expect(bath.phaseName()).toBe('hold');
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('ramp');
  });

  test('cannot be told while the monitor is at fault', () => {
    const bath = bathIn('plate');
    volts(7.8)(bath);
    times(0.1)(bath);
    bath.advance(2);
    bath.inputs.monitorFault = MonitorFault.silent;
    bath.advance(0.8);
    bath.inputs.monitorFault = MonitorFault.none;
    calm(bath);
    bath.advance(2);
    expect(bath.raised()).toEqual([]);
  });
});

describe('a painted start', () => {
  /** The paint has so many ohms at first; copper closes the surface, and they halve every two minutes, down to what the bath itself has. */
  function paintedBath(paintOhms: number, supplyKind?: SupplyKind): ScriptedBath {
    const bath = bathIn('ready', lampshade, supplyKind);
    let seconds = 0;
    let ohms = paintOhms;
    const ceilingVolts = 8;
    bath.beforeStep = () => {
      if (bath.isLive()) ohms = 0.12 + paintOhms * Math.pow(0.5, (seconds += 0.2) / 120);
    };
    bath.currentFor = (permittedAmps) => Math.min(permittedAmps, (ceilingVolts - 0.4) / ohms);
    bath.voltsFor = (amps) => (amps > 0 ? 0.4 + amps * ohms : 0);
    return bath;
  }

  test.each([1, 5, 20])('of %d ohms raises nothing that trips, holds or warns', (ohms) => {
    const bath = paintedBath(ohms);
    bath.press('startPressed').until(() => bath.phaseName() === 'plate', 0.2, 20_000);
    const raised = bath.toldOf(EventKind.conditionRaised).map(({ code }) => code);
    expect(raised.filter((code) => code !== Condition.rampWaiting)).toEqual([]);
    expect(bath.toldOf(EventKind.runStarted)).toHaveLength(1);
  });

  test('at the ceiling with a small part of the current waits, as nothing else does', () => {
    const bath = paintedBath(20);
    bath.press('startPressed').until(() => bath.phaseName() === 'strike', 0.2, 60);
    bath.advance(30);
    expect(bath.inputs.currentAmps).toBeLessThan(bath.state.outputs.permittedAmps / 2);
    expect(bath.raised()).toEqual([Condition.rampWaiting]);
  });

  test('that is shorted is a short all the same', () => {
    const bath = paintedBath(1);
    bath.press('startPressed').until(() => bath.phaseName() === 'ramp', 0.2, 20_000);
    bath.until(() => bath.state.outputs.permittedAmps > 6, 0.2, 20_000);
    bath.voltsFor = (amps) => 0.005 * amps;
    bath.currentFor = (amps) => amps;
    bath.advance(2);
    expect(bath.raised()).toContain(Condition.shortCircuit);
    expect(bath.phaseName()).toBe('trip');
  });
});

test('a current outside its band is not asked about in the first seconds after a step of the set-point', () => {
  const bath = bathIn('hold');
  bath.command(Command.none);
  bath.press('startPressed');
  let lagging = 3;
  bath.currentFor = (amps) => (lagging += Math.max(-0.02, Math.min(0.02, amps - lagging)));
  bath.advance(60);
  expect(bath.raised()).toEqual([]);
});
