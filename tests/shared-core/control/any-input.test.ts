/*
 * One step, and a burst of steps, from every phase with anything at all in the inputs: numbers that are none, infinite, absent, of the wrong sign.
 * Whatever it is, the gate holds, nothing is energised and no hold is left without a press, charge does not fall, and nothing is thrown.
 */
import {
  createRunState,
  gatedAmps,
  type Inputs,
  isLive,
  Phase,
  type RigLimits,
  type RunState,
  runLimitAmps,
  step,
  SupplyKind,
} from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bathIn, lampshade, rig } from './scripted-bath.js';

const RUNS = 150;
const phases = Object.keys(Phase) as (keyof typeof Phase)[];
/** A state in each phase to begin from; copied for each run. */
const states: Readonly<Record<string, RunState>> = Object.fromEntries([
  ...phases.map((phase) => [phase, bathIn(phase).state]),
  ...phases
    .filter((phase) => phase !== 'finish' && phase !== 'hold' && phase !== 'done')
    .map((phase) => [`${phase} by hand`, bathIn(phase, lampshade, SupplyKind.byHand).state]),
]);
const stateIn = (name: string): RunState => states[name]!;
const good: Inputs = { ...bathIn('ready').inputs };

const anyNumber = fc.oneof(
  fc.constantFrom(0, 0.1, 1, -1, 4, 20, 24, 35, 1e9, -1e9, NaN, Infinity, -Infinity, undefined, null, 'x'),
  fc.double({ min: -50, max: 50, noNaN: true }),
);
const anyFlag = fc.constantFrom<unknown>(false, false, true, undefined, null, 0, 1, NaN);
const anyCode = fc.constantFrom<unknown>(0, 0, 0, 1, 2, 3, 4, 5, 9, -1, NaN, undefined);

function anyOf(name: keyof Inputs): fc.Arbitrary<unknown> {
  if (typeof good[name] === 'boolean') return anyFlag;
  return ['monitorFault', 'probeFault', 'supplyFault', 'command'].includes(name) ? anyCode : anyNumber;
}

/** Most fields as they should be, some anything. */
const anyInputs = fc
  .record(Object.fromEntries((Object.keys(good) as (keyof Inputs)[]).map((name) => [name, anyOf(name)])), {
    requiredKeys: [],
  })
  .map((changes) => ({ ...good, ...changes }));
const anyLimits = fc
  .record(
    { currentAmpsMax: anyNumber, terminalVoltsMax: anyNumber, bathCelsiusMax: anyNumber, runSecondsMax: anyNumber },
    { requiredKeys: [] },
  )
  .map((changes) => ({ ...rig, ...changes }) as RigLimits);
const anyGap = fc.constantFrom(200, 200, 200, 0, 1, 1000, 25_000, 400_000, -1000, NaN);

interface Before {
  readonly phase: Phase;
  readonly permittedAmps: number;
  readonly contactorEnabled: boolean;
  readonly chargeMilliCoulombs: number;
  readonly missing: number;
}

