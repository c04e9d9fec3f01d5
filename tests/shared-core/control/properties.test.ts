/*
 * What must be true of the supervisor whatever the world does: random sequences of presses, commands, faults, readings and late steps.
 * A failure prints its seed and the shortest sequence that shows it.
 */
import {
  conditionRows,
  createRunState,
  type Inputs,
  isLive,
  journalOf,
  offerRecipe,
  Phase,
  Reaction,
  restoreRun,
  ROW_COLUMNS,
  type RunState,
  runLimitAmps,
  step,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, rig } from './scripted-bath.js';

/** Everything as it should be. */
const quiet: Inputs = { ...bathIn('ready').inputs };
const briefRun = {
  ...lampshade,
  strikeSeconds: 10,
  rampSeconds: 20,
  chargeMilliCoulombs: 2_000_000,
  longestSeconds: 900,
};

/** Something happens in the world, then a number of steps go by. */
interface Moment {
  readonly change: Partial<Inputs>;
  /** Contactor, current, voltage and alert latch do as the program asks unless the change is about them. */
  readonly forced: keyof Inputs | 'nothing';
  readonly steps: number;
  readonly stepMs: number;
  readonly isRestart: boolean;
  readonly isOffer: boolean;
}

type Change = Pick<Moment, 'change' | 'forced'>;
const about = <T>(name: keyof Inputs, ...values: T[]): fc.Arbitrary<Change> =>
  fc.constantFrom(...values).map((value) => ({
    change: { [name]: value },
    forced: name,
  }));
const calm = (also: Partial<Inputs>): fc.Arbitrary<Change> =>
  fc.constant({ change: { ...quiet, ...also }, forced: 'nothing' });

const change: fc.Arbitrary<Change> = fc.oneof(
  { weight: 8, arbitrary: about('startPressed', true) },
  { weight: 4, arbitrary: calm({ resetPressed: true }) },
  { weight: 2, arbitrary: calm({}) },
  about('resetPressed', true),
  about('stopPressed', true),
  { weight: 3, arbitrary: about('command', 0, 1, 2, 3, 4, 5) },
  about('lowerToAmps', 0, 2, 10, 50, NaN),
  about('startHeld', true),
  about('resetHeld', true),
  about('emergencyStopPressed', true, false),
  about('alertLatchOpen', true, false),
  { weight: 2, arbitrary: about('monitorFault', 0, 1, 2, 3) },
  { weight: 2, arbitrary: about('probeFault', 0, 1, 2, 3, 4) },
  about('bathCelsius', 24, 17, 28, 32, 40, NaN, 85, -Infinity),
  about('currentAmps', 0, 0.4, 0.6, 5, 30, 60, -3, NaN, Infinity),
  about('terminalVolts', 0, 0.6, 5, NaN),
  about('contactorClosed', true, false),
  about('supplyFault', 0, 1, 2, 3),
  about('supplyAtZero', true, false),
  about('memoryFault', true, false),
  about('dashboardSilentSeconds', 0, 1000, NaN),
  about('leakSeen', true, false),
  about('agitationStopped', true, false),
  about('liquidLow', true, false),
  about('clipCelsius', -1000, 25, 60, 70, NaN),
);
const moment: fc.Arbitrary<Moment> = fc
  .record({
    what: change,
    steps: fc.constantFrom(1, 1, 2, 5, 20),
    stepMs: fc.constantFrom(200, 200, 200, 0, 1, 2_000, 25_000, 400_000, -1_000),
    isRestart: fc.constantFrom(false, false, false, false, false, false, false, false, true),
    isOffer: fc.constantFrom(false, false, false, true),
  })
  .map(({ what, ...rest }) => ({ ...what, ...rest }));
/** Half of the nights begin with a start that goes well. */
const asIs = { change: {}, forced: 'nothing', stepMs: 200, isRestart: false, isOffer: false } as const;
const begun: readonly Moment[] = [
  { ...asIs, steps: 2 },
  { ...asIs, isOffer: true, steps: 40 },
  { ...asIs, change: { startPressed: true }, steps: 20 },
];
const night = fc
  .tuple(fc.boolean(), fc.array(moment, { minLength: 1, maxLength: 40 }))
  .map(([isBegun, moments]) => (isBegun ? [...begun, ...moments] : moments));

