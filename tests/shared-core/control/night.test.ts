/* A whole run as the supervisor sees it: from the recipe to the open contactor, its holds, interruptions and endings. */
import {
  Command,
  Condition,
  createRunState,
  EventKind,
  journalOf,
  Permissive,
  Phase,
  RecipeFault,
  restoreRun,
  runLimitAmps,
} from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, rig, ScriptedBath } from './scripted-bath.js';

const { phaseEntered, runStarted, runEnded, interruption } = EventKind;

describe('a run from the recipe to the open contactor', () => {
  test('goes through polarity, strike, ramp, plate and finish, opens, and has the charge that was asked for', () => {
    const bath = new ScriptedBath();
    bath.advance(1);
    expect(bath.offer(lampshade)).toBe(RecipeFault.none);
    bath.start();
    const entered: Record<string, number> = {};
    const startedAtSeconds = bath.seconds;
    let last = bath.state.phase;
    bath.until(() => {
      if (bath.state.phase !== last) entered[bath.phaseName()] = bath.seconds - startedAtSeconds;
      last = bath.state.phase;
      return last === Phase.done;
    });
    // 600 s at 4 A, 1800 s rising to 20 A (mean 12 A), then 20 A: (180 000 C - 2 400 C - 21 600 C) / 20 A = 7 800 s
    expect(entered['ramp']).toBeCloseTo(600, 6);
    expect(entered['plate']).toBeCloseTo(2400, 6);
    expect(entered['finish']).toBeGreaterThan(10_199);
    expect(entered['finish']).toBeLessThan(10_203);
    expect(entered['done']! - entered['finish']!).toBeCloseTo(3600, 6);
    expect(bath.state.chargeMilliCoulombs / 1000).toBeCloseTo(180_000 + 2 * 3600, -2);
    expect(bath.state.outputs).toEqual({
      contactorEnabled: false,
      permittedAmps: 0,
      motorOn: false,
      buzzer: 0,
      alertLimitAmps: 24,
      alertTestOn: false,
      supplyEnabled: false,
    });
    expect(bath.toldOf(runStarted)).toMatchObject([{ code: 0, a: 41, b: 1 }]);
    expect(bath.toldOf(runEnded)).toMatchObject([{ code: Condition.chargeReached }]);
    expect(bath.toldOf(phaseEntered).map((event) => [event.a, event.code])).toEqual([
      [Phase.idle, Phase.ready],
      [Phase.ready, Phase.polarity],
      [Phase.polarity, Phase.strike],
      [Phase.strike, Phase.ramp],
      [Phase.ramp, Phase.plate],
      [Phase.plate, Phase.finish],
      [Phase.finish, Phase.done],
    ]);
    const done = bath.toldOf(phaseEntered, Phase.done)[0]!;
    expect(done.b).toBe(Math.round(bath.state.chargeMilliCoulombs / 1000));
  });

  test('finishes when its longest time is used up, hold included, and says so', () => {
    const bath = bathIn('plate', { ...lampshade, longestSeconds: 4000 });
    bath.command(Command.hold);
    bath.until(() => bath.state.phase !== Phase.hold, 1);
    expect(bath.phaseName()).toBe('finish');
    expect(bath.state.liveMs / 1000).toBeGreaterThanOrEqual(4000);
    expect(bath.state.liveMs / 1000).toBeLessThan(4001.5);
    // a hold that is asked for now would let the run last for ever
    bath.command(Command.hold);
    expect(bath.phaseName()).toBe('finish');
    expect(bath.toldOf(EventKind.commandAnswered).at(-1)).toMatchObject({ code: Command.hold, b: 1 });
    bath.until(() => bath.state.phase !== Phase.finish, 1);
    expect(bath.toldOf(runEnded)).toMatchObject([{ code: Condition.longestRun }]);
  });

  test('out of a hold its longest time lets no more flow than the hold did', () => {
    const bath = bathIn('plate', { ...lampshade, finishAmps: 20, longestSeconds: 4000 });
    bath.command(Command.hold);
    bath.until(() => bath.state.phase !== Phase.hold, 1);
    expect(bath.phaseName()).toBe('finish');
    expect(bath.advance(60).state.outputs.permittedAmps).toBe(lampshade.holdAmps);
  });

  test('a second recipe is a second run with its own number, charge and time', () => {
    const bath = bathIn('done');
    expect(bath.offer({ ...lampshade, recipeId: 42 })).toBe(RecipeFault.none);
    expect(bath.state.chargeMilliCoulombs).toBe(0);
    expect(bath.state.liveMs).toBe(0);
    bath.start();
    expect(bath.state.runNumber).toBe(2);
    expect(bath.toldOf(runStarted)[1]).toMatchObject({ a: 42, b: 2 });
    expect(bath.isRaised(Condition.chargeReached)).toBe(false);
    expect(bath.toldOf(interruption)).toEqual([]);
  });

  test('zero strike and ramp times go straight on to plating', () => {
    const bath = bathIn('ready', { ...lampshade, strikeSeconds: 0, rampSeconds: 0 });
    bath.start().advance(1);
    expect(bath.phaseName()).toBe('plate');
    expect(bath.state.outputs.permittedAmps).toBe(20);
  });

  test('a recipe whose strike is its plating current has a ramp without height', () => {
    const bath = bathIn('strike', { ...lampshade, strikeAmps: 20 });
    bath.until(() => bath.state.phase !== Phase.strike, 5);
    bath.advance(1);
    expect(bath.phaseName()).toBe('plate');
    expect(bath.state.outputs.permittedAmps).toBe(20);
  });
});

