/* What is expected of the conditions of time, of the start, and of what surrounds the controller: supply, memory, dashboard, people. */
import {
  type Act,
  calm,
  times,
  volts,
  everyPhase,
  type Expectation,
  fact,
  kept,
  livePhases,
  sinceMs,
} from './expectation.js';

const atOnce = { onDelaySeconds: 0, offDelaySeconds: 0, isSlow: true };
const silentFor =
  (seconds: number): Act =>
  (bath) =>
    (bath.inputs.dashboardSilentSeconds = seconds);
const longest = (
  seconds: number,
  set: (bath: Parameters<Act>[0], atMs: number) => unknown,
): Pick<Expectation, 'justInside' | 'atLimit' | 'told'> => ({
  justInside: (bath) => set(bath, sinceMs(bath, seconds - 0.2)),
  atLimit: (bath) => set(bath, sinceMs(bath, seconds)),
  told: { a: seconds * 1000, b: seconds * 1000 },
});

export const ofTheController: readonly Expectation[] = [
  {
    ...atOnce,
    // twice the 2,400 s of strike and ramp, and half an hour
    ...longest(6600, ({ state }, atMs) => (state.spans.startingSinceMs = atMs)),
    name: 'longestPhase',
    outcome: 'warn',
    startsIn: 'strike',
    gone: ({ state }) => (state.spans.startingSinceMs = state.clockMs),
    judgedIn: ['strike', 'ramp'],
  },
  {
    ...atOnce,
    ...longest(3600, (bath, atMs) => {
      bath.inputs.agitationStopped = true;
      // (Hold and finish are low already and are never derated.)
      if (['strike', 'ramp', 'plate'].includes(bath.phaseName())) bath.state.derateFraction = 0.5;
      bath.state.spans.deratedSinceMs = atMs;
    }),
    name: 'longestDerate',
    outcome: 'hold',
    gone: ({ inputs }) => (inputs.agitationStopped = false),
    endsItself: true,
    judgedIn: ['strike', 'ramp', 'plate'],
  },
  {
    ...atOnce,
    ...longest(7200, ({ state }, atMs) => (state.phaseSinceMs = atMs)),
    name: 'longestHold',
    outcome: 'warn',
    startsIn: 'hold',
    gone: ({ state }) => (state.phaseSinceMs = state.clockMs),
    judgedIn: ['hold'],
  },
  {
    ...atOnce,
    ...longest(600, ({ state }, atMs) => {
      state.unacknowledged = true;
      state.spans.unacknowledgedSinceMs = atMs;
    }),
    name: 'notAcknowledged',
    outcome: 'warn',
    gone: ({ state }) => (state.unacknowledged = false),
    judgedIn: everyPhase,
  },
  {
    ...atOnce,
    name: 'dashboardUnseen',
    outcome: 'note',
    justInside: silentFor(899),
    atLimit: silentFor(900),
    gone: silentFor(0),
    told: { a: 900_000, b: 900_000 },
    judgedIn: livePhases,
  },
  ...([1, 2, 3] as const).map((fault) => ({
    ...atOnce,
    name: 'supplyFault' as const,
    outcome: 'warn' as const,
    atLimit: (({ inputs }) => (inputs.supplyFault = fault)) satisfies Act,
    gone: (({ inputs }) => (inputs.supplyFault = 0)) satisfies Act,
    onDelaySeconds: 5,
    offDelaySeconds: 5,
    told: fact,
    judgedIn: livePhases,
  })),
  {
    ...atOnce,
    name: 'memoryFault',
    outcome: 'warn',
    atLimit: ({ inputs }) => (inputs.memoryFault = true),
    gone: ({ inputs }) => (inputs.memoryFault = false),
    onDelaySeconds: 30,
    offDelaySeconds: 10,
    told: fact,
    judgedIn: livePhases,
  },
  {
    ...atOnce,
    name: 'rampWaiting',
    outcome: 'note',
    startsIn: 'ramp',
    // (When it waits and goes on is the ramp watch's own matter.)
    atLimit: volts(7.6),
    gone: calm,
    offDelaySeconds: 10,
    told: fact,
    endsItself: true,
    judgedIn: ['strike', 'ramp'],
  },
  {
    ...atOnce,
    name: 'contactWeakInStart',
    outcome: 'warn',
    startsIn: 'ramp',
    // at the ceiling with little current, after it had been better; the three seconds are the ramp watch's own
    atLimit: (bath) => {
      volts(7.6)(bath);
      times(0.4)(bath);
    },
    gone: calm,
    onDelaySeconds: 3,
    told: fact,
    endsItself: true,
    judgedIn: ['strike', 'ramp'],
  },
  {
    ...atOnce,
    name: 'alertLatchNotOpening',
    outcome: 'warn',
    startsIn: 'ready',
    atLimit: kept(({ state }) => (state.latchTestFailed = true)),
    gone: kept(({ state }) => (state.latchTestFailed = false)),
    told: fact,
    judgedIn: everyPhase,
  },
];
