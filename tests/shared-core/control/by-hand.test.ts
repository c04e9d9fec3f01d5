/*
 * A night with a supply that is set by hand. The person turns the knob to what is asked some seconds after it is asked; nothing can be lowered
 * from the controller. Expected values by hand: strike 4 A, so first 0.8 A; to 20 A in steps of at most 2 A, which are 8 steps of 2 A.
 */
import { Command, Condition, EventKind, Phase, RecipeFault, SupplyKind } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, ScriptedBath } from './scripted-bath.js';

/** A person who sets what is asked so many seconds later. */
function withPerson(bath: ScriptedBath, seconds: number): ScriptedBath {
  let asked = 0;
  let askedAt = 0;
  let set = 0;
  bath.currentFor = (amps) => {
    if (amps !== asked) {
      asked = amps;
      askedAt = bath.seconds;
    }
    if (bath.seconds - askedAt >= seconds) set = asked;
    return amps > 0 ? set : 0;
  };
  return bath;
}

function ready(seconds = 20): ScriptedBath {
  return withPerson(bathIn('ready', lampshade, SupplyKind.byHand), seconds);
}

const asked = (bath: ScriptedBath, code: 1 | 2): number[] => bath.toldOf(EventKind.setByHand, code).map(({ a }) => a);

describe('a night with a supply set by hand', () => {
  test('asks for each current once it is due and the one before it flows, and opens when the charge is reached', () => {
    const bath = ready();
    expect(asked(bath, 1)).toEqual([]);
    bath.press('startPressed').until(() => bath.state.phase === Phase.done, 1);
    const currents = [800, 4000, 6000, 8000, 10_000, 12_000, 14_000, 16_000, 18_000, 20_000];
    expect(asked(bath, 1)).toEqual(currents);
    expect(asked(bath, 2)).toEqual(currents);
    // Each was asked only after the one before it was set.
    const order = bath.told.filter(({ kind }) => kind === EventKind.setByHand).map(({ code }) => code);
    expect(order).toEqual(currents.flatMap(() => [1, 2]));
    expect(bath.toldOf(EventKind.phaseEntered).map(({ code }) => code)).toEqual([
      Phase.ready,
      Phase.polarity,
      Phase.strike,
      Phase.ramp,
      Phase.plate,
      Phase.done,
    ]);
    expect(bath.toldOf(EventKind.runEnded)).toMatchObject([{ code: Condition.chargeReached }]);
    expect(bath.state.chargeMilliCoulombs / 1000).toBeCloseTo(180_000, -2);
    expect(bath.toldOf(EventKind.conditionRaised).map(({ code }) => code)).toEqual([Condition.chargeReached]);
    expect(bath.state.outputs).toMatchObject({ contactorEnabled: false, permittedAmps: 0, supplyEnabled: false });
  });

  test('counts strike and each step only from when they are set', () => {
    const bath = ready(100);
    bath.press('startPressed').until(() => bath.state.phase === Phase.strike, 0.2, 200);
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase === Phase.ramp, 0.2, 1000);
    expect(bath.seconds - fromSeconds).toBeGreaterThan(699);
    expect(bath.seconds - fromSeconds).toBeLessThan(702);
    const rampFrom = bath.seconds;
    bath.until(() => bath.state.phase === Phase.plate, 0.2, 4000);
    // 1800 s and seven waits of 100 s: the eighth step is plate itself
    expect(bath.seconds - rampFrom).toBeGreaterThan(2499);
    expect(bath.seconds - rampFrom).toBeLessThan(2504);
  });

  test('permits a step only when the one before it flows within its band, however late that is', () => {
    const bath = ready();
    bath.press('startPressed').until(() => bath.state.outputs.permittedAmps > 7, 0.2, 3000);
    // The person has gone: 6 A stay set.
    bath.currentFor = (amps) => (amps > 0 ? 6 : 0);
    bath.advance(3600);
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(8, 9);
    expect(bath.raised()).toEqual([Condition.currentOutsideBand, Condition.notAcknowledged]);
    // 5 % of 8 A are 0.4 A
    bath.currentFor = (amps) => (amps > 0 ? 7.59 : 0);
    bath.advance(10);
    expect(asked(bath, 2).at(-1)).not.toBe(7590);
    bath.currentFor = (amps) => (amps > 0 ? 7.61 : 0);
    bath.step();
    expect(asked(bath, 2).at(-1)).toBe(7610);
    bath.until(() => bath.state.outputs.permittedAmps > 8.1, 0.2, 300);
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(10, 9);
  });

  test('has two minutes to be set, and ten seconds once it was', () => {
    const bath = ready();
    bath.press('startPressed').until(() => bath.state.phase === Phase.plate, 0.2, 6000);
    // The last step is asked and the person has not come yet: 18 A of 20 A.
    bath.currentFor = (amps) => (amps > 0 ? 18 : 0);
    bath.advance(119);
    expect(bath.raised()).toEqual([]);
    bath.currentFor = (amps) => (amps > 0 ? 19.8 : 0);
    bath.advance(60);
    expect(asked(bath, 2).at(-1)).toBe(19_800);
    // A clip lets go, or a sense lead: nobody is asked to set anything.
    bath.currentFor = (amps) => (amps > 0 ? 12 : 0);
    bath.advance(9.6);
    expect(bath.raised()).toEqual([]);
    bath.advance(0.8);
    expect(bath.raised()).toEqual([Condition.currentOutsideBand]);
  });

  test('a knob that was not turned to zero trips the first low current', () => {
    const bath = bathIn('ready', lampshade, SupplyKind.byHand);
    bath.currentFor = (amps) => (amps > 0 ? 20 : 0);
    bath.press('startPressed').advance(1);
    expect(bath.phaseName()).toBe('trip');
    expect(bath.isRaised(Condition.currentVeryHigh)).toBe(true);
  });
});