type Before = Pick<RunState, 'phase' | 'conditions' | 'conditionsHigh' | 'chargeMilliCoulombs' | 'liveMs'> & {
  readonly permittedAmps: number;
  readonly contactorEnabled: boolean;
};
interface Seen {
  readonly before: Before;
  readonly after: RunState;
  readonly inputs: Inputs;
  /** In this wait in ready the start was pressed while the chain was enabled. */
  readonly wasPressed: boolean;
}

/** Plays the moments and shows every step. */
function play(moments: readonly Moment[], supplyKind: SupplyKind, show: (seen: Seen) => void): void {
  let state = createRunState(supplyKind);
  let nowMs = 1_000;
  let isClosed = false;
  let wasPressed = false;
  let wasTested = false;
  const inputs: Inputs = { ...quiet };
  for (const { change: changed, forced, steps, stepMs, isRestart, isOffer } of moments) {
    if (isRestart) {
      const journal = { ...journalOf(state) };
      state = createRunState(supplyKind);
      restoreRun(state, journal);
      state.eventsAreOld = true; // what a restart tells is tested with the nights
      nowMs = 0;
      isClosed = wasPressed = false;
    }
    if (isOffer) offerRecipe(state, briefRun, rig);
    Object.assign(inputs, changed);
    for (let count = 0; count < steps; count++) {
      nowMs += stepMs;
      inputs.rotationPulses++;
      const { permittedAmps, contactorEnabled } = state.outputs;
      isClosed = contactorEnabled && (isClosed || inputs.startPressed);
      if (forced !== 'contactorClosed') inputs.contactorClosed = isClosed;
      if (forced !== 'currentAmps') inputs.currentAmps = inputs.contactorClosed ? permittedAmps : 0;
      if (forced !== 'terminalVolts') inputs.terminalVolts = 0.2 * inputs.currentAmps;
      if (forced !== 'alertLatchOpen') {
        if (state.outputs.alertTestOn || wasTested) inputs.alertLatchOpen = state.outputs.alertTestOn;
        wasTested = state.outputs.alertTestOn;
      }
      const { phase, conditions, conditionsHigh, chargeMilliCoulombs, liveMs } = state;
      wasPressed = phase === Phase.ready && (wasPressed || (contactorEnabled && inputs.startPressed));
      const before = {
        phase,
        conditions,
        conditionsHigh,
        chargeMilliCoulombs,
        liveMs,
        permittedAmps,
        contactorEnabled,
      };
      step(state, inputs, rig, true, nowMs);
      show({ before, after: state, inputs, wasPressed });
      const buttons = { startPressed: false, stopPressed: false, resetPressed: false };
      Object.assign(inputs, { ...buttons, startHeld: false, resetHeld: false, command: 0 });
    }
  }
}

const phasesSeen = new Set<number>();
const leftPhases = new Set<number>();

/** Shows every step of many random nights; `broken` names what is not as it must be, or nothing. */
function neverBreaks(broken: (seen: Seen) => string | false | undefined): void {
  fc.assert(
    fc.property(night, fc.constantFrom(...Object.values(SupplyKind)), (moments, supplyKind) => {
      play(moments, supplyKind, (seen) => {
        phasesSeen.add(seen.after.phase);
        if (seen.before.phase !== seen.after.phase) leftPhases.add(seen.before.phase);
        const what = broken(seen);
        if (what) throw new Error(`${what}: ${JSON.stringify(seen)}`);
      });
    }),
    { numRuns: 400 },
  );
}

