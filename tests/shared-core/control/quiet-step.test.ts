/*
 * A step that has nothing to decide is cut short. Whatever comes, a run that takes this way is, step by step, the run that never takes test.
 */
import { Command, EventKind, type Inputs, MonitorFault, step } from '@bathkeeper/shared-core/control';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bathIn, type ScriptedBath } from './scripted-bath.js';

/** What the next step reads otherwise, and how many steps go by before something else comes. */
interface Moment {
  readonly change: Partial<Inputs>;
  readonly share: number;
  readonly stepSeconds: number;
  readonly steps: number;
}

const change: fc.Arbitrary<Partial<Inputs>> = fc.oneof(
  { weight: 6, arbitrary: fc.constant({}) },
  fc.constantFrom<Partial<Inputs>>(
    { startPressed: true },
    { stopPressed: true },
    { resetPressed: true },
    { startPressed: true, startHeld: true },
    { emergencyStopPressed: true },
    { emergencyStopPressed: false },
    { alertLatchOpen: true },
    { alertLatchOpen: false },
    { monitorFault: MonitorFault.changed },
    { monitorFault: MonitorFault.none },
    { command: Command.hold },
    { command: Command.acknowledge },
    { command: Command.lower, lowerToAmps: 8 },
    { bathCelsius: 33 },
    { bathCelsius: 24 },
    { leakSeen: true },
    { agitationStopped: true },
    { agitationStopped: false },
    { dashboardSilentSeconds: 5000 },
  ),
);
const moment: fc.Arbitrary<Moment> = fc.record({
  change,
  share: fc.constantFrom(1, 1, 1, 1, 0.999, 1.02, 0.96, 0.9, 1.3, 1.7, -0.1, NaN),
  stepSeconds: fc.constantFrom(0.2, 0.2, 0.2, 0.12, 0, 0.9, 6),
  steps: fc.integer({ min: 1, max: 25 }),
});

function play(bath: ScriptedBath, { change: changed, share, stepSeconds }: Moment, isFirst: boolean): void {
  if (isFirst) Object.assign(bath.inputs, changed);
  bath.currentFor = (amps) => amps * share;
  bath.step(isFirst ? stepSeconds : 0.2);
}

describe('a step that has nothing to decide', () => {
  test('is told apart only by its return: state, outputs and events are those of a step that decides', () => {
    let quietSteps = 0;
    fc.assert(
      fc.property(fc.array(moment, { minLength: 1, maxLength: 30 }), (moments) => {
        const bath = bathIn('plate');
        const twin = bathIn('plate');
        twin.beforeStep = () => (twin.state.isQuiet = false);
        for (const one of moments) {
          for (let count = 0; count < one.steps; count++) {
            if (bath.state.isQuiet) quietSteps++;
            play(bath, one, count === 0);
            play(twin, one, count === 0);
            expect({ ...bath.state, isQuiet: false }).toEqual({ ...twin.state, isQuiet: false });
          }
        }
        expect(bath.told).toEqual(twin.told);
      }),
      { numRuns: 60 },
    );
    expect(quietSteps).toBeGreaterThan(300);
  });

  test('is every step of a calm hour, those that look at what is slow among them', () => {
    const bath = bathIn('plate').advance(10);
    let decided = 0;
    for (let count = 0; count < 18_000; count++) {
      const { state, inputs } = bath;
      bath.seconds += 0.2;
      if (count % 50 === 0) inputs.rotationPulses++;
      if (!step(state, inputs, bath.limits, true, Math.round(bath.seconds * 1000))) decided++;
      expect(state.events.filter((event) => event.kind === EventKind.conditionRaised)).toEqual([]);
    }
    expect(decided).toBeLessThan(18);
  });
});