describe('what cannot be lowered from here', () => {
  test.each([
    [Command.hold, 4],
    [Command.lower, 4],
    [Command.stop, 0],
    [Command.acknowledge, 0],
  ])('command %d is answered %d in plate', (command, answer) => {
    const bath = bathIn('plate', lampshade, SupplyKind.byHand);
    bath.inputs.lowerToAmps = 5;
    bath.command(command);
    expect(bath.toldOf(EventKind.commandAnswered)).toMatchObject([{ code: command, b: answer }]);
    if (command !== Command.stop) {
      expect(bath.phaseName()).toBe('plate');
      expect(bath.state.outputs.permittedAmps).toBe(20);
      expect(bath.state.loweredToAmps).toBeGreaterThan(1000);
    }
  });

  test('a stopped filter only warns, a hot bath trips', () => {
    const bath = bathIn('plate', lampshade, SupplyKind.byHand);
    bath.inputs.filterStopped = true;
    bath.advance(10);
    expect(bath.state.outputs).toMatchObject({ permittedAmps: 20, buzzer: 1 });
    expect(bath.state.derateFraction).toBe(1);
    bath.inputs.bathCelsius = 32;
    bath.advance(32);
    expect(bath.phaseName()).toBe('trip');
  });

  test('contact that is being lost in the ramp is called, and the current asked for stays', () => {
    const bath = ready();
    let ohms = 0.2;
    bath.voltsFor = (amps) => amps * ohms;
    bath
      .press('startPressed')
      .until(() => bath.state.outputs.permittedAmps > 9, 0.2, 3000)
      .advance(30);
    const { permittedAmps } = bath.state.outputs;
    ohms = 0.4;
    bath.advance(300);
    expect(bath.phaseName()).toBe('ramp');
    expect(bath.state.outputs.permittedAmps).toBe(permittedAmps);
    expect(bath.raised()).toEqual([Condition.contactWeakInStart]);
  });

  test('the longest time ends the run at once', () => {
    const bath = bathIn('plate', { ...lampshade, longestSeconds: 4000 }, SupplyKind.byHand);
    bath.until(() => bath.state.phase !== Phase.plate, 1);
    expect(bath.phaseName()).toBe('done');
    expect(bath.toldOf(EventKind.runEnded)).toMatchObject([{ code: Condition.longestRun }]);
  });
});

describe('the steps of other recipes', () => {
  function stepsOf(strikeAmps: number, plateAmps: number): number[] {
    const recipe = {
      ...lampshade,
      strikeAmps,
      plateAmps,
      strikeSeconds: 10,
      rampSeconds: 100,
      holdAmps: 0.1,
      finishAmps: 0.1,
    };
    const bath = new ScriptedBath(SupplyKind.byHand);
    withPerson(bath, 1);
    bath.advance(1);
    expect(bath.offer(recipe)).toBe(RecipeFault.none);
    bath.advance(1).until(() => bath.state.outputs.contactorEnabled, 0.2, 60);
    bath
      .press('startPressed')
      .until(() => bath.state.phase === Phase.plate, 0.2, 600)
      .advance(3);
    return asked(bath, 1);
  }

  test('are equal, and never more than a tenth of the plating current', () => {
    // 12 A from 5 A: 7 A in six steps of 1.1667 A
    expect(stepsOf(5, 12)).toEqual([1000, 5000, 6167, 7333, 8500, 9667, 10_833, 12_000]);
    expect(stepsOf(1, 10)).toEqual([200, 1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000, 9000, 10_000]);
  });

  test('are none where strike is at the plating current', () => {
    expect(stepsOf(10, 10)).toEqual([2000, 10_000]);
  });
});
