/*
 * The closing order of a start and what guards it: alert-latch test, supply at zero, announced motor, polarity at a low current; and the second
 * means. Expected values are worked out by hand from the recipe: strike 4 A, so the first current is 0.8 A.
 */
import {
  Command,
  Condition,
  EventKind,
  interruptionBegan,
  journalOf,
  Permissive,
  Phase,
  polarityAmps,
  restoreRun,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, ScriptedBath } from './scripted-bath.js';

const missing = (bath: ScriptedBath, permissive: keyof typeof Permissive): boolean =>
  (bath.state.permissivesMissing & (1 << (Permissive[permissive] - 1))) !== 0;

/** In ready for a moment; the latch opens only when it is told to. */
function untested(): ScriptedBath {
  const bath = new ScriptedBath();
  bath.latchWorks = false;
  bath.advance(1);
  bath.offer(lampshade);
  bath.step();
  return bath;
}

describe('the test of the alert latch', () => {
  test('begins in ready with the chain disabled, and proves the latch when it opens', () => {
    const bath = untested();
    expect(bath.state.outputs).toMatchObject({ alertTestOn: true, contactorEnabled: false });
    expect(missing(bath, 'alertLatchProven')).toBe(true);
    bath.inputs.alertLatchOpen = true;
    bath.step();
    expect(bath.state.outputs.alertTestOn).toBe(false);
    expect(missing(bath, 'alertLatchProven')).toBe(false);
    // The person closes it again with its own button; it is not tested twice.
    expect(missing(bath, 'alertLatchClosed')).toBe(true);
    bath.advance(10);
    bath.inputs.alertLatchOpen = false;
    bath.advance(10);
    expect(bath.state.outputs).toMatchObject({ alertTestOn: false, contactorEnabled: true });
    expect(bath.state.permissivesMissing).toBe(0);
  });

  test('a latch that is open already proves nothing: it has to be closed first', () => {
    const bath = untested();
    const { inputs } = bath;
    inputs.alertLatchOpen = true;
    bath.step();
    bath.offer(lampshade);
    bath.advance(10);
    expect(bath.state.outputs.alertTestOn).toBe(false);
    expect(missing(bath, 'alertLatchProven')).toBe(true);
    inputs.alertLatchOpen = false;
    bath.step();
    expect(bath.state.outputs.alertTestOn).toBe(true);
  });

  test('that opens as the press closes the contactor has seen over-current: trips, though the phase was not live yet', () => {
    const bath = bathIn('ready');
    expect(bath.state.outputs.contactorEnabled).toBe(true);
    bath.contactorFor = () => false;
    bath.inputs.startPressed = bath.inputs.alertLatchOpen = true;
    bath.step();
    expect(bath.raised()).toEqual([Condition.alertLatch]);
    expect(bath.phaseName()).toBe('trip');
  });

  test('fails after 5 s without, warns, and is tried again by a reset at the bath alone', () => {
    const bath = untested();
    bath.advance(4.8);
    expect(bath.isRaised(Condition.alertLatchNotOpening)).toBe(false);
    bath.advance(1.2);
    expect(bath.raised()).toEqual([Condition.alertLatchNotOpening]);
    expect(bath.state.outputs).toMatchObject({ alertTestOn: false, contactorEnabled: false });
    bath.advance(3);
    expect(bath.state.outputs.buzzer).toBe(1);
    bath.advance(60).command(Command.acknowledge);
    expect(bath.state.outputs).toMatchObject({ alertTestOn: false, contactorEnabled: false });
    bath.press('resetPressed');
    expect(bath.state.outputs.alertTestOn).toBe(true);
    bath.inputs.alertLatchOpen = true;
    bath.advance(1.2);
    bath.inputs.alertLatchOpen = false;
    bath.advance(1);
    expect(bath.raised()).toEqual([]);
    expect(bath.state.outputs.contactorEnabled).toBe(true);
  });

  test.each([
    ['the contactor is closed', (bath: ScriptedBath) => (bath.contactorFor = () => true)],
    ['the monitor is at fault', (bath: ScriptedBath) => (bath.inputs.monitorFault = 2)],
    ['the terminals are alive', (bath: ScriptedBath) => (bath.inputs.terminalVolts = 0.5)],
    ['nobody can tell the voltage', (bath: ScriptedBath) => (bath.inputs.terminalVolts = NaN)],
    ['nobody can tell the latch', (bath: ScriptedBath) => (bath.inputs.alertLatchOpen = undefined as never)],
  ])('does not run while %s', (_why, spoil) => {
    const bath = untested();
    spoil(bath);
    bath.step();
    expect(bath.state.outputs.alertTestOn).toBe(false);
    bath.advance(2);
    expect(missing(bath, 'alertLatchProven')).toBe(true);
  });

  test('is made anew for each recipe, after each trip, and never outside ready', () => {
    const bath = bathIn('ready');
    bath.latchWorks = false;
    bath.offer({ ...lampshade, recipeId: 42 });
    bath.step();
    expect(bath.state.outputs.alertTestOn).toBe(true);
    bath.press('stopPressed');
    expect(bath.phaseName()).toBe('idle');
    expect(bath.state.outputs.alertTestOn).toBe(false);
    const tripped = bathIn('trip');
    tripped.latchWorks = false;
    tripped.press('resetPressed').step();
    expect(tripped.state.outputs.alertTestOn).toBe(true);
    expect(missing(tripped, 'alertLatchProven')).toBe(true);
  });
});

