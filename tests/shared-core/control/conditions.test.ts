/*
 * One suite that every condition passes: just inside its limit nothing happens, at its limit it acts after its on-delay and not before, it clears
 * with its deadband and off-delay, and a trip latches until a reset at the bath that finds its cause gone. The expectations stand here
 * a second time, in words of the trade, so that a slip in the table is seen. Limits and delays are our own practice; no outside source.
 */
import { Condition, conditionRows, EventKind, Phase, Reaction, ROW_COLUMNS } from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, type ScriptedBath, STEP_SECONDS } from './scripted-bath.js';

type Outcome = 'warn' | 'derate' | 'hold' | 'finish' | 'trip';

interface Expectation {
  readonly name: keyof typeof Condition;
  readonly outcome: Outcome;
  /** Brings the value to its limit (or the fact about). Values are set so that they stay there. */
  readonly atLimit: (bath: ScriptedBath) => void;
  /** As near to it as must still be fine. Facts that are only true or false have none. */
  readonly justInside?: (bath: ScriptedBath) => void;
  /** Below the limit, yet within the deadband: what stands stays. Only where there is one. */
  readonly withinDeadband?: (bath: ScriptedBath) => void;
  readonly gone: (bath: ScriptedBath) => void;
  readonly onDelaySeconds: number;
  readonly offDelaySeconds: number;
  /** What the event says, thousandths. */
  readonly told: { readonly a: number; readonly b: number };
  readonly startsIn?: 'ready' | 'plate';
}

const degrees =
  (bathCelsius: number) =>
  (bath: ScriptedBath): void => {
    bath.inputs.bathCelsius = bathCelsius;
  };
const times =
  (factor: number) =>
  (bath: ScriptedBath): void => {
    bath.currentFor = (amps) => amps * factor;
  };
/** The shunt shows this, whatever is permitted. */
const shows =
  (amps: number) =>
  (bath: ScriptedBath): void => {
    bath.currentFor = () => amps;
  };
const monitorFault =
  (fault: 0 | 1 | 2 | 3) =>
  (bath: ScriptedBath): void => {
    bath.inputs.monitorFault = fault;
  };
const probeFault =
  (fault: 0 | 1 | 2 | 3 | 4) =>
  (bath: ScriptedBath): void => {
    bath.inputs.probeFault = fault;
  };
/** Makes the last pulse this many seconds old by the next step. */
const pulseAge =
  (seconds: number) =>
  (bath: ScriptedBath): void => {
    bath.isTurning = false;
    bath.state.lastPulseAtMs = Math.round((bath.seconds + STEP_SECONDS - seconds) * 1000);
  };
/** The shaft turns again, its next pulse comes with the next step. */
const turning = (bath: ScriptedBath): void => {
  bath.isTurning = true;
  bath.secondsToPulse = 0;
};
const fact = { a: 0, b: 0 };

