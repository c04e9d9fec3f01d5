/*
 * Strike and ramp of a painted part, as whole starts: a cell whose resistance the test says, behind a supply that gives what is permitted until
 * its ceiling of 8 V. Expected values are worked out by hand: strike 4 A for 600 s, ramp to 20 A in 1800 s, which are 16/1800 A each second.
 */
import { Command, Condition, EventKind, Phase, RampState } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, type ScriptedBath } from './scripted-bath.js';

const CEILING_VOLTS = 8;

/** A supply of constant current with a ceiling of its own on a cell of so many ohms. */
function onCell(bath: ScriptedBath, ohmsAt: () => number): ScriptedBath {
  bath.currentFor = (amps) => Math.min(amps, CEILING_VOLTS / ohmsAt());
  bath.voltsFor = (amps) => Math.min(amps * ohmsAt(), CEILING_VOLTS);
  return bath;
}

/** In ready, before the press. */
function painted(ohmsAt: () => number): ScriptedBath {
  return onCell(bathIn('ready'), ohmsAt);
}

const rampEvents = (bath: ScriptedBath): number[] => bath.toldOf(EventKind.rampTold).map(({ code }) => code);
const commanded = (bath: ScriptedBath): number => bath.state.outputs.permittedAmps;

describe('a painted start whose resistance falls', () => {
  test('takes exactly the time of its recipe, tells nothing, and calls nobody', () => {
    // From 1 ohm down to 0.3 ohm: never above 6 V.
    let begunAt = Infinity;
    const bath: ScriptedBath = painted(() => 0.3 + 0.7 * Math.exp(-Math.max(0, bath.seconds - begunAt) / 400));
    begunAt = bath.seconds;
    bath.start();
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase === Phase.plate, 0.2);
    expect(bath.seconds - fromSeconds).toBeCloseTo(2400, 0);
    expect(bath.raised()).toEqual([]);
    expect(bath.toldOf(EventKind.conditionRaised)).toEqual([]);
    expect(bath.state.unacknowledged).toBe(false);
  });
});

describe('a painted start at its ceiling', () => {
  test('waits there without counting its strike, says so without calling, and takes up when copper has closed the surface', () => {
    // 5 ohm: at 8 V only 1.6 A of 4 A; after a quarter of an hour it falls to 0.3 ohm.
    let ohms = 5;
    const bath = painted(() => ohms).start();
    bath.advance(900);
    expect(bath.phaseName()).toBe('strike');
    expect(bath.state.rampState).toBe(RampState.waits);
    expect(bath.raised()).toEqual([Condition.rampWaiting]);
    expect(bath.state.outputs).toMatchObject({ permittedAmps: 4, buzzer: 0 });
    ohms = 0.3;
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase !== Phase.strike, 0.2, 1000);
    // the whole strike is still to come (a second or two of it were counted before the ceiling was seen)
    expect(bath.seconds - fromSeconds).toBeGreaterThan(597);
    expect(bath.seconds - fromSeconds).toBeLessThan(602);
    expect(bath.raised()).toEqual([]);
    expect(bath.toldOf(EventKind.conditionRaised).map(({ code }) => code)).toEqual([Condition.rampWaiting]);
  });

  test('stalls in the ramp where the voltage reaches 0.95 of the ceiling, does not climb, and goes on when it has fallen', () => {
    let ohms = 0.6;
    const bath = painted(() => ohms).start();
    bath.until(() => bath.state.rampState === RampState.waits, 0.2, 2000);
    // 7.6 V at 0.6 ohm are 12.667 A; a second of climbing is 0.009 A
    expect(bath.phaseName()).toBe('ramp');
    expect(commanded(bath)).toBeGreaterThanOrEqual(7.6 / 0.6);
    expect(commanded(bath)).toBeLessThan(7.6 / 0.6 + 0.02);
    const stalledAmps = commanded(bath);
    bath.advance(600);
    expect(commanded(bath)).toBe(stalledAmps);
    expect(bath.raised()).toEqual([Condition.rampWaiting]);
    // 0.94 of the ceiling is not yet enough
    ohms = (0.94 * 8) / stalledAmps;
    bath.advance(60);
    expect(commanded(bath)).toBe(stalledAmps);
    ohms = (0.85 * 8) / stalledAmps;
    bath.advance(62);
    // about a minute of climbing, from where it stood
    expect(commanded(bath)).toBeGreaterThan(stalledAmps + (59 * 16) / 1800);
    expect(commanded(bath)).toBeLessThan(stalledAmps + (63 * 16) / 1800);
    ohms = 0.2;
    bath.until(() => bath.state.phase === Phase.plate, 1, 2000);
    expect(commanded(bath)).toBe(20);
  });

  test('is never tripped nor held by it, and says after long that it lasts too long', () => {
    const bath = painted(() => 5).start();
    // twice 2400 s, and half an hour
    bath.until(() => bath.isRaised(Condition.longestPhase), 1, 7000);
    expect(bath.seconds).toBeGreaterThan(6600);
    expect(bath.phaseName()).toBe('strike');
    expect(bath.state.outputs.buzzer).toBe(1);
  });
});

