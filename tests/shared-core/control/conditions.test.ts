/*
 * One suite that every condition passes: just inside its limit nothing happens, at its limit it acts after its on-delay and not before, it clears
 * with its deadband and off-delay, a trip latches until a reset at the bath that finds its cause gone, and each is judged in its phases alone.
 * What is expected of each is in expectations/; here is only how it is asked.
 */
import {
  Condition,
  conditionRows,
  EventKind,
  isLive,
  Phase,
  Reaction,
  ROW_COLUMNS,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import { describe, expect, test } from 'vitest';
import { everyPhase, type Expectation, type PhaseName } from './expectations/expectation.js';
import { ofElectricity } from './expectations/of-electricity.js';
import { ofTheBath } from './expectations/of-the-bath.js';
import { ofTheController } from './expectations/of-the-controller.js';
import { bathIn, lampshade, ScriptedBath, STEP_SECONDS } from './scripted-bath.js';

const expectations: readonly Expectation[] = [...ofElectricity, ...ofTheBath, ...ofTheController];
const latching = expectations.filter(({ outcome }) => outcome === 'trip');
const clearing = expectations.filter(
  ({ outcome, endsItself, clearsByPress }) => outcome !== 'trip' && !endsItself && !clearsByPress,
);
const stayed = (phase: PhaseName): boolean => phase === 'trip' || phase === 'idle' || phase === 'done';

function begun({ startsIn = 'plate' }: Expectation, supplyKind?: SupplyKind): ScriptedBath {
  const bath = bathIn(startsIn, lampshade, supplyKind);
  // (A current would end the phase within a second.)
  if (startsIn === 'polarity') bath.currentFor = () => 0;
  bath.told.splice(0);
  return bath.untilLookIsDue();
}

function raisedBy(expectation: Expectation): ScriptedBath {
  const bath = begun(expectation);
  expectation.atLimit(bath);
  bath.step();
  bath.advance(expectation.onDelaySeconds);
  expect(bath.isRaised(Condition[expectation.name])).toBe(true);
  return bath;
}

describe('the delays', () => {
  test('run as ever over the 49 days after which 32 bits of milliseconds begin anew', () => {
    const bath = new ScriptedBath();
    bath.step(2 ** 32 / 1000 - 1);
    bath.inputs.leakSeen = true;
    bath.untilLookIsDue().step();
    bath.advance(1.8);
    expect(bath.isRaised(Condition.leak)).toBe(false);
    bath.step();
    expect(bath.isRaised(Condition.leak)).toBe(true);
    expect(bath.state.clockMs).toBeGreaterThan(2 ** 32);
    bath.inputs.leakSeen = false;
    bath.advance(12);
    bath.press('resetPressed');
    expect(bath.isRaised(Condition.leak)).toBe(false);
    expect(bath.toldOf(EventKind.conditionCleared, Condition.leak)[0]!.a).toBe(12);
  });
});

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
        const seconds = expectation.name === 'currentVeryHigh' ? 1.6 : expectation.onDelaySeconds + 2;
        bath.advance(seconds);
        expect(bath.isRaised(Condition[expectation.name])).toBe(false);
      }
      expect(bath.phaseName()).not.toBe(expectation.outcome);
    },
  );

  test.each(expectations)('$name: acts at its limit after $onDelaySeconds s and not before', (expectation) => {
    const { name, outcome, onDelaySeconds, fractionLeft = 1 } = expectation;
    const bath = begun(expectation);
    const before = bath.phaseName();
    const { permittedAmps } = bath.state.outputs;
    expectation.atLimit(bath);
    if (onDelaySeconds > 0) {
      bath.step();
      bath.advance(onDelaySeconds - STEP_SECONDS);
      expect(bath.isRaised(Condition[name])).toBe(false);
      expect(bath.phaseName()).toBe(before);
    }
    bath.step();
    expect(bath.isRaised(Condition[name])).toBe(true);
    expect(bath.toldOf(EventKind.conditionRaised, Condition[name])).toEqual([
      expect.objectContaining({ ...expectation.told }),
    ]);
    const goesOn = { note: before, warn: before, derate: before };
    expect(bath.phaseName()).toBe({ ...goesOn, hold: 'hold', finish: 'finish', trip: 'trip' }[outcome]);
    const { outputs } = bath.state;
    // A ramp climbs meanwhile.
    const amps = before === 'ramp' ? outputs.permittedAmps : permittedAmps;
    const expectedAmps = { note: amps, warn: amps, derate: amps * fractionLeft, hold: 3, finish: 2, trip: 0 }[outcome];
    expect(outputs.permittedAmps).toBeCloseTo(expectedAmps, 6);
    expect(bath.state.derateFraction).toBe(outcome === 'derate' ? fractionLeft : 1);
    if (isLive(Phase[before])) expect(outputs.contactorEnabled).toBe(outcome !== 'trip');
    if (outcome === 'trip') expect(outputs.buzzer).toBeGreaterThanOrEqual(2);
    else expect(outputs.buzzer > 0).toBe(outcome !== 'finish' && outcome !== 'note');
  });

  test.each(expectations.filter(({ onDelaySeconds, endsItself }) => onDelaySeconds > 0 && !endsItself))(
    '$name: a cause that goes within the on-delay starts it anew',
    (expectation) => {
      const bath = begun(expectation);
      const { isSlow = false, onDelaySeconds } = expectation;
      expectation.atLimit(bath);
      bath.step();
      // What is slow is looked at once a second: a cause that goes in between is not seen to go.
      bath.advance(onDelaySeconds - (isSlow ? 1 : STEP_SECONDS));
      if (isSlow) bath.untilLookIsDue();
      (expectation.justInside ?? expectation.gone)(bath);
      bath.step();
      if (isSlow) bath.untilLookIsDue();
      expectation.atLimit(bath);
      bath.step();
      bath.advance(onDelaySeconds - STEP_SECONDS);
      expect(bath.isRaised(Condition[expectation.name])).toBe(false);
    },
  );

  test.each(expectations.filter(({ withinDeadband }) => withinDeadband))(
    '$name: stands while the value is within the deadband',
    (expectation) => {
      const bath = raisedBy(expectation);
      expectation.withinDeadband!(bath);
      bath.advance(expectation.offDelaySeconds * 3);
      bath.press('resetPressed');
      expect(bath.isRaised(Condition[expectation.name])).toBe(true);
    },
  );

  test.each(clearing)(
    '$name: clears $offDelaySeconds s after its cause, and tells how long it stood',
    (expectation) => {
      const { name, offDelaySeconds } = expectation;
      const bath = raisedBy(expectation);
      const isAbout = (kind: number) => (event: { kind: number; code: number }) =>
        event.kind === kind && event.code === Condition[name];
      const raisedAtSeconds = bath.told.find(isAbout(EventKind.conditionRaised))!.atSeconds;
      bath.advance(1).untilLookIsDue();
      expectation.gone(bath);
      if (offDelaySeconds > 0) {
        bath.step();
        bath.advance(offDelaySeconds - 2 * STEP_SECONDS);
        expect(bath.isRaised(Condition[name])).toBe(true);
        bath.advance(2 * STEP_SECONDS);
      } else {
        bath.step();
      }
      expect(bath.isRaised(Condition[name])).toBe(false);
      const cleared = bath.told.filter(isAbout(EventKind.conditionCleared));
      expect(cleared).toHaveLength(1);
      expect(cleared[0]!.a).toBe(Math.round(cleared[0]!.atSeconds - raisedAtSeconds));
    },
  );

  test.each(latching)('$name: latches when its cause goes, until the reset', (expectation) => {
    const bath = raisedBy(expectation);
    expectation.gone(bath);
    bath.advance(expectation.offDelaySeconds + 100);
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

  // What is judged in live phases alone is gone with the trip, as soon as nothing flows: these stay.
  test.each(latching.filter(({ judgedIn, name }) => judgedIn.includes('trip') || name.startsWith('monitor')))(
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
      bath.step();
      bath.advance(expectation.offDelaySeconds - 2 * STEP_SECONDS);
      bath.press('resetPressed');
      expect(bath.phaseName()).toBe('trip');
      bath.advance(7).press('resetPressed');
      expect(bath.phaseName()).toBe('ready');
    },
  );

  test.each(
    latching.filter(({ name }) => ['alertLatch', 'emergencyStop', 'bathOverheated', 'clipOverheated'].includes(name)),
  )('$name: is not reset while its cause is there', (expectation) => {
    const bath = raisedBy(expectation);
    bath.advance(100).press('resetPressed').advance(1);
    expect(bath.phaseName()).toBe('trip');
    expectation.gone(bath);
    bath.advance(expectation.offDelaySeconds + 2).press('resetPressed');
    expect(bath.phaseName()).toBe('ready');
  });
});