const expectations: readonly Expectation[] = [
  {
    name: 'currentHigh',
    outcome: 'hold',
    justInside: shows(23.99),
    atLimit: shows(24),
    gone: times(1),
    onDelaySeconds: 2,
    offDelaySeconds: 5,
    told: { a: 24_000, b: 24_000 },
  },
  {
    name: 'currentVeryHigh',
    outcome: 'trip',
    justInside: times(1.4999), // (which is a hold after 2 s: looked at before that)
    atLimit: times(1.5),
    gone: times(0),
    onDelaySeconds: 0.4,
    offDelaySeconds: 1,
    told: { a: 30_000, b: 30_000 },
  },
  {
    name: 'alertLatch',
    outcome: 'trip',
    atLimit: (bath) => (bath.inputs.alertLatchOpen = true),
    gone: (bath) => (bath.inputs.alertLatchOpen = false),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
  },
  ...(['monitorSilent', 'monitorChanged', 'monitorClipped'] as const).map((name, index) => ({
    name,
    outcome: 'trip' as const,
    atLimit: monitorFault((index + 1) as 1 | 2 | 3),
    gone: monitorFault(0),
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: fact,
  })),
  {
    name: 'bathWarm',
    outcome: 'warn',
    justInside: degrees(27.99),
    atLimit: degrees(28),
    withinDeadband: degrees(27),
    gone: degrees(26.9),
    onDelaySeconds: 30,
    offDelaySeconds: 60,
    told: { a: 28_000, b: 28_000 },
  },
  {
    name: 'bathHot',
    outcome: 'hold',
    justInside: degrees(31.99),
    atLimit: degrees(32),
    withinDeadband: degrees(31),
    gone: degrees(30.9),
    onDelaySeconds: 30,
    offDelaySeconds: 60,
    told: { a: 32_000, b: 32_000 },
  },
  {
    name: 'bathOverheated',
    outcome: 'trip',
    justInside: degrees(39.99),
    atLimit: degrees(40),
    withinDeadband: degrees(39),
    gone: degrees(38.9),
    onDelaySeconds: 30,
    offDelaySeconds: 60,
    told: { a: 40_000, b: 40_000 },
  },
  ...([1, 2, 3, 4] as const).map((fault) => ({
    name: 'probeFault' as const,
    outcome: 'warn' as const,
    atLimit: probeFault(fault),
    gone: probeFault(0),
    onDelaySeconds: 30,
    offDelaySeconds: 10,
    told: fact,
  })),
  {
    name: 'probeFaultLong',
    outcome: 'hold',
    atLimit: probeFault(1),
    gone: probeFault(0),
    onDelaySeconds: 600,
    offDelaySeconds: 10,
    told: fact,
  },
  {
    // six pulses a minute: two missed and a fifth of a period
    name: 'rotationStopped',
    outcome: 'warn',
    justInside: pulseAge(21.8),
    atLimit: pulseAge(22),
    gone: turning,
    onDelaySeconds: 0,
    offDelaySeconds: 30,
    told: { a: 22_000, b: 22_000 },
  },
  {
    name: 'rotationStoppedLong',
    outcome: 'derate',
    justInside: pulseAge(141.8),
    atLimit: pulseAge(142),
    gone: turning,
    onDelaySeconds: 0,
    offDelaySeconds: 30,
    told: { a: 142_000, b: 142_000 },
  },
  {
    name: 'emergencyStop',
    outcome: 'trip',
    atLimit: (bath) => (bath.inputs.emergencyStopPressed = true),
    gone: (bath) => (bath.inputs.emergencyStopPressed = false),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
  },
  {
    name: 'contactorDropped',
    outcome: 'trip',
    atLimit: (bath) => (bath.contactorFor = () => false),
    gone: () => undefined, // it is open, as it should be in a trip
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
  },
  {
    name: 'chargeReached',
    outcome: 'finish',
    justInside: (bath) => {
      bath.currentFor = () => 0;
      bath.advance(0.4);
      bath.state.chargeMilliCoulombs = 179_999_999;
    },
    atLimit: (bath) => {
      bath.currentFor = () => 0;
      // half a step at 20 A is still counted
      bath.state.chargeMilliCoulombs = 180_000_000 - 2_000;
    },
    gone: (bath) => (bath.state.chargeMilliCoulombs = 0),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: { a: 50_000, b: 50_000 },
  },
  {
    name: 'longestRun',
    outcome: 'finish',
    justInside: (bath) => (bath.state.liveMs = 35_999_799),
    atLimit: (bath) => (bath.state.liveMs = 35_999_800),
    gone: (bath) => (bath.state.liveMs = 0),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: { a: 36_000_000, b: 36_000_000 },
  },
  {
    name: 'contactorContradicts',
    outcome: 'trip',
    startsIn: 'ready',
    atLimit: (bath) => (bath.contactorFor = () => true),
    gone: (bath) => (bath.contactorFor = () => false),
    onDelaySeconds: 3,
    offDelaySeconds: 1,
    told: fact,
  },
];

const latching = expectations.filter(({ outcome }) => outcome === 'trip');
const clearing = expectations.filter(({ outcome }) => outcome !== 'trip');

/** Steps of a delay: raised in the first step of the cause when there is none. */
function steps(bath: ScriptedBath, seconds: number): void {
  bath.advance(seconds);
}

function begun({ startsIn = 'plate' }: Expectation): ScriptedBath {
  const bath = bathIn(startsIn);
  bath.told.splice(0);
  return bath.untilLookIsDue();
}