describe('the further permissives', () => {
  test.each([
    ['supplyAtZero', { supplyAtZero: false }],
    ['supplyAtZero', { supplyAtZero: undefined as never }],
    ['supplyAtZero', { supplyFault: 1 }],
    ['supplyAtZero', { supplyFault: 2 }],
    ['watchersGood', { leakSeen: true }],
    ['watchersGood', { smokeSeen: true }],
    ['watchersGood', { liquidLow: true }],
    ['watchersGood', { clipCelsius: 60 }],
    ['watchersGood', { clipCelsius: NaN }],
    ['memoryGood', { memoryFault: true }],
  ] as const)('%s is missing with %o, alone, and the chain is disabled', (permissive, change) => {
    const bath = bathIn('ready');
    Object.assign(bath.inputs, change);
    bath.step();
    expect(bath.state.permissivesMissing).toBe(1 << (Permissive[permissive] - 1));
    expect(bath.state.outputs.contactorEnabled).toBe(false);
  });

  test.each([{ clipCelsius: 59.9 }, { clipCelsius: -1000 }, { agitationStopped: true }, { filterStopped: true }])(
    'nothing is missing with %o',
    (change) => {
      const bath = bathIn('ready');
      Object.assign(bath.inputs, change);
      bath.step();
      expect(bath.state.permissivesMissing).toBe(0);
    },
  );
});