describe.each(everyPhase)('in %s', (phase) => {
  // In polarity nothing lasts longer than its 30 s.
  test.each(expectations.filter(({ onDelaySeconds }) => phase !== 'polarity' || onDelaySeconds < 25))(
    '$name is raised, or not, as it should be',
    (expectation) => {
      const bath = bathIn(phase);
      if (phase === 'polarity') bath.currentFor = () => 0;
      else bath.advance(4);
      bath.untilLookIsDue().told.splice(0);
      expectation.atLimit(bath);
      for (let steps = (expectation.onDelaySeconds + 2) / STEP_SECONDS; steps > 0; steps--) {
        bath.step();
        // What needs a current to be at its limit goes on to strike.
        if (phase === 'polarity' && bath.phaseName() === 'strike') break;
      }
      const isJudged = expectation.judgedIn.includes(phase);
      const raised = bath.toldOf(EventKind.conditionRaised, Condition[expectation.name]).length;
      // (What ended the run stands in finish already.)
      const stood = isJudged && raised === 0 && bath.isRaised(Condition[expectation.name]);
      expect(raised).toBe(isJudged && !stood ? 1 : 0);
      if (!isJudged && stayed(phase)) expect([phase, 'trip']).toContain(bath.phaseName());
    },
  );
});

describe('with a supply set by hand', () => {
  test.each(expectations.filter(({ startsIn }) => (startsIn ?? 'plate') === 'plate'))(
    '$name: derating only warns, and what would hold trips',
    (expectation) => {
      const { name, outcome, onDelaySeconds } = expectation;
      const bath = begun(expectation, SupplyKind.byHand);
      const { permittedAmps } = bath.state.outputs;
      expectation.atLimit(bath);
      if (onDelaySeconds > 0) {
        bath.step();
        bath.advance(onDelaySeconds - STEP_SECONDS);
        expect(bath.isRaised(Condition[name])).toBe(false);
      }
      bath.step();
      expect(bath.isRaised(Condition[name])).toBe(true);
      if (outcome === 'hold' || outcome === 'trip') {
        expect(bath.phaseName()).toBe('trip');
        expect(bath.state.outputs.contactorEnabled).toBe(false);
      } else if (outcome !== 'finish') {
        expect(bath.phaseName()).toBe('plate');
        expect(bath.state.outputs.permittedAmps).toBe(permittedAmps);
        expect(bath.state.derateFraction).toBe(1);
        expect(bath.state.unacknowledged).toBe(outcome !== 'note');
      }
    },
  );
});

test('the reactions are in the order of what they do', () => {
  const { none, note, warn, derate, finish, hold, finishNow, trip } = Reaction;
  expect([none, note, warn, derate, finish, hold, finishNow, trip]).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
});
