/* What is expected of the conditions of bath, probe, rotation, charge and contacts at the tank. */
import {
  type Act,
  degrees,
  everyPhase,
  type Expectation,
  fact,
  kept,
  livePhases,
  pulseAge,
  turning,
} from './expectation.js';

const probeFault =
  (fault: 0 | 1 | 2 | 3 | 4): Act =>
  (bath) =>
    (bath.inputs.probeFault = fault);
/** 27 degrees, and rising by so many an hour for the last ten minutes. */
const rising = (celsiusPerHour: number): Act =>
  kept(({ state, inputs }) => {
    inputs.bathCelsius = 27;
    state.spans.celsiusPerHour = celsiusPerHour;
    state.spans.celsiusAtMs = state.clockMs;
    state.spans.celsiusCount = 11;
  });
/** The probe has shown the same for so many seconds of current by the next look. */
const still =
  (seconds: number): Act =>
  (bath) => {
    bath.isBathStill = true;
    bath.state.spans.stillMs = (seconds - (bath.state.lastGoodAmps >= 0.2 ? 1 : 0)) * 1000;
  };
const moving: Act = (bath) => (bath.inputs.bathCelsius = 24.0625);
const clip =
  (celsius: number): Act =>
  (bath) =>
    (bath.inputs.clipCelsius = celsius);
/** Pulses come in this time; the measurement goes on afterwards. */
const secondsBetweenPulses = (seconds: number): Act =>
  kept(({ state }) => {
    state.spans.pulseSeconds = seconds;
    state.spans.firstPulseAtMs = Infinity;
  });
const contact = (name: 'leakSeen' | 'smokeSeen' | 'agitationStopped' | 'filterStopped' | 'liquidLow') => ({
  atLimit: (({ inputs }) => (inputs[name] = true)) satisfies Act,
  gone: (({ inputs }) => (inputs[name] = false)) satisfies Act,
  offDelaySeconds: 10,
  told: fact,
  isSlow: true,
});
const temperature = { onDelaySeconds: 30, offDelaySeconds: 60, isSlow: true, judgedIn: livePhases };