describe('polarity', () => {
  test.each([
    [4, 20, 0.8],
    [1, 20, 0.2],
    [0.5, 20, 0.2],
    [0.1, 20, 0.1],
    [10, 10, 2],
    [0, 20, 0.2],
    [0, 0.1, 0.1],
  ])('of a strike of %d A towards %d A begins with %d A', (strikeAmps, plateAmps, amps) => {
    expect(polarityAmps({ ...lampshade, strikeAmps, plateAmps })).toBeCloseTo(amps, 9);
  });

  test('goes on to strike when half of it has flowed the right way for a second', () => {
    const bath = bathIn('ready');
    bath.currentFor = (amps) => amps / 2;
    bath.press('startPressed');
    expect(bath.phaseName()).toBe('polarity');
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(0.8, 9);
    bath.step();
    bath.advance(0.8);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
    expect(bath.state.outputs.permittedAmps).toBe(4);
  });

  test.each([
    ['just under half of the current', (bath: ScriptedBath) => (bath.currentFor = (amps) => 0.499 * amps)],
    ['no voltage', (bath: ScriptedBath) => (bath.voltsFor = () => 0)],
  ])('is not proven by %s, and trips after 30 s', (_what, spoil) => {
    const bath = bathIn('ready', { ...lampshade, strikeAmps: 2 });
    spoil(bath);
    bath.press('startPressed').advance(29.8);
    expect(bath.phaseName()).toBe('polarity');
    bath.advance(1.4);
    expect(bath.phaseName()).toBe('trip');
    expect(bath.raised()).toEqual([Condition.noCurrentAtStart]);
    expect(bath.state.outputs).toMatchObject({ contactorEnabled: false, permittedAmps: 0 });
    bath.advance(1).press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
    expect(bath.raised()).toEqual([]);
  });

  describe('through paint that lets less than half of it through', () => {
    /** A supply with a ceiling of 8 V on so many ohms. */
    function throughPaint(ohms: number): ScriptedBath {
      const bath = bathIn('ready');
      bath.currentFor = (amps) => Math.min(amps, 8 / ohms);
      bath.voltsFor = (amps) => amps * ohms;
      return bath.press('startPressed');
    }

    test('is proven by a tenth of an ampere at the ceiling', () => {
      const bath = throughPaint(80);
      bath.until(() => bath.state.phase === Phase.strike, 0.2, 2);
      expect(bath.raised()).toEqual([]);
    });

    test('is not proven by less, nor by as much below 0.95 of the ceiling', () => {
      const less = throughPaint(81).advance(32);
      expect(less.raised()).toEqual([Condition.noCurrentAtStart]);
      const below = bathIn('ready');
      below.currentFor = () => 0.3;
      below.voltsFor = () => 7.59;
      below.press('startPressed').advance(32);
      expect(below.raised()).toEqual([Condition.noCurrentAtStart]);
    });
  });

  test('starts its second anew when the current was gone for a moment', () => {
    const bath = bathIn('ready');
    bath.press('startPressed').advance(0.8);
    bath.currentFor = () => 0;
    bath.step();
    bath.currentFor = (amps) => amps;
    bath.advance(1);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('strike');
  });

  test('waits five minutes for a person who sets the supply by hand', () => {
    const bath = bathIn('ready', lampshade, SupplyKind.byHand);
    bath.currentFor = () => 0;
    bath.press('startPressed').advance(299);
    expect(bath.phaseName()).toBe('polarity');
    bath.advance(3);
    expect(bath.raised()).toEqual([Condition.noCurrentAtStart]);
  });

  test('trips within 0.4 s of a current the wrong way, at a tenth of an ampere', () => {
    const bath = bathIn('ready');
    bath.currentFor = (amps) => (amps > 0 ? -0.1 : 0);
    bath.press('startPressed').step();
    bath.advance(0.2);
    expect(bath.phaseName()).toBe('polarity');
    bath.step();
    expect(bath.phaseName()).toBe('trip');
    expect(bath.raised()).toEqual([Condition.polarityReversed]);
    const inside = bathIn('ready');
    inside.currentFor = (amps) => (amps > 0 ? -0.099 : 0);
    inside.press('startPressed').advance(5);
    expect(inside.phaseName()).toBe('polarity');
  });

  test('a hold in it is left by the press into polarity again: it was not proven', () => {
    const bath = bathIn('polarity').command(Command.hold);
    expect(bath.state.outputs.permittedAmps).toBeCloseTo(0.8, 9);
    bath.advance(30).press('startPressed');
    expect(bath.phaseName()).toBe('polarity');
    bath.advance(1.4);
    expect(bath.phaseName()).toBe('strike');
  });

  test('a hold after it does not go through it again: the contactor stayed closed', () => {
    expect(bathIn('hold').press('startPressed').phaseName()).toBe('ramp');
  });
});

