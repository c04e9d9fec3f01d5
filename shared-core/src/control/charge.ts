/*
 * The charge account of a run: current over time, in whole millicoulombs, exact to the last one it was given.
 * Called once a step by the supervisor, with the readings taken. Never estimates across a gap that is longer than 20 s.
 */
import { Reading } from './readings.js';
import type { RunState } from './run-state.js';
import type { Inputs } from './signals.js';

/** The longest gap between two good readings that their mean may stand for: the one-shot opens the contactor after it. */
const GAP_MS_MAX = 20000;

/**
 * Adds the mean of the last and this good reading times the time between them (amperes x milliseconds are millicoulombs),
 * if the phase was live; of a longer gap only its first 20 s. Reverse current counts as none, so charge never falls.
 */
export function countCharge(state: RunState, inputs: Inputs, wasLive: boolean): void {
  if (state.readings[Reading.currentAmps]! >= 0) {
    const currentAmps = Math.max(0, inputs.currentAmps);
    if (wasLive) {
      state.chargeRemainder +=
        ((state.lastGoodAmps + currentAmps) / 2) * Math.min(GAP_MS_MAX, state.clockMs - state.lastGoodAtMs);
      const whole = Math.floor(state.chargeRemainder);
      state.chargeMilliCoulombs += whole;
      state.chargeRemainder -= whole;
    }
    state.lastGoodAmps = currentAmps;
    state.lastGoodAtMs = state.clockMs;
  }
  state.readings[Reading.chargeAmpereHours] = state.chargeMilliCoulombs / 3.6e6;
}
