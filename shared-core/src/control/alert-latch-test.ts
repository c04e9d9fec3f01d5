/*
 * The test of the alert latch before each run: the shunt monitor is given a limit that no current can meet, and the latch must open.
 * A person then closes it again at the bath. Called by the supervisor in each step of ready; closes and enables nothing.
 */
import type { RunState } from './run-state.js';
import type { Inputs } from './signals.js';

/** An averaged conversion takes 0.14 s; the rest is slack. Our own practice, no source. */
const OPENING_MS = 5000;

/** The latch is untested, and no test runs: when ready is entered, and after a test that failed and was reset. */
export function forgetAlertLatch(state: RunState): void {
  state.latchIsProven = state.latchTestFailed = state.outputs.alertTestOn = false;
  state.latchTestSinceMs = NaN;
}

/**
 * One step of the test. It begins, and goes on, only with the contactor open, the monitor good, the terminals dead and the latch closed;
 * the permissive `alertLatchProven` keeps the contactor's chain disabled until it is over. `isReset`: try again after a failure.
 */
export function testAlertLatch(state: RunState, inputs: Inputs, monitorIsGood: boolean): void {
  if (state.latchIsProven) return;
  if (inputs.resetPressed && state.latchTestFailed) forgetAlertLatch(state);
  if (state.latchTestFailed) return;
  const isQuiet = monitorIsGood && !inputs.contactorClosed && Math.abs(inputs.terminalVolts) < 0.5;
  if (state.outputs.alertTestOn && inputs.alertLatchOpen === true) {
    forgetAlertLatch(state);
    state.latchIsProven = true;
  } else if (!isQuiet || inputs.alertLatchOpen !== false) {
    state.outputs.alertTestOn = false;
  } else if (!state.outputs.alertTestOn) {
    state.outputs.alertTestOn = true;
    state.latchTestSinceMs = state.clockMs;
  } else if (state.clockMs - state.latchTestSinceMs >= OPENING_MS) {
    state.outputs.alertTestOn = false;
    state.latchTestFailed = true;
  }
}
