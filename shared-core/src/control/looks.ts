/*
 * What the supervisor sees: which conditions are at their limit now, and which cannot be told. Two looks: each step at what is urgent, once a
 * second at what changes slowly, since the interpreter is slow. Called by the supervisor alone; delays and reactions are in conditions.ts.
 * A new condition is a line here. Raises nothing.
 */
import { Condition } from './codes.js';
import { isLive } from './phase.js';
import type { RigLimits } from './recipe.js';
import { Noted, type RunState } from './run-state.js';
import { type Inputs, MonitorFault } from './signals.js';

/** Bits (code - 1). */
const CURRENT = (1 << (Condition.currentHigh - 1)) | (1 << (Condition.currentVeryHigh - 1));
const MONITOR =
  (1 << (Condition.monitorSilent - 1)) | (1 << (Condition.monitorChanged - 1)) | (1 << (Condition.monitorClipped - 1));
/** What is looked at each step; the others keep what the last second showed. */
const EACH_STEP =
  CURRENT |
  MONITOR |
  (1 << (Condition.alertLatch - 1)) |
  (1 << (Condition.emergencyStop - 1)) |
  (1 << (Condition.contactorDropped - 1)) |
  (1 << (Condition.contactorContradicts - 1));
const PROBE = (1 << (Condition.probeFault - 1)) | (1 << (Condition.probeFaultLong - 1));

/** At its limit (value >= limit), or, once raised, not yet below it by more than the deadband: seen. A value that is no number: unknown. */
function look(state: RunState, condition: Condition, value: number, limit: number, deadband: number): void {
  const bit = 1 << (condition - 1);
  if (isNaN(value)) {
    state.unknown |= bit;
  } else if (value >= limit - (state.conditions & bit ? deadband : 0)) {
    state.seen |= bit;
    state.noted[condition + Noted.value] = value;
    state.noted[condition + Noted.limit] = limit;
  }
}

/** True (or the fault) when there is no bath temperature to go by. */
export function probeIsBad(inputs: Inputs): unknown {
  return inputs.probeFault || !isFinite(inputs.bathCelsius);
}

/** Looks at what is urgent. Returns whether the monitor can be believed; a current or voltage that is no number is as good as no answer. */
export function lookEachStep(state: RunState, inputs: Inputs): boolean {
  const live = isLive(state.phase);
  const monitorFault = isFinite(inputs.currentAmps + inputs.terminalVolts) ? inputs.monitorFault : MonitorFault.silent;
  state.seen &= ~EACH_STEP;
  state.unknown &= ~EACH_STEP;
  if (monitorFault) {
    const bit = 1 << (Condition.monitorSilent - 2 + monitorFault);
    state.seen |= bit;
    // While one fault stands nobody can say that another is gone: a monitor that changes between them is still not to be believed.
    state.unknown |= (CURRENT | MONITOR) & ~bit;
  } else {
    const currentAmps = Math.abs(inputs.currentAmps);
    const judgedAmps = state.judgedAmps;
    // Never too high by less than 0.5 A, whatever the limit: noise and offset at small currents.
    if (currentAmps >= judgedAmps + 0.5) {
      look(state, Condition.currentHigh, currentAmps, 1.2 * judgedAmps, 0);
      look(state, Condition.currentVeryHigh, currentAmps, 1.5 * judgedAmps, 0);
    }
  }
  if (inputs.alertLatchOpen) state.seen |= 1 << (Condition.alertLatch - 1);
  if (inputs.emergencyStopPressed) state.seen |= 1 << (Condition.emergencyStop - 1);
  // In ready press and feedback belong together (the press is only remembered there); else the contactor is closed when live and open when not.
  if (inputs.contactorClosed !== (live || state.startIsPressed)) {
    if (!live) state.seen |= 1 << (Condition.contactorContradicts - 1);
    // Emergency stop and alert latch open the contactor themselves; they are the cause then.
    else if (!inputs.emergencyStopPressed && !inputs.alertLatchOpen)
      state.seen |= 1 << (Condition.contactorDropped - 1);
  }
  return !monitorFault;
}

/** Looks at what changes slowly. What there is no limit for, without a recipe or with the motor off, is not seen and so can clear. */
export function lookEachSecond(state: RunState, inputs: Inputs, limits: RigLimits): void {
  const recipe = state.recipe;
  const bathCelsius = probeIsBad(inputs) ? NaN : inputs.bathCelsius;
  state.seen &= EACH_STEP;
  state.unknown &= EACH_STEP;
  if (isNaN(bathCelsius)) state.seen |= PROBE;
  look(state, Condition.bathOverheated, bathCelsius, limits.bathCelsiusMax, 1);
  if (recipe) {
    look(state, Condition.bathWarm, bathCelsius, recipe.bathWarnCelsius, 1);
    look(state, Condition.bathHot, bathCelsius, recipe.bathHoldCelsius, 1);
    look(state, Condition.chargeReached, state.chargeMilliCoulombs / 3.6e6, recipe.chargeMilliCoulombs / 3.6e6, 0);
    look(state, Condition.longestRun, state.liveMs / 1000, recipe.longestSeconds, 0);
    if (state.outputs.motorOn) {
      const ageSeconds = (state.clockMs - state.lastPulseAtMs) / 1000;
      // Two pulses missed, with a fifth of a period as slack.
      const dueSeconds = Math.max(20, 132 / recipe.rotationPulsesPerMinute);
      look(state, Condition.rotationStopped, ageSeconds, dueSeconds, 0);
      look(state, Condition.rotationStoppedLong, ageSeconds, dueSeconds + 120, 0);
    }
  }
}