function raisedBy(expectation: Expectation): ScriptedBath {
  const bath = begun(expectation);
  expectation.atLimit(bath);
  bath.step();
  steps(bath, expectation.onDelaySeconds);
  expect(bath.isRaised(Condition[expectation.name])).toBe(true);
  return bath;
}

describe('every condition', () => {
  test('has one row, and is in this suite (a restart in mid-run has its own)', () => {
    const codes = Object.values(Condition);
    expect(codes).toEqual(codes.map((_code, index) => index + 1));
    expect(conditionRows.length).toBe(codes.length * ROW_COLUMNS);
    const names = new Set([...expectations.map(({ name }) => name), 'restartedInRun']);
    expect([...names].sort()).toEqual(Object.keys(Condition).sort());
  });

  test.each(expectations.filter(({ justInside }) => justInside))(
    '$name: just inside its limit holds',
    (expectation) => {
      const bath = begun(expectation);
      expectation.justInside!(bath);
      bath.step();
      expect(bath.isRaised(Condition[expectation.name])).toBe(false);
      // Values that the test can hold there are held for longer than the delay.
      if (expectation.onDelaySeconds > 0) {
        steps(bath, Math.min(expectation.onDelaySeconds + 1, expectation.name === 'currentVeryHigh' ? 1.6 : Infinity));
        expect(bath.isRaised(Condition[expectation.name])).toBe(false);
      }
      expect(bath.phaseName()).not.toBe(expectation.outcome);
    },
  );

  test.each(expectations)('$name: acts at its limit after $onDelaySeconds s and not before', (expectation) => {
    const { name, outcome, onDelaySeconds } = expectation;
    const bath = begun(expectation);
    const before = bath.phaseName();
    expectation.atLimit(bath);
    if (onDelaySeconds > 0) {
      bath.step();
      steps(bath, onDelaySeconds - STEP_SECONDS);
      expect(bath.isRaised(Condition[name])).toBe(false);
      expect(bath.phaseName()).toBe(before);
    }
    bath.step();
    expect(bath.isRaised(Condition[name])).toBe(true);
    expect(bath.toldOf(EventKind.conditionRaised, Condition[name])).toEqual([
      expect.objectContaining({ ...expectation.told }),
    ]);
    const after = { warn: before, derate: before, hold: 'hold', finish: 'finish', trip: 'trip' }[outcome];
    expect(bath.phaseName()).toBe(after);
    const { outputs } = bath.state;
    const permittedAmps = { warn: 20, derate: 8, hold: 3, finish: 2, trip: 0 }[outcome];
    expect(outputs.permittedAmps).toBeCloseTo(permittedAmps, 6);
    expect(bath.state.derateFraction).toBe(outcome === 'derate' ? 0.4 : 1);
    expect(outputs.contactorEnabled).toBe(outcome !== 'trip');
    expect(outputs.buzzer).toBe(outcome === 'trip' ? 2 : outcome === 'finish' ? 0 : 1);
  });

  test.each(expectations.filter(({ onDelaySeconds }) => onDelaySeconds > 0))(
    '$name: a cause that goes within the on-delay starts it anew',
    (expectation) => {
      const bath = begun(expectation);
      expectation.atLimit(bath);
      bath.step();
      // What is slow is looked at once a second: a cause that goes in between is not seen to go.
      const isSlow = expectation.onDelaySeconds >= 30;
      steps(bath, expectation.onDelaySeconds - (isSlow ? 1 : STEP_SECONDS));
      if (isSlow) bath.untilLookIsDue();
      (expectation.justInside ?? expectation.gone)(bath);
      bath.step();
      if (isSlow) bath.untilLookIsDue();
      expectation.atLimit(bath);
      bath.step();
      steps(bath, expectation.onDelaySeconds - STEP_SECONDS);
      expect(bath.isRaised(Condition[expectation.name])).toBe(false);
    },
  );

  test.each(expectations.filter(({ withinDeadband }) => withinDeadband))(
    '$name: stands while the value is within the deadband',
    (expectation) => {
      const bath = raisedBy(expectation);
      expectation.withinDeadband!(bath);
      steps(bath, expectation.offDelaySeconds * 3);
      bath.press('resetPressed');
      expect(bath.isRaised(Condition[expectation.name])).toBe(true);
    },
  );

  test.each(clearing)(
    '$name: clears $offDelaySeconds s after its cause, and tells how long it stood',
    (expectation) => {
      const { name, offDelaySeconds } = expectation;
      const bath = raisedBy(expectation);
      const raisedAtSeconds = bath.told.find(
        ({ kind, code }) => kind === EventKind.conditionRaised && code === Condition[name],
      )!.atSeconds;
      bath.advance(1).untilLookIsDue();
      expectation.gone(bath);
      if (offDelaySeconds > 0) {
        bath.step();
        steps(bath, offDelaySeconds - 2 * STEP_SECONDS);
        expect(bath.isRaised(Condition[name])).toBe(true);
        bath.advance(2 * STEP_SECONDS);
      } else {
        bath.step();
      }
      expect(bath.isRaised(Condition[name])).toBe(false);
      const cleared = bath.told.filter(
        ({ kind, code }) => kind === EventKind.conditionCleared && code === Condition[name],
      );
      expect(cleared).toHaveLength(1);
      expect(cleared[0]!.a).toBe(Math.round(cleared[0]!.atSeconds - raisedAtSeconds));
    },
  );

  test.each(latching)('$name: latches when its cause goes, until the reset', (expectation) => {
    const bath = raisedBy(expectation);
    expectation.gone(bath);
    steps(bath, expectation.offDelaySeconds + 100);
    expect(bath.isRaised(Condition[expectation.name])).toBe(true);
    expect(bath.phaseName()).toBe('trip');
    bath.press('startPressed').press('stopPressed');
    expect(bath.phaseName()).toBe('trip');
    expect(bath.offer({ ...lampshade, recipeId: 77 })).not.toBe(0);
    expect(bath.phaseName()).toBe('trip');
    bath.press('resetPressed');
    expect(bath.isRaised(Condition[expectation.name])).toBe(false);
    expect(bath.phaseName()).toBe('ready');
    expect(bath.toldOf(EventKind.conditionCleared, Condition[expectation.name])).toHaveLength(1);
    expect(bath.state.outputs.permittedAmps).toBe(0);
  });

  test.each(latching.filter(({ name }) => name !== 'contactorDropped'))(
    '$name: is not reset while its cause is there, nor before its off-delay',
    (expectation) => {
      const bath = raisedBy(expectation);
      // A current flows on though the contactor should be open.
      if (expectation.name === 'currentVeryHigh') bath.currentFor = () => 30;
      bath.advance(100).press('resetPressed').advance(1);
      expect(bath.phaseName()).toBe('trip');
      expect(bath.isRaised(Condition[expectation.name])).toBe(true);
      bath.untilLookIsDue();
      expectation.gone(bath);
      if (expectation.offDelaySeconds > 0) {
        bath.step();
        steps(bath, expectation.offDelaySeconds - 2 * STEP_SECONDS);
        bath.press('resetPressed');
        expect(bath.phaseName()).toBe('trip');
        bath.advance(1);
      }
      bath.press('resetPressed');
      expect(bath.phaseName()).toBe('ready');
    },
  );

  test.each(
    expectations.filter(({ name }) => !['currentHigh', 'currentVeryHigh', 'contactorContradicts'].includes(name)),
  )('$name: is not raised where nothing can flow', (expectation) => {
    const bath = bathIn('idle');
    expectation.atLimit(bath);
    steps(bath, expectation.onDelaySeconds + 1);
    expect(bath.isRaised(Condition[expectation.name])).toBe(false);
    expect(bath.phaseName()).toBe('idle');
  });
});

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
    expect(bath.raised()).toEqual([]);
    bath.currentFor = () => 1;
    bath.advance(1);
    expect(bath.raised()).toEqual([Condition.currentVeryHigh]);
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

test('the reactions are in the order of what they do', () => {
  const { none, warn, derate, finish, hold, finishNow, trip } = Reaction;
  expect([none, warn, derate, finish, hold, finishNow, trip]).toEqual([0, 1, 2, 3, 4, 5, 6]);
});
