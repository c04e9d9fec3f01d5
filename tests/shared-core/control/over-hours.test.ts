/*
 * What is judged over minutes and hours: trends of temperature and voltage, a probe that is stuck, waits that have an end.
 * Limits and times are our own practice; no outside source.
 */
import { Command, Condition, EventKind, Phase } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, type ScriptedBath } from './scripted-bath.js';

const raisedAt = (bath: ScriptedBath, code: Condition): number | undefined =>
  bath.told.find((event) => event.kind === EventKind.conditionRaised && event.code === code)?.atSeconds;

describe('a bath that gets warmer', () => {
  /** From 24 degrees, so many an hour, as a probe with steps of 1/16 degree shows it. */
  function warming(celsiusPerHour: number): { bath: ScriptedBath; fromSeconds: number } {
    const bath = bathIn('plate');
    const fromSeconds = bath.seconds;
    bath.beforeStep = () => {
      const celsius = 24 + ((bath.seconds - fromSeconds) / 3600) * celsiusPerHour;
      bath.inputs.bathCelsius = Math.floor(celsius * 16) / 16;
    };
    return { bath, fromSeconds };
  }

  test.each([6, 4, 2])('by %d degrees an hour is told of about an hour before its hold limit', (celsiusPerHour) => {
    const { bath, fromSeconds } = warming(celsiusPerHour);
    const reachedSeconds = (8 / celsiusPerHour) * 3600;
    const expectedSeconds = Math.max(reachedSeconds - 3600, 600);
    bath.advance(expectedSeconds + 1200);
    const told = raisedAt(bath, Condition.bathWillOverheat)! - fromSeconds;
    expect(told).toBeGreaterThan(expectedSeconds - 900);
    expect(told).toBeLessThan(expectedSeconds + 900);
  });

  test('is not foretold from a step of the probe by one bit, nor by less than ten minutes', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 27.5;
    bath.state.spans.celsiusCount = 0;
    bath.state.spans.celsiusPerHour = 0;
    bath.advance(1200);
    bath.inputs.bathCelsius = 27.5625;
    bath.advance(1200);
    expect(raisedAt(bath, Condition.bathWillOverheat)).toBeUndefined();
    const steep = warming(40);
    steep.bath.state.spans.celsiusCount = 0;
    steep.bath.advance(590);
    expect(raisedAt(steep.bath, Condition.bathWillOverheat)).toBeUndefined();
  });

  test('begins anew when the probe failed in between', () => {
    const { bath } = warming(8);
    bath.advance(500);
    bath.inputs.probeFault = 1;
    bath.advance(2);
    bath.inputs.probeFault = 0;
    bath.advance(400);
    expect(raisedAt(bath, Condition.bathWillOverheat)).toBeUndefined();
  });
});

describe('an anode that passivates', () => {
  /** The voltage climbs by so much a minute, up to the ceiling, at the same current. */
  const climbing = (bath: ScriptedBath, fromVolts: number, voltsPerMinute: number): void => {
    const fromSeconds = bath.seconds;
    bath.voltsFor = (amps) =>
      (Math.min(8, fromVolts + ((bath.seconds - fromSeconds) / 60) * voltsPerMinute) * amps) / 20;
  };

  test('is derated to half, and given half an hour before full current is tried again', () => {
    const bath = bathIn('plate');
    climbing(bath, 4, 0.3);
    bath.until(() => bath.isRaised(Condition.anodePassivating), 0.2, 1200);
    expect(bath.inputs.terminalVolts).toBeGreaterThanOrEqual(7.2);
    expect(bath.state.outputs.permittedAmps).toBe(10);
    expect(bath.phaseName()).toBe('plate');
    bath.voltsFor = (amps) => 0.5 + 0.12 * amps;
    bath.advance(1790);
    expect(bath.state.outputs.permittedAmps).toBe(10);
    bath.advance(20);
    expect(bath.state.outputs.permittedAmps).toBe(20);
    bath.press('resetPressed').advance(600);
    expect(bath.raised()).toEqual([]);
  });

  test('is not seen in a voltage that is high and steady, nor in one that rises slowly', () => {
    const bath = bathIn('plate');
    bath.voltsFor = () => 7.4;
    bath.state.spans.voltsCount = 0;
    bath.advance(1200);
    climbing(bath, 7.3, 0.02);
    bath.advance(1200);
    expect(raisedAt(bath, Condition.anodePassivating)).toBeUndefined();
  });

  test('is not seen in a voltage that rises because the current does', () => {
    const bath = bathIn('ready');
    bath.voltsFor = (amps) => 0.37 * amps;
    bath.press('startPressed').until(() => bath.phaseName() === 'plate', 0.2, 3000);
    bath.advance(900);
    expect(raisedAt(bath, Condition.anodePassivating)).toBeUndefined();
  });
});