describe('a ramp whose resistance climbs', () => {
  function ramping(): { bath: ScriptedBath; set: (ohms: number) => void } {
    let ohms = 0.2;
    const bath = painted(() => ohms).start();
    bath.until(() => bath.state.phase === Phase.ramp, 1, 700).advance(450);
    expect(commanded(bath)).toBeCloseTo(8, 1);
    return { bath, set: (next) => (ohms = next) };
  }

  test('goes on at 1.08 times the lowest resistance, waits at 1.14, and goes on again at 1.04', () => {
    const { bath, set } = ramping();
    set(0.2 * 1.08);
    bath.advance(60);
    expect(bath.state.rampState).toBe(RampState.goesOn);
    set(0.2 * 1.14);
    bath.advance(30);
    expect(bath.state.rampState).toBe(RampState.waits);
    const waitsAt = commanded(bath);
    set(0.2 * 1.08);
    bath.advance(20);
    expect(commanded(bath)).toBe(waitsAt);
    set(0.2 * 1.04);
    bath.advance(20);
    expect(bath.state.rampState).toBe(RampState.goesOn);
    expect(commanded(bath)).toBeGreaterThan(waitsAt);
    expect(bath.state.unacknowledged).toBe(false);
  });

  test('backs off when the clip lets go, to seven tenths of what flows, calls, and climbs again from there when contact is back', () => {
    const { bath, set } = ramping();
    const before = commanded(bath);
    set(0.36);
    bath.until(() => bath.state.rampBacksOff, 0.2, 20);
    expect(bath.phaseName()).toBe('ramp');
    const low = commanded(bath);
    expect(low).toBeGreaterThan(0.7 * before - 0.01);
    expect(low).toBeLessThan(0.7 * before + 0.06);
    bath.advance(2);
    expect(bath.isRaised(Condition.contactWeakInStart)).toBe(true);
    expect(bath.state.outputs.buzzer).toBe(1);
    set(0.2);
    bath.until(() => !bath.state.rampBacksOff, 0.2, 60);
    const fromSeconds = bath.seconds;
    expect(commanded(bath)).toBeGreaterThan(low - 0.01);
    expect(commanded(bath)).toBeLessThan(low + 0.05);
    // No jump back: along the slope.
    bath.advance(90);
    expect(commanded(bath)).toBeCloseTo(low + (90 * 16) / 1800, 1);
    bath.until(() => bath.state.phase === Phase.plate, 1, 3000);
    expect(bath.seconds - fromSeconds).toBeGreaterThan(((20 - low) / 16) * 1800 - 5);
    expect(bath.seconds - fromSeconds).toBeLessThan(((20 - low) / 16) * 1800 + 5);
    expect(bath.isRaised(Condition.contactWeakInStart)).toBe(false);
  });

  test('keeps backing off, down to the first low current, while contact stays away, and never trips or holds', () => {
    const { bath, set } = ramping();
    set(1e6);
    bath.advance(120);
    expect(bath.phaseName()).toBe('ramp');
    expect(commanded(bath)).toBeCloseTo(0.8, 6);
    expect(bath.state.rampState).toBe(RampState.backsOff);
    expect(bath.raised()).toEqual([Condition.contactWeakInStart]);
    set(0.2);
    bath.advance(30);
    expect(bath.state.rampState).toBe(RampState.goesOn);
    expect(commanded(bath)).toBeLessThan(1.1);
  });

  test('a clip that is away for under 3 s changes nothing but a moment of waiting', () => {
    const { bath, set } = ramping();
    bath.untilLookIsDue();
    set(1e6);
    bath.advance(2);
    set(0.2);
    bath.advance(20);
    expect(bath.toldOf(EventKind.conditionRaised).map(({ code }) => code)).not.toContain(Condition.contactWeakInStart);
    expect(bath.state.rampState).toBe(RampState.goesOn);
  });

  test('a touch of a moment holds it up for ten minutes at most', () => {
    const { bath, set } = ramping();
    set(0.08);
    bath.advance(2);
    set(0.2);
    bath.until(() => bath.state.phase === Phase.plate, 1, 1800 - 450 + 600);
  });

  test('takes no turning part for a contact that goes: resistance up and down by 15 % in ten seconds costs a quarter of an hour at most', () => {
    const bath: ScriptedBath = painted(() => 0.2 * (1 + 0.15 * Math.sin((2 * Math.PI * bath.seconds) / 10)));
    bath.start().until(() => bath.state.phase === Phase.plate, 0.2, 2400 + 900);
    expect(bath.toldOf(EventKind.conditionRaised, Condition.contactWeakInStart)).toEqual([]);
  });

  test('from no current at all, climbs out of the dead zone of a supply and the offset of a shunt', () => {
    const bath = bathIn('ready', { ...lampshade, strikeAmps: 0, strikeSeconds: 0 });
    bath.currentFor = (amps) => Math.max(0, amps - 0.09) - 0.002;
    bath.press('startPressed').until(() => bath.state.phase === Phase.ramp, 0.2, 60);
    bath.until(() => bath.state.phase === Phase.plate, 1, 1900);
  });

  test('waits for a supply that gives less than half of what is permitted, and then the band is judged', () => {
    const { bath } = ramping();
    bath.currentFor = (amps) => amps * 0.4;
    bath.advance(20);
    expect(bath.state.rampState).toBe(RampState.waits);
    expect(bath.raised()).toEqual([Condition.currentOutsideBand]);
  });

  test('a derating or a lowering in the ramp is no loss of contact, also where the electrodes take half a volt', () => {
    for (const spoil of [
      (bath: ScriptedBath): unknown => (bath.inputs.agitationStopped = true),
      (bath: ScriptedBath): unknown => ((bath.inputs.lowerToAmps = 5), bath.command(Command.lower)),
    ]) {
      const bath = bathIn('ramp').advance(900);
      spoil(bath);
      bath.advance(60);
      expect(bath.state.rampState).toBe(RampState.goesOn);
    }
  });
});