export const ofTheBath: readonly Expectation[] = [
  {
    ...temperature,
    name: 'bathWarm',
    outcome: 'warn',
    justInside: degrees(27.99),
    atLimit: degrees(28),
    withinDeadband: degrees(27),
    gone: degrees(26.9),
    told: { a: 28_000, b: 28_000 },
  },
  {
    ...temperature,
    name: 'bathHot',
    outcome: 'hold',
    justInside: degrees(31.99),
    atLimit: degrees(32),
    withinDeadband: degrees(31),
    gone: degrees(30.9),
    told: { a: 32_000, b: 32_000 },
  },
  {
    ...temperature,
    name: 'bathOverheated',
    outcome: 'trip',
    justInside: degrees(39.99),
    atLimit: degrees(40),
    withinDeadband: degrees(39),
    gone: degrees(27.9), // (below 39, and so far that the next start finds its band)
    told: { a: 40_000, b: 40_000 },
  },
  {
    ...temperature,
    name: 'bathWillOverheat', // 32 degrees within the hour
    outcome: 'warn',
    justInside: rising(4.99),
    atLimit: rising(5),
    withinDeadband: rising(4),
    gone: rising(3.9),
    told: { a: 32_000, b: 32_000 },
  },
  {
    ...temperature,
    name: 'bathCold',
    outcome: 'derate',
    fractionLeft: 0.5,
    justInside: degrees(18),
    atLimit: degrees(17.99),
    withinDeadband: degrees(18.99),
    gone: degrees(19),
    onDelaySeconds: 300,
    told: { a: 17_990, b: 18_000 },
  },
  ...([1, 2, 3, 4] as const).map((fault) => ({
    name: 'probeFault' as const,
    outcome: 'warn' as const,
    atLimit: probeFault(fault),
    gone: probeFault(0),
    onDelaySeconds: 30,
    offDelaySeconds: 10,
    told: fact,
    isSlow: true,
    judgedIn: livePhases,
  })),
  {
    name: 'probeFaultLong',
    outcome: 'hold',
    atLimit: probeFault(1),
    gone: probeFault(0),
    onDelaySeconds: 600,
    offDelaySeconds: 10,
    told: fact,
    isSlow: true,
    judgedIn: livePhases,
  },
  ...(
    [
      ['probeStuck', 'warn', 7200],
      ['probeStuckLong', 'hold', 21600],
    ] as const
  ).map(([name, outcome, seconds]) => ({
    name,
    outcome,
    justInside: still(seconds - 0.2),
    atLimit: still(seconds),
    gone: moving,
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: { a: seconds * 1000, b: seconds * 1000 },
    isSlow: true,
    judgedIn: livePhases,
  })),
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
    isSlow: true,
    judgedIn: livePhases,
  },
  {
    name: 'rotationStoppedLong',
    outcome: 'derate',
    fractionLeft: 0.4,
    justInside: pulseAge(141.8),
    atLimit: pulseAge(142),
    gone: turning,
    onDelaySeconds: 0,
    offDelaySeconds: 30,
    told: { a: 142_000, b: 142_000 },
    isSlow: true,
    judgedIn: livePhases,
  },
  {
    name: 'rotationSlow', // two thirds of six a minute
    outcome: 'warn',
    justInside: secondsBetweenPulses(14.99),
    atLimit: secondsBetweenPulses(15),
    gone: secondsBetweenPulses(10),
    onDelaySeconds: 60,
    offDelaySeconds: 30,
    told: { a: 15_000, b: 15_000 },
    isSlow: true,
    judgedIn: livePhases,
  },
  {
    name: 'rotationGivenUp',
    outcome: 'warn',
    atLimit: kept(({ state }) => (state.motorIsGivenUp = true)),
    gone: kept(({ state }) => (state.motorIsGivenUp = false)),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
    isSlow: true,
    judgedIn: livePhases,
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
      bath.state.lastGoodAmps = 20;
    },
    gone: (bath) => (bath.state.chargeMilliCoulombs = 0),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: { a: 50_000, b: 50_000 },
    isSlow: true,
    judgedIn: livePhases,
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
    isSlow: true,
    judgedIn: livePhases,
  },
  {
    ...temperature,
    name: 'clipHot',
    outcome: 'warn',
    justInside: clip(59.99),
    atLimit: clip(60),
    withinDeadband: clip(58),
    gone: clip(57.9),
    onDelaySeconds: 10,
    told: { a: 60_000, b: 60_000 },
  },
  {
    ...temperature,
    name: 'clipHot', // a probe that cannot be read may hide it
    outcome: 'warn',
    atLimit: clip(NaN),
    gone: clip(25),
    onDelaySeconds: 10,
    told: fact,
  },
  {
    ...temperature,
    name: 'clipOverheated',
    outcome: 'trip',
    justInside: clip(69.99),
    atLimit: clip(70),
    withinDeadband: clip(68),
    gone: clip(50), // (below 68, and so far that the next start finds it cool)
    onDelaySeconds: 10,
    told: { a: 70_000, b: 70_000 },
  },
  { ...contact('leakSeen'), name: 'leak', outcome: 'trip', onDelaySeconds: 2, judgedIn: everyPhase },
  { ...contact('smokeSeen'), name: 'smoke', outcome: 'trip', onDelaySeconds: 2, judgedIn: everyPhase },
  ...(['agitationStopped', 'filterStopped'] as const).map((name) => ({
    ...contact(name),
    name,
    outcome: 'derate' as const,
    fractionLeft: 0.5,
    onDelaySeconds: 2,
    judgedIn: livePhases,
  })),
  { ...contact('liquidLow'), name: 'liquidLow', outcome: 'hold', onDelaySeconds: 10, judgedIn: livePhases },
];
