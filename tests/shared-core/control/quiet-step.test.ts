/*
 * A step that has nothing to decide is cut short. Whatever comes, a run that takes this way is, step by step, the run that never takes it.
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

  test('says true only where nothing was decided', () => {
    const bath = bathIn('plate').advance(10);
    const { state, inputs } = bath;
    const next = (change: Partial<Inputs> = {}): boolean => {
      bath.seconds += 0.2;
      return step(state, Object.assign(inputs, change), bath.limits, true, Math.round(bath.seconds * 1000));
    };
    expect(next()).toBe(true);
    expect(next({ command: Command.acknowledge })).toBe(false);
    expect(next({ command: Command.none })).toBe(false);
    expect(next()).toBe(true);
    // What is slow is looked at once a second: the step that finds something has decided.
    inputs.bathCelsius = 29;
    let ended: boolean | undefined;
    while (state.isQuiet) ended = next();
    expect(ended).toBe(false);
    expect(state.isToJudge).toBe(true);
  });

  test('hides no auxiliary contact that opens while the current flows on', () => {
    const bath = bathIn('plate').advance(10);
    expect(bath.state.isQuiet).toBe(true);
    bath.inputs.contactorClosed = false;
    expect(step(bath.state, bath.inputs, bath.limits, true, Math.round((bath.seconds += 0.2) * 1000))).toBe(false);
    expect(bath.phaseName()).toBe('trip');
  });

  test.each<[string, (bath: ScriptedBath) => unknown, string]>([
    ['a contactor that drops', (bath) => (bath.contactorFor = () => false), 'trip'],
    ['an open alert latch', (bath) => (bath.inputs.alertLatchOpen = true), 'trip'],
    ['the emergency stop', (bath) => (bath.inputs.emergencyStopPressed = true), 'trip'],
    ['a press of stop', (bath) => (bath.inputs.stopPressed = true), 'done'],
    ['a hold that is asked from afar', (bath) => (bath.inputs.command = Command.hold), 'hold'],
  ])('hides nothing that is urgent: %s counts in the very next step', (_, comes, phase) => {
    const bath = bathIn('plate').advance(10);
    bath.step();
    expect(bath.state.isQuiet).toBe(true);
    comes(bath);
    bath.step();
    expect(bath.phaseName()).toBe(phase);
  });

  test.each([8, 19.5])(
    'tells an answer once, and judges by a current lowered to %d A once that has settled',
    (amps) => {
      const bath = bathIn('plate').advance(10);
      bath.inputs.lowerToAmps = amps;
      bath.command(Command.lower);
      bath.advance(60);
      expect(bath.toldOf(EventKind.commandAnswered).length).toBe(1);
      expect(bath.state.outputs.permittedAmps).toBe(amps);
      expect(bath.state.judgedAmps).toBe(amps);
    },
  );
});