/** What must hold between two steps; the sentence that is broken, or nothing. */
function broken(before: Before, state: RunState, inputs: Inputs, limits: RigLimits): string | undefined {
  const { permittedAmps, contactorEnabled, supplyEnabled, alertTestOn, motorOn } = state.outputs;
  if (!(permittedAmps >= 0)) return 'permitted is no number';
  if (permittedAmps > runLimitAmps(state, limits)) return 'permitted above the limit of the run';
  if (permittedAmps > 0 && !(isLive(state.phase) && contactorEnabled)) return 'permitted where nothing may flow';
  if (!isLive(before.phase) && isLive(state.phase)) {
    if (before.phase !== Phase.ready || state.phase !== Phase.polarity) return 'live by another way than the start';
    if (!before.contactorEnabled || !inputs.contactorClosed) return 'live without the chain';
  }
  if (
    before.phase === Phase.hold &&
    state.phase !== Phase.hold &&
    isLive(state.phase) &&
    state.phase !== Phase.finish
  ) {
    if (!inputs.startPressed) return 'out of a hold without a press';
  }
  if (before.phase === Phase.trip && state.phase !== Phase.trip && !inputs.resetPressed)
    return 'out of a trip without a reset';
  if (contactorEnabled && !before.contactorEnabled && state.phase !== Phase.ready) return 'enabled outside ready';
  if (contactorEnabled && state.phase === Phase.ready && state.permissivesMissing)
    return 'enabled with something missing';
  if (alertTestOn && (contactorEnabled || state.phase !== Phase.ready)) return 'tested where the chain may close';
  if (motorOn && !(state.phase === Phase.ready || isLive(state.phase))) return 'turning where nobody wants it';
  if (supplyEnabled && (state.phase === Phase.idle || state.phase === Phase.done)) return 'supplied without a run';
  if (state.chargeMilliCoulombs < before.chargeMilliCoulombs) return 'charge fell';
  if (!Number.isSafeInteger(state.chargeMilliCoulombs)) return 'charge is not whole';
  return state.events.some(({ kind, code }) => !(kind > 0) || !Number.isInteger(code))
    ? 'an event without a name'
    : undefined;
}

/** With nothing but wrong readings and no press: nothing may go up. */
const noPress = { startPressed: false, startHeld: false, resetPressed: false, resetHeld: false };

describe.each(Object.keys(states))('from %s', (name) => {
  test('anything at all keeps the gate, the presses and the charge, and throws nothing', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(anyInputs, anyLimits, anyGap), { minLength: 1, maxLength: 8 }), (steps) => {
        const state = structuredClone(stateIn(name));
        let nowMs = state.lastStepMs;
        for (const [inputs, limits, gapMs] of steps) {
          const before: Before = {
            phase: state.phase,
            permittedAmps: state.outputs.permittedAmps,
            contactorEnabled: state.outputs.contactorEnabled,
            chargeMilliCoulombs: state.chargeMilliCoulombs,
            missing: state.permissivesMissing,
          };
          step(state, inputs, limits, true, nowMs + gapMs);
          if (gapMs >= 0) nowMs += gapMs;
          const what = broken(before, state, inputs, limits);
          if (what) throw new Error(`${what}: ${JSON.stringify({ before, inputs, limits, state })}`);
        }
      }),
      { numRuns: RUNS },
    );
  });

  test('without a press nothing becomes live, no hold and no trip is left', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(anyInputs, anyGap), { minLength: 1, maxLength: 8 }), (steps) => {
        const state = structuredClone(stateIn(name));
        const wasLive = isLive(state.phase);
        for (const [inputs, gapMs] of steps) {
          const { phase } = state;
          const { permittedAmps } = state.outputs;
          step(state, { ...inputs, ...noPress }, rig, true, state.lastStepMs + Math.max(0, gapMs || 0));
          if (!wasLive && isLive(state.phase)) throw new Error('became live');
          if (phase === Phase.trip && state.phase !== Phase.trip) throw new Error('left the trip');
          if (phase === Phase.hold && state.outputs.permittedAmps > permittedAmps)
            throw new Error('more current in hold');
        }
      }),
      { numRuns: RUNS },
    );
  });
});

describe('the gate', () => {
  test('passes zero always, and never more than the lower of the rig and 1.2 times the recipe, whatever is asked', () => {
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(states)), anyNumber, anyLimits, (name, asked, limits) => {
        const state = stateIn(name);
        expect(gatedAmps(0, state, limits)).toBe(0);
        const passed = gatedAmps(asked as number, state, limits);
        expect(passed >= 0 && passed <= 24 && passed <= Math.max(0, Number(limits.currentAmpsMax) || 0)).toBe(true);
        if (!isLive(state.phase)) expect(passed).toBe(0);
      }),
      { numRuns: 2000 },
    );
  });

  test('is closed at power-up', () => {
    expect(gatedAmps(10, createRunState(), rig)).toBe(0);
  });
});