describe('ready', () => {
  test('lets the press close the contactor only while nothing is missing', () => {
    const bath = bathIn('ready');
    expect(bath.state.permissivesMissing).toBe(0);
    expect(bath.state.outputs.contactorEnabled).toBe(true);
    bath.inputs.bathCelsius = 17.9;
    bath.step();
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive.bathWithinStartBand - 1));
    expect(bath.state.outputs.contactorEnabled).toBe(false);
    bath.press('startPressed').advance(4);
    expect(bath.phaseName()).toBe('ready');
    bath.inputs.bathCelsius = 18;
    bath.step();
    expect(bath.state.outputs.contactorEnabled).toBe(true);
  });

  test('a press in the very step in which the last permissive comes does not count: it closed nothing', () => {
    const bath = bathIn('ready');
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    bath.inputs.emergencyStopPressed = false;
    bath.contactorFor = () => false;
    bath.press('startPressed').advance(5);
    expect(bath.phaseName()).toBe('ready');
    expect(bath.raised()).toEqual([]);
  });

  test('starts when the feedback comes after the press, and when it comes before it', () => {
    for (const feedbackAfterSteps of [0, 1, 10]) {
      const bath = bathIn('ready');
      bath.contactorFor = () => false;
      bath.press('startPressed');
      for (let steps = 1; steps < feedbackAfterSteps; steps++) bath.step();
      bath.contactorFor = (enabled) => enabled;
      bath.step();
      expect(bath.phaseName()).toBe('polarity');
      expect(bath.state.outputs.permittedAmps).toBeCloseTo(0.8, 6);
    }
    const bath = bathIn('ready');
    bath.contactorFor = (enabled) => enabled;
    bath.advance(1);
    expect(bath.phaseName()).toBe('ready');
    expect(bath.state.outputs.permittedAmps).toBe(0);
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('polarity');
  });

  test('a permissive that goes while the feedback is awaited opens the chain again', () => {
    const bath = bathIn('ready');
    bath.contactorFor = () => false;
    bath.press('startPressed');
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    expect(bath.state.outputs.contactorEnabled).toBe(false);
    bath.inputs.emergencyStopPressed = false;
    bath.step();
    bath.contactorFor = (enabled) => enabled;
    bath.advance(1);
    expect(bath.phaseName()).toBe('ready');
  });

  test('asks for an open contactor and dead terminals until the press, and no longer while it closes', () => {
    const bath = bathIn('ready');
    bath.inputs.terminalVolts = 0.5;
    bath.step();
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive.terminalsBelowHalfVolt - 1));
    bath.inputs.terminalVolts = -0.5;
    bath.step();
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive.terminalsBelowHalfVolt - 1));
    bath.inputs.terminalVolts = 0.49;
    bath.step();
    expect(bath.state.outputs.contactorEnabled).toBe(true);
    bath.voltsFor = () => 2;
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('polarity');
  });

  test.each([
    ['settingsValid', (bath: ScriptedBath): unknown => (bath.settingsAreValid = false)],
    ['recipeLoaded', (bath: ScriptedBath): unknown => (bath.limits = { ...rig, currentAmpsMax: 19.9 })],
    ['recipeLoaded', (bath: ScriptedBath): unknown => (bath.limits = { ...rig, runSecondsMax: 35_999 })],
    ['recipeLoaded', (bath: ScriptedBath): unknown => (bath.limits = { ...rig, bathCelsiusMax: 31 })],
    ['monitorGood', (bath: ScriptedBath): unknown => (bath.inputs.monitorFault = 1)],
    ['monitorGood', (bath: ScriptedBath): unknown => (bath.currentFor = () => NaN)],
    ['monitorGood', (bath: ScriptedBath): unknown => (bath.inputs.terminalVolts = NaN)],
    ['probeGood', (bath: ScriptedBath): unknown => (bath.inputs.probeFault = 3)],
    ['probeGood', (bath: ScriptedBath): unknown => (bath.inputs.bathCelsius = NaN)],
    ['bathWithinStartBand', (bath: ScriptedBath): unknown => (bath.inputs.bathCelsius = 28.1)],
    ['bathWithinStartBand', (bath: ScriptedBath): unknown => (bath.inputs.probeFault = 1)],
    ['emergencyStopReleased', (bath: ScriptedBath): unknown => (bath.inputs.emergencyStopPressed = true)],
    ['alertLatchClosed', (bath: ScriptedBath): unknown => (bath.inputs.alertLatchOpen = true)],
    ['terminalsBelowHalfVolt', (bath: ScriptedBath): unknown => (bath.inputs.terminalVolts = NaN)],
  ] as const)('%s is missing when it should be (row %#), and nothing is enabled', (name, spoil) => {
    const bath = bathIn('ready');
    spoil(bath);
    bath.step();
    expect(bath.state.permissivesMissing & (1 << (Permissive[name] - 1))).not.toBe(0);
    expect(bath.state.outputs.contactorEnabled).toBe(false);
    expect(bath.phaseName()).toBe('ready');
  });

  test('contactorOpen is missing, and nothing enabled, when the contactor is closed before it was', () => {
    const bath = bathIn('idle');
    bath.contactorFor = () => true;
    bath.offer(lampshade);
    bath.advance(1);
    expect(bath.state.permissivesMissing & (1 << (Permissive.contactorOpen - 1))).not.toBe(0);
    expect(bath.state.outputs.contactorEnabled).toBe(false);
  });

  test('rotationSeen wants a pulse within 25 s at six a minute, and turns the part for it', () => {
    const bath = new ScriptedBath();
    bath.isTurning = false;
    bath.advance(1);
    expect(bath.state.outputs.motorOn).toBe(false);
    bath.offer(lampshade);
    bath.advance(7);
    expect(bath.state.outputs.motorOn).toBe(true);
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive.rotationSeen - 1));
    bath.inputs.rotationPulses++;
    bath.step();
    expect(bath.state.permissivesMissing).toBe(0);
    bath.advance(25);
    expect(bath.state.permissivesMissing).toBe(0);
    bath.step();
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive.rotationSeen - 1));
  });

  test('a part that does not turn needs no pulse and runs no motor', () => {
    const bath = new ScriptedBath();
    bath.offer({ ...lampshade, rotationPulsesPerMinute: 0 });
    bath.advance(1);
    expect(bath.state.permissivesMissing).toBe(0);
    expect(bath.state.outputs.motorOn).toBe(false);
    bath.press('startPressed').advance(300);
    expect(bath.raised()).toEqual([]);
    expect(bath.state.outputs.motorOn).toBe(false);
  });

  test('in idle the recipe is what is missing; in done it is spent', () => {
    expect(bathIn('idle').state.permissivesMissing & 2).toBe(2);
    expect(bathIn('done').state.permissivesMissing & 2).toBe(2);
    expect(bathIn('plate').state.permissivesMissing).toBe(0);
  });

  test('a stop withdraws the recipe', () => {
    const bath = bathIn('ready').press('stopPressed');
    expect(bath.phaseName()).toBe('idle');
    expect(bath.state.recipe).toBeUndefined();
    expect(bath.toldOf(runEnded)).toEqual([]);
    expect(bath.state.outputs.contactorEnabled).toBe(false);
  });
});

