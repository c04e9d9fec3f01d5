/* What is expected of the conditions of current, voltage, monitor and contactor, and of those of the emergency stop. */
import {
  type Act,
  calm,
  everyPhase,
  type Expectation,
  fact,
  livePhases,
  type PhaseName,
  shows,
  sinceMs,
  times,
  volts,
} from './expectation.js';

const monitorFault =
  (fault: 0 | 1 | 2 | 3): Act =>
  (bath) =>
    (bath.inputs.monitorFault = fault);
const without = (...names: PhaseName[]): PhaseName[] => livePhases.filter((name) => !names.includes(name));
/** The voltage that the cell would have at the plating current of 20 A. */
const voltsAtPlate =
  (atPlate: number): Act =>
  (bath) =>
    (bath.voltsFor = (amps) => (atPlate / 20) * amps);

/** Voltage has climbed from 6.5 V for five minutes at the same current. */
const climbedTo =
  (terminalVolts: number): Act =>
  (bath) => {
    const { spans, clockMs, outputs } = bath.state;
    spans.volts.fill(6.5);
    spans.voltsCount = 6;
    spans.voltsAtMs = clockMs;
    spans.voltsAmps = outputs.permittedAmps;
    volts(terminalVolts)(bath);
  };

export const ofElectricity: readonly Expectation[] = [
  {
    name: 'currentHigh',
    outcome: 'hold',
    justInside: shows(23.99),
    // (In the small currents of other phases half an ampere more is needed; in polarity that is 150 % already.)
    atLimit: (bath) =>
      (bath.currentFor = bath.phaseName() === 'plate' ? () => 24 : (amps): number => Math.max(1.2 * amps, amps + 0.5)),
    gone: times(1),
    onDelaySeconds: 2,
    offDelaySeconds: 5,
    told: { a: 24_000, b: 24_000 },
    judgedIn: without('polarity'),
  },
  {
    name: 'currentVeryHigh',
    outcome: 'trip',
    justInside: times(1.4999), // (which is a hold after 2 s: looked at before that)
    atLimit: (bath) => (bath.currentFor = (amps) => Math.max(1.5 * amps, 0.5 + amps)),
    gone: times(0),
    onDelaySeconds: 0.4,
    offDelaySeconds: 1,
    told: { a: 30_000, b: 30_000 },
    judgedIn: everyPhase,
  },
  {
    name: 'alertLatch',
    outcome: 'trip',
    atLimit: (bath) => (bath.inputs.alertLatchOpen = true),
    gone: (bath) => (bath.inputs.alertLatchOpen = false),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
    judgedIn: livePhases,
  },
  ...(['monitorSilent', 'monitorChanged', 'monitorClipped'] as const).map((name, index) => ({
    name,
    outcome: 'trip' as const,
    atLimit: monitorFault((index + 1) as 1 | 2 | 3),
    gone: monitorFault(0),
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: fact,
    judgedIn: livePhases,
  })),
  {
    name: 'emergencyStop',
    outcome: 'trip',
    atLimit: (bath) => (bath.inputs.emergencyStopPressed = true),
    gone: (bath) => (bath.inputs.emergencyStopPressed = false),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
    judgedIn: livePhases,
  },
  {
    name: 'contactorDropped',
    outcome: 'trip',
    atLimit: (bath) => (bath.contactorFor = () => false),
    gone: () => undefined, // it is open, as it should be in a trip
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
    judgedIn: livePhases,
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
    judgedIn: ['idle', 'ready', 'done', 'trip'],
  },
  {
    name: 'currentOutsideBand', // too much: 5 %
    outcome: 'warn',
    justInside: shows(20.99),
    atLimit: (bath) => (bath.currentFor = (amps) => amps + Math.max(0.3001, 0.05 * amps)),
    gone: times(1),
    onDelaySeconds: 10,
    offDelaySeconds: 10,
    told: { a: 21_000, b: 21_000 },
    judgedIn: without('polarity'),
  },
  {
    name: 'currentOutsideBand', // too little: 0.3 A of the 2 A in finish
    outcome: 'warn',
    startsIn: 'finish',
    justInside: shows(1.701),
    atLimit: (bath) => (bath.currentFor = (amps) => amps - Math.max(0.3001, 0.05 * amps)),
    gone: times(1),
    onDelaySeconds: 10,
    offDelaySeconds: 10,
    told: { a: 1_700, b: 1_700 },
    judgedIn: without('polarity'),
  },
  {
    name: 'anodePassivating',
    outcome: 'derate',
    fractionLeft: 0.5,
    justInside: climbedTo(7.19),
    atLimit: climbedTo(7.2),
    gone: calm,
    onDelaySeconds: 10,
    offDelaySeconds: 1800,
    told: { a: 7_200, b: 7_200 },
    isSlow: true,
    endsItself: true,
    judgedIn: ['plate'],
  },
  {
    name: 'contactLost',
    outcome: 'hold',
    justInside: (bath) => {
      volts(7.6)(bath);
      times(0.5)(bath);
    },
    atLimit: (bath) => {
      volts(7.6)(bath);
      times(0.499)(bath);
    },
    gone: calm,
    onDelaySeconds: 3,
    offDelaySeconds: 1,
    told: { a: 9_980, b: 10_000 },
    clearsByPress: true,
    judgedIn: ['plate', 'finish', 'hold'],
  },
  {
    name: 'shortCircuit', // of a cell that had 2.9 V
    outcome: 'trip',
    justInside: voltsAtPlate(0.601),
    atLimit: voltsAtPlate(0.599),
    gone: calm,
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: { a: 599, b: 600 },
    judgedIn: ['ramp', 'plate'], // the others have no more than a fifth of 20 A
  },
  {
    name: 'reverseCurrent', // 2 % of 20 A
    outcome: 'trip',
    justInside: shows(-0.39),
    atLimit: shows(-0.4),
    gone: times(0),
    onDelaySeconds: 0.4,
    offDelaySeconds: 1,
    told: { a: -400, b: -400 },
    judgedIn: without('polarity'), // there it is polarityReversed
  },
  {
    name: 'senseImplausible', // the leads are swapped, or one is off
    outcome: 'trip',
    justInside: (bath) => {
      shows(0.4)(bath);
      volts(-0.1)(bath);
    },
    atLimit: volts(-0.11),
    gone: calm,
    startsIn: 'strike', // (where no short is judged)
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: { a: -110, b: -100 },
    judgedIn: livePhases,
  },
  {
    name: 'senseImplausible', // a current without a voltage
    outcome: 'trip',
    justInside: volts(0.02),
    atLimit: volts(0.019),
    gone: calm,
    startsIn: 'strike',
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: { a: 19, b: 20 },
    judgedIn: without('polarity'), // held there without a current by this suite
  },
  {
    name: 'senseImplausible', // voltage is left, and the shunt sees hardly any current: its leads hang loose
    outcome: 'trip',
    justInside: shows(2),
    atLimit: shows(1.99),
    gone: times(1),
    startsIn: 'plate',
    onDelaySeconds: 1,
    offDelaySeconds: 1,
    told: { a: 739, b: 300 },
    judgedIn: ['plate'], // in the others so much is not under a tenth of what is permitted; strike and ramp wait
  },
  {
    name: 'currentDoesNotFall', // 2 % of 20 A
    outcome: 'trip',
    startsIn: 'ready',
    justInside: shows(0.39),
    atLimit: shows(0.4),
    gone: times(0),
    onDelaySeconds: 5,
    offDelaySeconds: 1,
    told: { a: 400, b: 400 },
    isSlow: true,
    judgedIn: ['idle', 'ready', 'done', 'trip'],
  },
  {
    name: 'voltageHigh', // 102 % of 8 V
    outcome: 'trip',
    justInside: volts(8.16),
    atLimit: volts(8.161),
    gone: calm,
    onDelaySeconds: 2,
    offDelaySeconds: 1,
    told: { a: 8_161, b: 8_160 },
    judgedIn: livePhases,
  },
  {
    name: 'noCurrentAtStart',
    outcome: 'trip',
    startsIn: 'polarity',
    // half of the 0.8 A would be enough; the 30 s are those of the phase
    justInside: (bath) => {
      bath.state.phaseSinceMs = sinceMs(bath, 29.8);
      shows(0.3)(bath);
    },
    atLimit: (bath) => {
      bath.state.phaseSinceMs = sinceMs(bath, 30);
      shows(0.3)(bath);
    },
    gone: times(0),
    onDelaySeconds: 0,
    offDelaySeconds: 0,
    told: fact,
    isSlow: true,
    judgedIn: ['polarity'],
  },
  {
    name: 'polarityReversed',
    outcome: 'trip',
    startsIn: 'polarity',
    justInside: shows(-0.09),
    atLimit: shows(-0.1),
    gone: times(0),
    onDelaySeconds: 0.4,
    offDelaySeconds: 1,
    told: { a: -100, b: -100 },
    judgedIn: ['polarity'],
  },
];
