/*
 * The motor that turns the part: each start is announced by the buzzer, since hands may be in the tank, and a motor that brings no pulse
 * is started again three times and then left off. Called by the supervisor once a second. What a part that stands means for the run is
 * decided in the table of conditions.
 */
import { Condition } from './codes.js';
import { type RunState, tell } from './run-state.js';
import { EventKind } from './signals.js';

/** Our own practice, no source. */
const ANNOUNCED_MS = 5000;
const FIRST_PULSE_MS = 30000;
const TRIES = 3;
const STOPPED = 1 << (Condition.rotationStopped - 1);

/** Off, and not about to start. */
export function stopMotor(state: RunState): void {
  state.outputs.motorOn = false;
  state.motorStartsAtMs = 0;
}

/** At a reset at the bath: a motor that was given up may be tried again. */
export function forgetMotorTries(state: RunState): void {
  state.motorTries = 0;
  state.motorIsGivenUp = false;
}

/** One look, after the condition `rotationStopped` was looked at. `isWanted`: the part should turn at `pulsesPerMinute`. */
export function runMotor(state: RunState, isWanted: boolean, pulsesPerMinute: number): void {
  const clockMs = state.clockMs;
  if (!isWanted || state.motorIsGivenUp) {
    stopMotor(state);
  } else if (state.outputs.motorOn) {
    if (!((state.seen | state.conditions) & STOPPED)) state.motorTries = 0;
    // A slow part needs longer to show a pulse.
    const patienceMs = Math.max(FIRST_PULSE_MS, 132000 / pulsesPerMinute);
    if (state.seen & STOPPED && clockMs - state.motorOnSinceMs >= patienceMs) {
      state.outputs.motorOn = false;
      if (state.motorTries >= TRIES) {
        state.motorIsGivenUp = true;
      } else {
        state.motorTries++;
        state.motorStartsAtMs = clockMs + ANNOUNCED_MS;
      }
    }
  } else if (state.motorStartsAtMs === 0) {
    state.motorStartsAtMs = clockMs + ANNOUNCED_MS;
  } else if (clockMs >= state.motorStartsAtMs) {
    stopMotor(state);
    state.outputs.motorOn = true;
    state.motorOnSinceMs = clockMs;
    if (state.motorTries) tell(state, EventKind.rotationRestart, state.motorTries, 0, 0);
  }
}