describe('hold', () => {
  test('keeps the part alive, and only the press at the bath climbs out of it, along the slope of the ramp', () => {
    const bath = bathIn('hold');
    expect(bath.state.outputs).toMatchObject({ permittedAmps: 3, contactorEnabled: true, motorOn: true });
    bath.advance(600).press('resetPressed').command(Command.acknowledge);
    expect(bath.phaseName()).toBe('hold');
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('ramp');
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(3, 6);
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.phase !== Phase.ramp, 1);
    // (20 - 3) A at (20 - 4) A in 1800 s
    expect(bath.seconds - fromSeconds).toBeGreaterThanOrEqual(1912.5);
    expect(bath.seconds - fromSeconds).toBeLessThan(1914);
  });

  test('never lets more flow than flowed before it', () => {
    const strike = bathIn('strike', { ...lampshade, strikeAmps: 2 }).command(Command.hold);
    expect(strike.state.outputs.permittedAmps).toBe(2);
    const finish = bathIn('finish').command(Command.hold);
    expect(finish.phaseName()).toBe('hold');
    expect(finish.state.outputs.permittedAmps).toBe(2);
  });

  test('a strike that was held begins again in full', () => {
    const bath = bathIn('strike').command(Command.hold).press('startPressed');
    expect(bath.phaseName()).toBe('strike');
    expect(bath.state.outputs.permittedAmps).toBe(4);
    bath.advance(599);
    expect(bath.phaseName()).toBe('strike');
    bath.advance(2);
    expect(bath.phaseName()).toBe('ramp');
  });

  test('is not left by the press while its cause stands', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 32;
    bath.advance(32).press('startPressed').advance(2);
    expect(bath.phaseName()).toBe('hold');
    bath.inputs.bathCelsius = 26;
    bath.advance(62);
    expect(bath.phaseName()).toBe('hold');
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('ramp');
  });

  test('waits with a charge that is reached meanwhile, and finishes after the press', () => {
    const bath = bathIn('hold', { ...lampshade, chargeMilliCoulombs: 26_000_000 });
    bath.until(() => bath.isRaised(Condition.chargeReached));
    bath.advance(1);
    expect(bath.phaseName()).toBe('hold');
    bath.press('startPressed').step();
    expect(bath.phaseName()).toBe('finish');
    expect(bath.state.outputs.permittedAmps).toBe(2);
  });

  test('trips when the contactor opens meanwhile', () => {
    const bath = bathIn('hold');
    bath.contactorFor = () => false;
    bath.step();
    expect(bath.phaseName()).toBe('trip');
    expect(bath.raised()).toEqual([Condition.contactorDropped]);
  });
});