describe('a probe that is stuck', () => {
  const stuck = (): ScriptedBath => {
    const bath = bathIn('plate');
    bath.isBathStill = true;
    bath.inputs.bathCelsius = 24;
    bath.state.spans.stillMs = 0;
    return bath;
  };

  test('is warned of after two hours and holds after six', () => {
    const bath = stuck();
    bath.advance(7198);
    expect(bath.raised()).toEqual([]);
    bath.advance(4);
    expect(bath.raised()).toEqual([Condition.probeStuck]);
    // The scripted run ends before six hours are over: most of them are put on the account.
    bath.state.spans.stillMs += 14_340_000;
    bath.press('resetPressed').advance(54);
    expect(bath.phaseName()).toBe('plate');
    bath.advance(6);
    expect(bath.phaseName()).toBe('hold');
    bath.inputs.bathCelsius = 24.0625;
    bath.advance(2);
    expect(bath.isRaised(Condition.probeStuckLong)).toBe(false);
    expect(bath.phaseName()).toBe('hold');
  });

  test('is counted only while current flows', () => {
    const bath = stuck();
    bath.advance(1800);
    bath.press('stopPressed').advance(7200);
    expect(bath.raised()).toEqual([]);
    expect(bath.state.spans.stillMs).toBeLessThan(1_802_000);
  });
});

describe('every wait has an end', () => {
  test('an hour of derating is a hold, and after the press a new hour begins', () => {
    const bath = bathIn('plate');
    bath.inputs.agitationStopped = true;
    bath.advance(3590);
    expect(bath.phaseName()).toBe('plate');
    bath.advance(16);
    expect(bath.phaseName()).toBe('hold');
    expect(bath.toldOf(EventKind.conditionRaised, Condition.longestDerate)).toHaveLength(1);
    bath.press('startPressed').advance(1800);
    expect(bath.phaseName()).toBe('ramp');
    bath.advance(1810);
    expect(bath.phaseName()).toBe('hold');
  });

  test('a cold bath is plated at half the current for as long as it is cold, and never held for that', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 15;
    bath.advance(7200);
    expect(bath.raised()).toContain(Condition.bathCold);
    expect(bath.phaseName()).toBe('plate');
    expect(bath.state.derateFraction).toBe(0.5);
  });

  test('two hours of hold call again though they were acknowledged, and stay in hold', () => {
    const bath = bathIn('plate');
    bath.command(Command.hold);
    bath.press('resetPressed').advance(7195);
    expect(bath.state.outputs.buzzer).toBe(0);
    bath.advance(10);
    expect(bath.state.outputs.buzzer).toBe(1);
    expect(bath.raised()).toEqual([Condition.longestHold]);
    expect(bath.phaseName()).toBe('hold');
  });

  test('ten minutes without an acknowledgement are told, and are over with it', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 28;
    bath.advance(35);
    expect(bath.state.outputs.buzzer).toBe(1);
    bath.advance(590);
    expect(bath.isRaised(Condition.notAcknowledged)).toBe(false);
    bath.advance(10);
    expect(bath.isRaised(Condition.notAcknowledged)).toBe(true);
    bath.command(Command.acknowledge).advance(1);
    expect(bath.isRaised(Condition.notAcknowledged)).toBe(false);
    expect(bath.state.outputs.buzzer).toBe(0);
  });

  test('strike and ramp together are judged, whatever holds them up', () => {
    const bath = bathIn('strike');
    bath.voltsFor = () => 7.7; // at the ceiling: it waits
    bath.advance(6590);
    expect(bath.isRaised(Condition.longestPhase)).toBe(false);
    bath.advance(15);
    expect(bath.isRaised(Condition.longestPhase)).toBe(true);
    expect(bath.state.phase).toBe(Phase.strike);
  });

  test('a dashboard that is not heard is noted, and calls nobody', () => {
    const bath = bathIn('plate');
    bath.inputs.dashboardSilentSeconds = 901;
    bath.advance(1200);
    expect(bath.raised()).toEqual([Condition.dashboardUnseen]);
    expect(bath.state.unacknowledged).toBe(false);
    expect(bath.phaseName()).toBe('plate');
  });
});