describe('the motor', () => {
  test('is announced for 5 s before it starts, in ready, and goes on into the run', () => {
    const bath = new ScriptedBath();
    bath.advance(1);
    bath.offer(lampshade);
    bath.until(() => bath.state.outputs.buzzer === 2, 0.2, 2);
    const fromSeconds = bath.seconds;
    bath.until(() => bath.state.outputs.motorOn, 0.2, 10);
    expect(bath.seconds - fromSeconds).toBeGreaterThanOrEqual(5 - 1e-9);
    expect(bath.seconds - fromSeconds).toBeLessThan(6.2);
    expect(bath.state.outputs.buzzer).toBe(0);
    bath.start();
    expect(bath.state.outputs.motorOn).toBe(true);
    expect(bath.toldOf(EventKind.rotationRestart)).toEqual([]);
  });

  test('that brings no pulse is started again three times, each announced, then left off until a reset at the bath', () => {
    const bath = bathIn('plate');
    bath.isTurning = false;
    const starts: string[] = [];
    let wasOn = true;
    const watch = (seconds: number): void => {
      for (let steps = 0; steps < seconds * 5; steps++) {
        const { buzzer } = bath.state.outputs;
        bath.step();
        const { motorOn } = bath.state.outputs;
        if (motorOn && !wasOn) starts.push(buzzer >= 2 ? 'announced' : 'not announced');
        wasOn = motorOn;
      }
    };
    watch(45);
    expect(bath.isRaised(Condition.rotationStopped)).toBe(true);
    expect(starts).toEqual(['announced']);
    watch(105);
    expect(starts).toEqual(['announced', 'announced', 'announced']);
    expect(bath.toldOf(EventKind.rotationRestart).map(({ code }) => code)).toEqual([1, 2, 3]);
    expect(bath.isRaised(Condition.rotationGivenUp)).toBe(true);
    expect(bath.state.outputs.motorOn).toBe(false);
    expect(bath.phaseName()).toBe('plate');
    // hands may be in the tank
    bath.isTurning = true;
    bath.command(Command.acknowledge);
    watch(600);
    expect(bath.state.outputs.motorOn).toBe(false);
    expect(bath.state.outputs.permittedAmps).toBe(8);
    bath.press('resetPressed');
    watch(60);
    expect(starts).toHaveLength(4);
    expect(starts[3]).toBe('announced');
    expect(bath.raised()).toEqual([]);
    expect(bath.state.outputs.permittedAmps).toBe(20);
  });

  test('that turns again after the first restart has all three tries when it stops once more', () => {
    const bath = bathIn('plate');
    for (let round = 0; round < 3; round++) {
      bath.isTurning = false;
      bath.until(() => bath.toldOf(EventKind.rotationRestart).length === round + 1, 0.2, 60);
      bath.isTurning = true;
      bath.advance(60);
      expect(bath.raised()).toEqual([]);
    }
    expect(bath.toldOf(EventKind.rotationRestart).map(({ code }) => code)).toEqual([1, 1, 1]);
  });

  test('stops with the run, and a trip during its announcement leaves it off', () => {
    const bath = new ScriptedBath();
    bath.advance(1);
    bath.offer(lampshade);
    bath.advance(3);
    expect(bath.state.outputs.buzzer).toBe(2);
    bath.press('stopPressed').advance(10);
    expect(bath.state.outputs).toMatchObject({ motorOn: false, buzzer: 0 });
  });
});