describe('an interrupted run', () => {
  test('goes on after trip, reset and start with the same number and charge, strike and ramp anew', () => {
    const bath = bathIn('plate').advance(60);
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    const chargeMilliCoulombs = bath.state.chargeMilliCoulombs;
    expect(bath.state.outputs).toMatchObject({ contactorEnabled: false, permittedAmps: 0, motorOn: false });
    bath.advance(100);
    bath.inputs.emergencyStopPressed = false;
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
    expect(bath.state.chargeMilliCoulombs).toBe(chargeMilliCoulombs);
    bath.advance(20).press('startPressed');
    expect(bath.phaseName()).toBe('polarity');
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(0.8, 6);
    expect(bath.state.runNumber).toBe(1);
    expect(bath.toldOf(runStarted)).toHaveLength(1);
    // 100 s, the reset's step, 20 s, the press's step
    expect(bath.toldOf(interruption)).toMatchObject([{ a: 120, b: 0 }]);
    expect(bath.state.chargeMilliCoulombs).toBe(chargeMilliCoulombs);
    bath.until(() => bath.state.phase !== Phase.polarity, 0.2, 5);
    expect(bath.phaseName()).toBe('strike');
    expect(bath.state.outputs.permittedAmps).toBe(4);
  });

  test('a stop at the bath ends the run, and reset and start take it up again', () => {
    const bath = bathIn('plate').press('stopPressed');
    expect(bath.phaseName()).toBe('done');
    expect(bath.state.outputs).toMatchObject({ contactorEnabled: false, permittedAmps: 0, motorOn: false });
    const chargeMilliCoulombs = bath.state.chargeMilliCoulombs;
    expect(bath.toldOf(runEnded)).toMatchObject([
      { code: 0, a: Math.round(chargeMilliCoulombs / 1000), b: Math.round(bath.state.liveMs / 1000) },
    ]);
    bath.press('startPressed').advance(2);
    expect(bath.phaseName()).toBe('done');
    bath.press('resetPressed').start();
    expect(bath.state.runNumber).toBe(1);
    expect(bath.state.chargeMilliCoulombs).toBeGreaterThan(chargeMilliCoulombs);
    expect(bath.toldOf(interruption)).toHaveLength(1);
    // and it can end a second time
    bath.command(Command.stop);
    expect(bath.toldOf(runEnded)).toHaveLength(2);
  });

  test('a run that is done stays done at a reset', () => {
    expect(bathIn('done').press('resetPressed').phaseName()).toBe('done');
  });

  test('a stop while it waits in ready ends it for good or until the next reset', () => {
    const bath = bathIn('trip').press('resetPressed').advance(1);
    expect(bath.phaseName()).toBe('ready');
    bath.command(Command.stop);
    expect(bath.phaseName()).toBe('done');
    expect(bath.toldOf(runEnded)).toMatchObject([{ code: 0 }]);
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
  });

  test('ends when a new recipe is taken in its place', () => {
    const bath = bathIn('trip').press('resetPressed').advance(1);
    expect(bath.offer({ ...lampshade, recipeId: 43 })).toBe(RecipeFault.none);
    expect(bath.toldOf(runEnded)).toMatchObject([{ code: 0 }]);
    bath.start();
    expect(bath.state.runNumber).toBe(2);
  });

  test('that tripped with its charge reached is done after the reset, and told as ended', () => {
    const bath = bathIn('finish');
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    bath.inputs.emergencyStopPressed = false;
    bath.step();
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('done');
    expect(bath.toldOf(runEnded)).toMatchObject([{ code: Condition.chargeReached }]);
  });

  test('that was done and trips on a welded contactor is not told as ended twice', () => {
    const bath = bathIn('done');
    bath.contactorFor = () => true;
    bath.advance(4);
    expect(bath.phaseName()).toBe('trip');
    bath.contactorFor = () => false;
    bath.advance(2).press('resetPressed');
    expect(bath.phaseName()).toBe('done');
    expect(bath.toldOf(runEnded)).toHaveLength(1);
  });
});

