/*
 * What one row of the conditions' suite says, in words of the trade: when it acts, after how long, what it does, and where it is judged.
 * The expectations stand a second time beside the table, so that a slip in it is seen. Limits and delays are our own practice; no outside source.
 */
import type { Condition, Phase } from '@bathkeeper/shared-core/control';
import { type ScriptedBath, STEP_SECONDS } from '../scripted-bath.js';

export type PhaseName = keyof typeof Phase;
export type Outcome = 'note' | 'warn' | 'derate' | 'hold' | 'finish' | 'trip';
export type Act = (bath: ScriptedBath) => unknown;

export const everyPhase: readonly PhaseName[] = [
  'idle',
  'ready',
  'polarity',
  'strike',
  'ramp',
  'plate',
  'finish',
  'hold',
  'done',
  'trip',
];
export const livePhases: readonly PhaseName[] = ['polarity', 'strike', 'ramp', 'plate', 'finish', 'hold'];

export interface Expectation {
  readonly name: keyof typeof Condition;
  readonly outcome: Outcome;
  /** Of derate: the fraction of the set-point that is left. */
  readonly fractionLeft?: number;
  /** Brings the value to its limit (or the fact about). Values are set so that they stay there. */
  readonly atLimit: Act;
  /** As near to it as must still be fine. Facts that are only true or false have none. */
  readonly justInside?: Act;
  /** Below the limit, yet within the deadband: what stands stays. Only where there is one. */
  readonly withinDeadband?: Act;
  readonly gone: Act;
  readonly onDelaySeconds: number;
  readonly offDelaySeconds: number;
  /** What the event says, thousandths. */
  readonly told: { readonly a: number; readonly b: number };
  readonly startsIn?: PhaseName;
  /** The phases in which it is raised. */
  readonly judgedIn: readonly PhaseName[];
  /** It is looked at once a second. */
  readonly isSlow?: boolean;
  /** What it does takes its cause away; when it clears is tested by itself. */
  readonly endsItself?: boolean;
  /** It ends only by a press at the bath. */
  readonly clearsByPress?: boolean;
}

/** The only true or false has no value to tell. */
export const fact = { a: 0, b: 0 };

export const degrees =
  (bathCelsius: number): Act =>
  (bath) =>
    (bath.inputs.bathCelsius = bathCelsius);
/** The shunt shows so much of what is permitted. */
export const times =
  (factor: number): Act =>
  (bath) =>
    (bath.currentFor = (amps) => amps * factor);
/** The shunt shows this, whatever is permitted. */
export const shows =
  (amps: number): Act =>
  (bath) =>
    (bath.currentFor = () => amps);
/** The terminals show this, whatever the current. */
export const volts =
  (terminalVolts: number): Act =>
  (bath) =>
    (bath.voltsFor = () => terminalVolts);
/** The cell is as it should be. */
export const calm: Act = (bath) => {
  bath.currentFor = (amps) => amps;
  bath.voltsFor = (amps) => (amps > 0 ? 0.5 + 0.12 * amps : 0);
};
/** Keeps something so before every step, as what decides it would. */
export const kept =
  (act: Act): Act =>
  (bath) =>
    (bath.beforeStep = act);
/** The moment that is so many seconds old by the next step. */
export function sinceMs(bath: ScriptedBath, seconds: number): number {
  return Math.round((bath.seconds + STEP_SECONDS - seconds) * 1000);
}
/** Makes the last pulse this many seconds old by the next step. */
export const pulseAge =
  (seconds: number): Act =>
  (bath) => {
    bath.isTurning = false;
    bath.state.lastPulseAtMs = sinceMs(bath, seconds);
  };
/** The shaft turns again (by hand, if the motor is off by now). */
export const turning = kept((bath) => bath.inputs.rotationPulses++);
