/*
 * What the conditions look at: the values of this step and the limits that they are judged by, in one numbered list.
 * Filled once a step by the supervisor, read by the table in conditions.ts. NaN says that a value cannot be had now. Decides nothing.
 */
import { isLive } from './phase.js';
import type { RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';
import { type Inputs, MonitorFault } from './signals.js';

/** Places in the list. The three of the monitor stand in the order of MonitorFault. */
export const Reading = {
  /** the limit of everything that is only true or false */
  one: 0,
  monitorSilent: 1,
  monitorChanged: 2,
  monitorClipped: 3,
  currentAmps: 4,
  currentHighAmps: 5,
  currentVeryHighAmps: 6,
  alertLatchOpen: 7,
  bathCelsius: 8,
  bathWarnCelsius: 9,
  bathHoldCelsius: 10,
  bathTripCelsius: 11,
  probeBad: 12,
  pulseAgeSeconds: 13,
  pulseAgeWarnSeconds: 14,
  pulseAgeDerateSeconds: 15,
  emergencyStopPressed: 16,
  contactorDropped: 17,
  restartedInRun: 18,
  /** filled when the charge of this step is counted */
  chargeAmpereHours: 19,
  chargeAimAmpereHours: 20,
  liveSeconds: 21,
  longestSeconds: 22,
  contactorContradicts: 23,
} as const;

/** A limit that is not there, so that what was raised by an earlier recipe can clear. */
const OUT_OF_REACH = 1e9;

/** Seconds since the last rotation pulse. */
export function pulseAgeSeconds(state: RunState): number {
  return (state.clockMs - state.lastPulseAtMs) / 1000;
}

/** Fills `state.readings`, charge excepted. A current, voltage or temperature that is no number is as good as no answer. */
export function takeReadings(state: RunState, inputs: Inputs, limits: RigLimits): void {
  const readings = state.readings;
  const recipe = state.recipe;
  const live = isLive(state.phase);
  const monitorFault = isFinite(inputs.currentAmps + inputs.terminalVolts) ? inputs.monitorFault : MonitorFault.silent;
  const probeIsBad = inputs.probeFault || !isFinite(inputs.bathCelsius);
  readings[Reading.one] = 1;
  // While one fault of the monitor stands nobody can say that another is gone: a monitor that changes between them is still not to be believed.
  for (let fault = 1; fault < 4; fault++) readings[fault] = monitorFault === fault ? 1 : monitorFault ? NaN : 0;
  readings[Reading.currentAmps] = monitorFault ? NaN : Math.abs(inputs.currentAmps);
  // Never by less than 0.5 A: noise and offset at small currents.
  readings[Reading.currentHighAmps] = Math.max(1.2 * state.judgedAmps, state.judgedAmps + 0.5);
  readings[Reading.currentVeryHighAmps] = Math.max(1.5 * state.judgedAmps, state.judgedAmps + 0.5);
  readings[Reading.alertLatchOpen] = inputs.alertLatchOpen ? 1 : 0;
  readings[Reading.bathCelsius] = probeIsBad ? NaN : inputs.bathCelsius;
  readings[Reading.bathWarnCelsius] = recipe ? recipe.bathWarnCelsius : OUT_OF_REACH;
  readings[Reading.bathHoldCelsius] = recipe ? recipe.bathHoldCelsius : OUT_OF_REACH;
  readings[Reading.bathTripCelsius] = limits.bathCelsiusMax;
  readings[Reading.probeBad] = probeIsBad ? 1 : 0;
  // Two pulses missed, with a fifth of a period as slack. A motor that is off is not judged.
  const warnSeconds = Math.max(20, recipe ? 132 / recipe.rotationPulsesPerMinute : 0);
  readings[Reading.pulseAgeSeconds] = state.outputs.motorOn ? pulseAgeSeconds(state) : 0;
  readings[Reading.pulseAgeWarnSeconds] = warnSeconds;
  readings[Reading.pulseAgeDerateSeconds] = warnSeconds + 120;
  readings[Reading.emergencyStopPressed] = inputs.emergencyStopPressed ? 1 : 0;
  // Emergency stop and alert latch open the contactor themselves; they are the cause then.
  readings[Reading.contactorDropped] =
    live && !inputs.contactorClosed && !inputs.emergencyStopPressed && !inputs.alertLatchOpen ? 1 : 0;
  readings[Reading.restartedInRun] = state.restartedInRun ? 1 : 0;
  readings[Reading.chargeAimAmpereHours] = recipe ? recipe.chargeMilliCoulombs / 3.6e6 : OUT_OF_REACH;
  readings[Reading.liveSeconds] = state.liveMs / 1000;
  readings[Reading.longestSeconds] = recipe ? recipe.longestSeconds : OUT_OF_REACH;
  // In ready press and feedback belong together (the press is only remembered there); in the other phases that are not live the contactor has to be open.
  readings[Reading.contactorContradicts] = !live && inputs.contactorClosed !== state.startIsPressed ? 1 : 0;
}