describe('a restart of the controller', () => {
  function restarted(bath: ScriptedBath): ScriptedBath {
    const after = new ScriptedBath();
    restoreRun(after.state, { ...journalOf(bath.state) });
    after.isTurning = bath.isTurning;
    return after;
  }

  test.each(['polarity', 'strike', 'ramp', 'plate', 'finish', 'hold', 'trip'] as const)(
    'in %s is a trip, with the charge, the time, the recipe and the number kept and the contactor open',
    (phase) => {
      const before = bathIn(phase);
      const after = restarted(before);
      expect(after.state.outputs.contactorEnabled).toBe(false);
      after.step();
      expect(after.phaseName()).toBe('trip');
      expect(after.raised()).toEqual([Condition.restartedInRun]);
      expect(after.state.outputs).toMatchObject({ contactorEnabled: false, permittedAmps: 0, buzzer: 2 });
      expect(after.state.chargeMilliCoulombs).toBe(before.state.chargeMilliCoulombs);
      expect(after.state.liveMs).toBe(before.state.liveMs);
      expect(after.state.recipe).toEqual(lampshade);
      expect(after.state.runNumber).toBe(1);
      expect(after.toldOf(phaseEntered)).toMatchObject([{ code: Phase.trip, a: before.state.phase }]);
      expect(after.toldOf(EventKind.conditionRaised)).toMatchObject([{ code: Condition.restartedInRun, a: 0, b: 0 }]);
    },
  );

  test('is left only by the reset, and may not be for days', () => {
    const after = restarted(bathIn('plate'));
    after.advance(100).press('startPressed').press('stopPressed').command(Command.stop);
    expect(after.phaseName()).toBe('trip');
    expect(after.raised()).toEqual([Condition.restartedInRun]);
    after.press('resetPressed');
    expect(after.toldOf(EventKind.conditionCleared)).toMatchObject([{ code: Condition.restartedInRun, a: 101 }]);
  });

  test('goes on after reset and start, as an interruption of unknown length', () => {
    const after = restarted(bathIn('plate'));
    after.advance(1).press('resetPressed');
    expect(after.phaseName()).toBe('ready');
    expect(after.raised()).toEqual([]);
    after.start();
    expect(after.toldOf(interruption)).toMatchObject([{ a: -1 }]);
    expect(after.toldOf(runStarted)).toEqual([]);
  });

  test.each(['idle', 'ready', 'done'] as const)('in %s changes nothing', (phase) => {
    const after = restarted(bathIn(phase));
    after.step();
    expect(after.phaseName()).toBe(phase);
    expect(after.raised()).toEqual([]);
    expect(after.told).toEqual([]);
  });

  test('from a phase that does not exist is a trip', () => {
    const state = createRunState();
    restoreRun(state, { ...journalOf(bathIn('idle').state), phase: 99 as Phase });
    expect(state.phase).toBe(Phase.trip);
    const unreadable = createRunState();
    restoreRun(unreadable, { ...journalOf(bathIn('idle').state), phase: NaN as Phase });
    expect(unreadable.phase).toBe(Phase.trip);
  });

  test('in ready the supply is on again before anything can close, and in a trip it is not', () => {
    const ready = restarted(bathIn('ready'));
    ready.step();
    expect(ready.state.outputs).toMatchObject({ supplyEnabled: true, contactorEnabled: false });
    const trip = restarted(bathIn('plate'));
    trip.step();
    expect(trip.state.outputs.supplyEnabled).toBe(false);
  });

  test('from a ready whose recipe was lost waits for a recipe and enables nothing', () => {
    const after = new ScriptedBath();
    restoreRun(after.state, { ...journalOf(bathIn('ready').state), recipe: undefined });
    after.advance(2).press('startPressed').advance(4);
    expect(after.phaseName()).toBe('ready');
    expect(after.state.outputs.contactorEnabled).toBe(false);
    expect(after.offer(lampshade)).toBe(RecipeFault.none);
  });
});