describe('the person at the bath', () => {
  test('pauses the ramp and lets it go on', () => {
    const bath = bathIn('ramp').advance(450).press('startPressed');
    expect(bath.state.rampState).toBe(RampState.paused);
    const amps = commanded(bath);
    bath.advance(600);
    expect(commanded(bath)).toBe(amps);
    bath.press('startPressed').advance(90);
    expect(commanded(bath)).toBeCloseTo(amps + (90 * 16) / 1800, 1);
    expect(rampEvents(bath)).toEqual([1, 2]);
    // thousandths; the step of the press itself still climbed
    expect(Math.abs(bath.toldOf(EventKind.rampTold)[0]!.a - amps * 1000)).toBeLessThan(3);
  });

  test('skips strike and ramp by holding start down, and only with a press that began in that phase', () => {
    const bath = bathIn('strike');
    bath.inputs.startHeld = true;
    bath.step();
    bath.inputs.startHeld = false;
    expect(bath.phaseName()).toBe('strike');
    for (const next of ['ramp', 'plate']) {
      bath.press('startPressed').advance(1.8);
      bath.inputs.startHeld = true;
      bath.step();
      bath.inputs.startHeld = false;
      expect(bath.phaseName()).toBe(next);
      expect(bath.state.rampState).toBe(RampState.goesOn);
    }
    expect(rampEvents(bath)).toEqual([1, 3, 1, 3]);
  });

  test('the press that starts the run may be held for long: it skips nothing', () => {
    const bath = bathIn('ready').press('startPressed').advance(1.8);
    expect(bath.phaseName()).toBe('strike');
    bath.inputs.startHeld = true;
    bath.step();
    expect(bath.phaseName()).toBe('strike');
    expect(rampEvents(bath)).toEqual([]);
  });

  test('the press that leaves a hold skips nothing either', () => {
    const bath = bathIn('hold').press('startPressed');
    bath.inputs.startHeld = true;
    bath.step();
    expect(bath.phaseName()).toBe('ramp');
    expect(rampEvents(bath)).toEqual([]);
  });

  test('doubles what is left of the start each time reset is held', () => {
    const bath = bathIn('ramp');
    bath.until(() => commanded(bath) >= 12, 1, 1000);
    const amps = commanded(bath);
    const hold = (): void => {
      bath.inputs.resetHeld = true;
      bath.step();
      bath.inputs.resetHeld = false;
    };
    hold();
    bath.advance(180);
    expect(commanded(bath)).toBeCloseTo(amps + (180 * 8) / 1800, 1);
    hold();
    const again = commanded(bath);
    bath.advance(180);
    expect(commanded(bath)).toBeCloseTo(again + (180 * 4) / 1800, 1);
    expect(rampEvents(bath)).toEqual([4, 4]);
  });

  test('accepts the resistance that is there by pausing and going on', () => {
    let ohms = 0.2;
    const bath = painted(() => ohms).start();
    bath.until(() => bath.state.phase === Phase.ramp, 1, 700).advance(450);
    ohms = 0.26;
    bath.advance(20);
    expect(bath.state.rampState).toBe(RampState.waits);
    bath.press('startPressed').press('startPressed').advance(3);
    expect(bath.state.rampState).toBe(RampState.goesOn);
  });

  test('a pause does not stand in the way of backing off', () => {
    let ohms = 0.2;
    const bath = painted(() => ohms).start();
    bath.until(() => bath.state.phase === Phase.ramp, 1, 700).advance(450);
    bath.press('startPressed');
    ohms = 0.5;
    bath.advance(10);
    expect(bath.state.rampState).toBe(RampState.backsOff);
    ohms = 0.2;
    bath.advance(40);
    expect(bath.state.rampState).toBe(RampState.paused);
    const amps = commanded(bath);
    bath.advance(60);
    expect(commanded(bath)).toBe(amps);
  });
});

