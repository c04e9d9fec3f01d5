/*
 * The charge account of a run: current over time, in whole millicoulombs, exact to the last one it was given.
 * Called by the supervisor with each good reading. Never estimates across a gap that is longer than 20 s.
 */
import type { RunState } from './run-state.js';

/** The longest gap between two good readings that their mean may stand for: the one-shot opens the contactor after it. */
const GAP_MS_MAX = 20000;

/**
 * Adds the mean of the last and this good reading times the time between them (amperes x milliseconds are millicoulombs),
 * if the phase was live; of a longer gap only its first 20 s. Reverse current counts as none, so charge never falls.
 */
export function countCharge(state: RunState, measuredAmps: number, wasLive: boolean): void {
  const currentAmps = measuredAmps > 0 ? measuredAmps : 0;
  if (wasLive) {
    let gapMs = state.clockMs - state.lastGoodAtMs;
    if (gapMs > GAP_MS_MAX) gapMs = GAP_MS_MAX;
    const milliCoulombs = state.chargeRemainder + ((state.lastGoodAmps + currentAmps) / 2) * gapMs;
    const whole = Math.floor(milliCoulombs);
    state.chargeMilliCoulombs += whole;
    state.chargeRemainder = milliCoulombs - whole;
  }
  state.lastGoodAmps = currentAmps;
  state.lastGoodAtMs = state.clockMs;
}