describe('commands from afar', () => {
  test('are answered once each, 0 where they did something, 1 where the phase has no use for them', () => {
    const answers = (
      ['idle', 'ready', 'polarity', 'strike', 'ramp', 'plate', 'finish', 'done', 'hold', 'trip'] as const
    ).map((phase) =>
      [Command.stop, Command.hold, Command.acknowledge, Command.lower].map((command) => {
        const bath = bathIn(phase);
        bath.inputs.lowerToAmps = 5;
        bath.told.splice(0);
        bath.command(command);
        const told = bath.toldOf(EventKind.commandAnswered);
        expect(told).toHaveLength(1);
        expect(told[0]).toMatchObject({ code: command, a: 0 });
        return told[0]!.b;
      }),
    );
    expect(answers).toEqual([
      [1, 1, 0, 1], // idle
      [0, 1, 0, 1], // ready
      [0, 0, 0, 1], // polarity
      [0, 0, 0, 0], // strike
      [0, 0, 0, 0], // ramp
      [0, 0, 0, 0], // plate
      [0, 0, 0, 1], // finish
      [1, 1, 0, 1], // done
      [0, 0, 0, 1], // hold
      [1, 1, 0, 1], // trip
    ]);
  });

  test('a recipe is not asked of the step', () => {
    const bath = bathIn('plate').command(Command.recipe);
    expect(bath.toldOf(EventKind.commandAnswered)).toEqual([]);
    expect(bath.phaseName()).toBe('plate');
  });
});