describe('whatever happens', () => {
  test('permitted current never exceeds the limit, and is zero unless live with the contactor enabled', () => {
    neverBreaks(({ after }) => {
      const { permittedAmps, contactorEnabled } = after.outputs;
      if (!(permittedAmps >= 0 && permittedAmps <= Math.min(runLimitAmps(after, rig), 24))) return 'outside its limit';
      return permittedAmps > 0 && !(isLive(after.phase) && contactorEnabled) && 'permitted where nothing may flow';
    });
  });

  test('charge and live time never fall within a run, and charge is whole', () => {
    neverBreaks(({ before, after }) => {
      if (!Number.isSafeInteger(after.chargeMilliCoulombs)) return 'charge is not whole';
      if (after.chargeMilliCoulombs < before.chargeMilliCoulombs) return 'charge fell';
      return after.liveMs < before.liveMs && 'live time fell';
    });
  });

  test('a trip is left only by a reset, with no trip standing and nothing permitted', () => {
    const masks = [0, 0];
    for (let row = 0; row * ROW_COLUMNS < conditionRows.length; row++) {
      if (conditionRows[row * ROW_COLUMNS] === Reaction.trip) masks[row >> 5]! |= 1 << (row & 31);
    }
    neverBreaks(({ before, after, inputs }) => {
      if (before.phase !== Phase.trip || after.phase === Phase.trip) return;
      if (!inputs.resetPressed) return 'left without a reset';
      if ((after.conditions & masks[0]!) | (after.conditionsHigh & masks[1]!)) return 'left with a trip standing';
      return after.outputs.permittedAmps > 0 && 'left into current';
    });
  });

  test('only a press with the feedback makes a run live, out of ready with the chain enabled and nothing in the way', () => {
    neverBreaks(({ before, after, inputs, wasPressed }) => {
      if (isLive(before.phase) || !isLive(after.phase)) return;
      if (before.phase !== Phase.ready || after.phase !== Phase.polarity) return 'not from ready to polarity';
      if (!wasPressed || !inputs.contactorClosed || !before.contactorEnabled) return 'not by a press';
      return (inputs.emergencyStopPressed || inputs.alertLatchOpen) && 'with the chain open';
    });
  });

  test('the chain is enabled by ready alone; emergency stop, open latch and stop disable it in the same step', () => {
    neverBreaks(({ before, after, inputs }) => {
      const { contactorEnabled } = after.outputs;
      if (!contactorEnabled) return;
      if (!before.contactorEnabled && after.phase !== Phase.ready) return 'enabled outside ready';
      if (after.phase !== Phase.ready && !isLive(after.phase)) return 'enabled where it must not be';
      const mustOpen =
        inputs.emergencyStopPressed || inputs.alertLatchOpen || inputs.stopPressed || inputs.command === 1;
      return mustOpen && 'still enabled';
    });
  });

  test('out of a hold more current comes only by a press, and into it none', () => {
    neverBreaks(({ before, after, inputs }) => {
      const isMore = after.outputs.permittedAmps > before.permittedAmps;
      if (before.phase === Phase.hold && isMore && !inputs.startPressed) return 'more current without a press';
      return after.phase === Phase.hold && isMore && 'more current in hold';
    });
  });

  test('every event is in whole numbers of 32 bits, and every change of phase and condition is one', () => {
    neverBreaks(({ before, after }) => {
      const turned = [0, 0];
      let entered = 0;
      for (const { kind, code, a, b } of after.events) {
        if ([kind, code, a, b].some((value) => value !== (value | 0))) return 'not whole';
        if (kind === 3 || kind === 4) turned[(code - 1) >> 5]! ^= 1 << ((code - 1) & 31);
        if (kind === 2) entered += a === before.phase && code === after.phase ? 1 : 100;
      }
      if (turned[0] !== (before.conditions ^ after.conditions)) return 'a condition turned without being told';
      if (turned[1] !== (before.conditionsHigh ^ after.conditionsHigh)) return 'a condition turned without being told';
      return entered !== (before.phase === after.phase ? 0 : 1) && 'a phase was not told once';
    });
  });

  test('and it did happen: every phase was entered and left', () => {
    expect([...phasesSeen].sort((a, b) => a - b)).toEqual(Object.values(Phase));
    expect([...leftPhases].sort((a, b) => a - b)).toEqual(Object.values(Phase));
  });
});
