/*
 * What a start must not take over from the one before it, nor from a reading that cannot be believed. Expected times are those of the first
 * start: a second of current the right way, 5 s of announcement, 5 s for the alert latch.
 */
import {
  Command,
  Condition,
  createRunState,
  EventKind,
  journalOf,
  Permissive,
  Phase,
  restoreRun,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, ScriptedBath } from './scripted-bath.js';

/** Tripped in this phase by the emergency stop, reset, and pressed again. */
function startedAgain(phase: keyof typeof Phase): ScriptedBath {
  const bath = bathIn(phase);
  bath.inputs.emergencyStopPressed = true;
  bath.step();
  bath.inputs.emergencyStopPressed = false;
  bath.advance(5).press('resetPressed');
  bath.until(() => bath.state.outputs.contactorEnabled, 0.2, 60);
  return bath.press('startPressed');
}

describe('polarity', () => {
  test.each(['strike', 'plate'] as const)('is proven for a whole second again after a trip in %s', (phase) => {
    const bath = startedAgain(phase);
    bath.advance(1);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
  });

  test('is not proven by what a monitor shows that is at fault', () => {
    const bath = bathIn('polarity').advance(0.6);
    bath.inputs.monitorFault = 1;
    bath.step();
    bath.inputs.monitorFault = 0;
    bath.advance(1);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
  });

  test('is not proven by no current where none is permitted', () => {
    const bath = bathIn('polarity');
    bath.limits = { ...bath.limits, currentAmpsMax: 0 };
    bath.voltsFor = () => 1;
    bath.currentFor = () => 0;
    bath.advance(10);
    expect(bath.phaseName()).toBe('polarity');
    expect(bath.state.outputs.permittedAmps).toBe(0);
  });

  test('a start that had no current does not spoil the next', () => {
    const bath = bathIn('ready');
    bath.currentFor = () => 0;
    bath.press('startPressed').advance(32);
    expect(bath.raised()).toEqual([Condition.noCurrentAtStart]);
    bath.currentFor = (amps) => amps;
    bath.press('resetPressed');
    bath.start();
    expect(bath.raised()).toEqual([]);
    bath.command(Command.stop);
    expect(bath.phaseName()).toBe('done');
  });
});

describe('a run', () => {
  test('that never had a current is not one that goes on: the next start is its first', () => {
    const bath = bathIn('ready');
    bath.inputs.leakSeen = true;
    bath.advance(4);
    expect(bath.phaseName()).toBe('trip');
    bath.inputs.leakSeen = false;
    bath.advance(12).press('resetPressed');
    bath.start();
    expect(bath.toldOf(EventKind.interruption)).toEqual([]);
    expect(bath.toldOf(EventKind.runStarted)).toMatchObject([{ b: 1 }]);
  });

  test.each([
    ['charge, to the millicoulomb,', { chargeMilliCoulombs: 180_000_000 }, Condition.chargeReached],
    ['time, to the millisecond,', { liveMs: 36_000_000 }, Condition.longestRun],
  ])('that tripped with its %s used up does not go on', (_what, spent, because) => {
    const bath = bathIn('trip');
    Object.assign(bath.state, spent);
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('done');
    expect(bath.toldOf(EventKind.runEnded)).toMatchObject([{ code: because }]);
  });

  test('that is done is not done once more by a reset', () => {
    const bath = bathIn('done');
    bath.told.splice(0);
    bath.press('resetPressed').advance(1);
    expect(bath.toldOf(EventKind.phaseEntered)).toEqual([]);
  });

  test('that is held is not held anew by the command: two hours are counted from the first', () => {
    const bath = bathIn('hold');
    bath.told.splice(0);
    bath.command(Command.hold);
    expect(bath.toldOf(EventKind.phaseEntered)).toEqual([]);
    expect(bath.toldOf(EventKind.commandAnswered)).toMatchObject([{ code: Command.hold, b: 0 }]);
  });
});

describe('a controller that was restarted in ready', () => {
  test('proves its alert latch before it lets a press start anything', () => {
    const after = new ScriptedBath();
    after.latchWorks = false;
    restoreRun(after.state, { ...journalOf(bathIn('ready').state) });
    after.advance(2);
    expect(after.phaseName()).toBe('ready');
    expect(after.state.permissivesMissing & (1 << (Permissive.alertLatchProven - 1))).not.toBe(0);
    expect(after.state.outputs.contactorEnabled).toBe(false);
    expect(after.state.outputs.alertTestOn).toBe(true);
  });

  test('has a supply that can be set from here, unless it is told otherwise', () => {
    expect(createRunState().supplyKind).toBe(SupplyKind.analogue);
  });
});

describe('a motor that is started again', () => {
  /** Seconds of the loud buzzer before each restart, and between the restarts. */
  function restarts(pulsesPerMinute: number): { readonly announced: number[]; readonly apart: number[] } {
    const bath = bathIn('plate', { ...lampshade, rotationPulsesPerMinute: pulsesPerMinute });
    bath.isTurning = false;
    const announced: number[] = [];
    const startedAt: number[] = [];
    let sinceSeconds = NaN;
    while (startedAt.length < 3 && bath.seconds < 20_000) {
      bath.step();
      const { motorOn, buzzer } = bath.state.outputs;
      if (buzzer !== 2) {
        if (motorOn && sinceSeconds > 0) {
          announced.push(bath.seconds - sinceSeconds);
          startedAt.push(bath.seconds);
        }
        sinceSeconds = NaN;
      } else if (isNaN(sinceSeconds)) sinceSeconds = bath.seconds;
    }
    return { announced, apart: startedAt.slice(1).map((at, index) => at - startedAt[index]!) };
  }

  test('is announced for 5 s each time', () => {
    const { announced } = restarts(6);
    expect(announced).toHaveLength(3);
    for (const seconds of announced) expect(seconds).toBeGreaterThan(4.9);
  });

  test('has the time of two pulses that are missed to show one, where the part turns slowly', () => {
    // 2.2 periods of 30 s, and the announcement of the next
    for (const seconds of restarts(2).apart) {
      expect(seconds).toBeGreaterThanOrEqual(71 - 1e-6);
      expect(seconds).toBeLessThan(74);
    }
  });
});

test.each([
  ['idle', (): ScriptedBath => new ScriptedBath()],
  ['trip', (): ScriptedBath => bathIn('plate'), (bath: ScriptedBath): unknown => (bath.inputs.leakSeen = true)],
  ['done', (): ScriptedBath => bathIn('plate'), (bath: ScriptedBath): unknown => (bath.inputs.stopPressed = true)],
] as const)('the alert latch is not tested in %s', (phase, begun, leads?: (bath: ScriptedBath) => unknown) => {
  const bath = begun();
  // (A latch that opened would end its test at once.)
  bath.latchWorks = false;
  leads?.(bath);
  bath.advance(4);
  expect(bath.phaseName()).toBe(phase);
  expect(bath.state.outputs.alertTestOn).toBe(false);
});

test('a restart in mid-run tells the charge in coulombs', () => {
  const after = new ScriptedBath();
  restoreRun(after.state, { ...journalOf(bathIn('plate').state), chargeMilliCoulombs: 5_000_000 });
  after.step();
  expect(after.toldOf(EventKind.phaseEntered, Phase.trip)).toMatchObject([{ a: Phase.plate, b: 5000 }]);
});

test('a command that does not exist is answered as not understood', () => {
  const bath = bathIn('plate');
  bath.command(9 as never);
  expect(bath.toldOf(EventKind.commandAnswered)).toMatchObject([{ code: 9, b: 3 }]);
});