describe('lowered from afar', () => {
  function lower(bath: ScriptedBath, amps: number): number {
    bath.inputs.lowerToAmps = amps;
    bath.command(Command.lower);
    return bath.toldOf(EventKind.commandAnswered).at(-1)!.b;
  }

  test.each([
    ['what was asked', 12, 12],
    ['no lower than the keep-alive current', 1, 3],
    ['no lower than the keep-alive current', 0, 3],
    ['no higher than what is commanded now', 30, 20],
  ])('in plate is %s: %d A asked, %d A', (_what, asked, amps) => {
    const bath = bathIn('plate');
    expect(lower(bath, asked)).toBe(0);
    expect(commanded(bath)).toBe(amps);
    expect(bath.toldOf(EventKind.lowered)).toMatchObject([{ a: amps * 1000 }]);
    bath.advance(600);
    expect(commanded(bath)).toBe(amps);
  });

  test('is only ever lowered further, and lifted by a press of start in plate alone', () => {
    const bath = bathIn('plate');
    lower(bath, 12);
    lower(bath, 15);
    expect(commanded(bath)).toBe(12);
    lower(bath, 8);
    expect(commanded(bath)).toBe(8);
    bath.press('resetPressed').command(Command.acknowledge).advance(60);
    expect(commanded(bath)).toBe(8);
    bath.press('startPressed').until(() => bath.state.phase === Phase.plate, 1, 3000);
    expect(commanded(bath)).toBe(20);
    expect(rampEvents(bath)).toEqual([5]);
    expect(bath.press('startPressed').toldOf(EventKind.rampTold)).toHaveLength(1);
  });

  test("when lifted climbs on the recipe's slope, and does not jump", () => {
    const bath = bathIn('plate');
    lower(bath, 8);
    bath.advance(60).press('startPressed');
    expect(bath.phaseName()).toBe('ramp');
    expect(commanded(bath)).toBe(8);
    bath.advance(450);
    // 16/1800 A each second: 4 A in 450 s
    expect(commanded(bath)).toBeCloseTo(12, 6);
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase === Phase.plate, 0.2, 3000);
    expect(bath.seconds - fromSeconds).toBeCloseTo(900, 0);
    expect(commanded(bath)).toBe(20);
  });

  test('while derated counts against the whole: the derating takes its share of it once', () => {
    const bath = bathIn('plate');
    bath.inputs.filterStopped = true;
    bath.advance(4);
    expect(commanded(bath)).toBe(10);
    lower(bath, 15);
    expect(bath.toldOf(EventKind.lowered)).toMatchObject([{ a: 15000 }]);
    bath.advance(4);
    expect(commanded(bath)).toBe(7.5);
    bath.inputs.filterStopped = false;
    bath.advance(14);
    expect(commanded(bath)).toBe(15);
  });

  test('in the ramp caps it there, and stays through a hold', () => {
    const bath = bathIn('ramp').advance(450);
    lower(bath, 6);
    bath.command(Command.hold).press('startPressed');
    bath.until(() => bath.state.phase === Phase.plate, 1, 3000);
    expect(commanded(bath)).toBe(6);
  });

  test('in strike, where less than the keep-alive current may flow, it raises nothing', () => {
    const bath = bathIn('strike', { ...lampshade, strikeAmps: 2 });
    expect(lower(bath, 1)).toBe(0);
    expect(commanded(bath)).toBe(2);
  });

  test.each([[NaN], [-1], [undefined as never]])('to %s is not understood', (amps) => {
    const bath = bathIn('plate');
    expect(lower(bath, amps)).toBe(3);
    expect(commanded(bath)).toBe(20);
    expect(bath.toldOf(EventKind.lowered)).toEqual([]);
  });

  test('ends with the run', () => {
    const bath = bathIn('plate');
    lower(bath, 8);
    bath.press('stopPressed').press('resetPressed').start();
    expect(bath.state.loweredToAmps).toBeGreaterThan(1000);
  });
});