describe('the buzzer', () => {
  test('warns until acknowledged, and again at the next new condition', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 28;
    bath.advance(32);
    expect(bath.state.outputs.buzzer).toBe(1);
    bath.command(Command.acknowledge);
    expect(bath.state.outputs.buzzer).toBe(0);
    expect(bath.toldOf(EventKind.acknowledged)).toEqual([]);
    bath.advance(30);
    expect(bath.state.outputs.buzzer).toBe(0);
    bath.inputs.bathCelsius = 32;
    bath.advance(32);
    expect(bath.state.outputs.buzzer).toBe(1);
    bath.press('resetPressed');
    expect(bath.state.outputs.buzzer).toBe(0);
    expect(bath.toldOf(EventKind.acknowledged)).toHaveLength(1);
    bath.press('resetPressed');
    expect(bath.toldOf(EventKind.acknowledged)).toHaveLength(1);
  });

  test('sounds a trip differently, and a reset with the cause still there silences it and resets nothing', () => {
    const bath = bathIn('plate');
    bath.inputs.emergencyStopPressed = true;
    bath.step();
    expect(bath.state.outputs.buzzer).toBe(2);
    bath.press('resetPressed');
    expect(bath.state.outputs.buzzer).toBe(0);
    expect(bath.phaseName()).toBe('trip');
  });

  test('does not call for a charge that is reached, nor for a hold that somebody asked for', () => {
    expect(bathIn('finish').state.outputs.buzzer).toBe(0);
    expect(bathIn('hold').state.outputs.buzzer).toBe(0);
  });

  test('goes on calling for what came and went, until somebody acknowledges it', () => {
    const bath = bathIn('plate');
    bath.inputs.bathCelsius = 28;
    bath.advance(32);
    bath.inputs.bathCelsius = 24;
    bath.advance(63);
    expect(bath.raised()).toEqual([]);
    expect(bath.state.outputs.buzzer).toBe(1);
  });
});

describe('the alert limit', () => {
  test("is the lower of the rig's limit and 1.2 times the recipe's current", () => {
    const { state } = bathIn('ready');
    expect(runLimitAmps(state, rig)).toBe(24);
    expect(runLimitAmps(state, { ...rig, currentAmpsMax: 22 })).toBe(22);
    expect(runLimitAmps(createRunState(), rig)).toBe(35);
    expect(runLimitAmps(state, { ...rig, currentAmpsMax: NaN })).toBe(0);
    expect(state.outputs.alertLimitAmps).toBe(24);
  });
});