describe('the second means', () => {
  test('is on from ready to the end of the run, and stays on in a trip whose current fell', () => {
    const on = (phase: keyof typeof Phase): boolean => bathIn(phase).state.outputs.supplyEnabled;
    expect((Object.keys(Phase) as (keyof typeof Phase)[]).filter(on)).toEqual([
      'ready',
      'strike',
      'ramp',
      'plate',
      'finish',
      'hold',
      'trip',
      'polarity',
    ]);
    expect(bathIn('trip').advance(60).state.outputs.supplyEnabled).toBe(true);
  });

  test('opens when current still flows 5 s after the contactor was told to open, sounds without a pause, and is told', () => {
    const bath = bathIn('plate');
    bath.inputs.emergencyStopPressed = true;
    bath.currentFor = () => 12;
    bath.contactorFor = () => false;
    bath.advance(5);
    expect(bath.state.outputs.supplyEnabled).toBe(true);
    bath.advance(1.4);
    expect(bath.isRaised(Condition.currentDoesNotFall)).toBe(true);
    expect(bath.state.outputs).toMatchObject({ supplyEnabled: false, buzzer: 3 });
    expect(bath.toldOf(EventKind.secondMeansOpened)).toMatchObject([{ code: Condition.currentDoesNotFall }]);
    bath.inputs.emergencyStopPressed = false;
    // A reset with the current still there changes nothing.
    bath.advance(10).press('resetPressed');
    expect(bath.state.outputs.supplyEnabled).toBe(false);
    // The current has fallen: only the reset allows the supply again.
    bath.currentFor = (amps) => amps;
    bath.contactorFor = (enabled, closed, pressed) => enabled && (closed || pressed);
    bath.advance(30);
    expect(bath.state.outputs.supplyEnabled).toBe(false);
    expect(bath.phaseName()).toBe('trip');
    bath.press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
    expect(bath.state.outputs.supplyEnabled).toBe(true);
    expect(bath.toldOf(EventKind.secondMeansOpened)).toHaveLength(1);
  });

  test('once needed sounds on after an acknowledgement from afar, and falls silent by a reset at the bath', () => {
    const bath = bathIn('plate');
    bath.contactorFor = () => true;
    bath.press('stopPressed').advance(4);
    expect(bath.state.outputs.buzzer).toBe(3);
    bath.command(Command.acknowledge).advance(60);
    expect(bath.state.outputs.buzzer).toBe(3);
    // Somebody is there, though the contactor is still closed.
    bath.press('resetPressed');
    expect(bath.state.outputs.buzzer).toBe(0);
    bath.advance(60);
    expect(bath.state.outputs.buzzer).toBe(0);
  });

  test('opens on a contactor that stays closed though it should be open, at 3 s', () => {
    const bath = bathIn('plate');
    bath.contactorFor = () => true;
    bath.press('stopPressed');
    expect(bath.phaseName()).toBe('done');
    bath.advance(2.8);
    expect(bath.raised()).toEqual([]);
    bath.step();
    bath.step();
    expect(bath.state.outputs).toMatchObject({ supplyEnabled: false, buzzer: 3 });
    expect(bath.toldOf(EventKind.secondMeansOpened)).toMatchObject([{ code: Condition.contactorContradicts }]);
    bath.advance(5).press('resetPressed');
    expect(bath.phaseName()).toBe('trip');
    expect(bath.state.outputs.supplyEnabled).toBe(false);
  });

  test('does not open on a press that closed nothing', () => {
    const bath = bathIn('ready');
    bath.contactorFor = () => false;
    bath.press('startPressed').advance(4);
    expect(bath.raised()).toEqual([Condition.contactorContradicts]);
    expect(bath.phaseName()).toBe('trip');
    expect(bath.state.outputs.supplyEnabled).toBe(true);
    expect(bath.toldOf(EventKind.secondMeansOpened)).toEqual([]);
  });

  test('a controller that was restarted in mid-run leaves the supply off until its reset', () => {
    const after = new ScriptedBath();
    restoreRun(after.state, { ...journalOf(bathIn('plate').state) });
    after.advance(5);
    expect(after.state.outputs.supplyEnabled).toBe(false);
    after.press('resetPressed');
    expect(after.state.outputs.supplyEnabled).toBe(true);
  });
});

describe('an interruption whose length a clock knows', () => {
  function restarted(): ScriptedBath {
    const after = new ScriptedBath();
    restoreRun(after.state, { ...journalOf(bathIn('plate').state) });
    return after;
  }

  test('is told with it, counted to the press', () => {
    const after = restarted();
    after.advance(10);
    interruptionBegan(after.state, 3600);
    after.press('resetPressed');
    const waited = after.seconds;
    after.start();
    const told = after.toldOf(EventKind.interruption)[0]!;
    // until it was told 3,600 s, then the wait in ready until the press, within a second or two of polarity
    expect(told.a).toBeGreaterThanOrEqual(3600 + Math.floor(after.seconds - waited) - 2);
    expect(told.a).toBeLessThanOrEqual(3600 + Math.ceil(after.seconds - waited) + 1);
  });

  test.each([[NaN], [-1], [undefined as never]])('a length of %s is unknown', (seconds) => {
    const after = restarted();
    after.step();
    interruptionBegan(after.state, seconds);
    after.press('resetPressed').start();
    expect(after.toldOf(EventKind.interruption)).toMatchObject([{ a: -1 }]);
  });

  test('does not change one that the controller has seen itself, nor a run that is live', () => {
    const tripped = bathIn('trip');
    const before = tripped.state.currentLostAtMs;
    interruptionBegan(tripped.state, 99_999);
    expect(tripped.state.currentLostAtMs).toBe(before);
    const live = bathIn('plate');
    interruptionBegan(live.state, 99_999);
    expect(live.state.currentLostAtMs).toBeNaN();
  });
});
