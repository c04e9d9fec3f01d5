/*
 * What the supervisor sees each step, at what is urgent: the chain of the contactor, current and voltage. (Once a second: slow-looks.ts.)
 * Called by the supervisor alone; delays and reactions are in conditions.ts. Nearly always all is calm, and a few comparisons show it: the
 * interpreter is slow. Only what is odd is looked at closely. Raises nothing.
 */
import { Condition } from './codes.js';
import { isToJudge } from './conditions.js';
import { Phase } from './phase.js';
import { CEILING_FRACTION, type Recipe, type RigLimits } from './recipe.js';
import { NOTED_PLACES, type RunState } from './run-state.js';
import { type Inputs, MonitorFault } from './signals.js';

/** Bits (code - 1), or (code - 33) in a mask of the codes above 32. */
const MONITOR =
  (1 << (Condition.monitorSilent - 1)) | (1 << (Condition.monitorChanged - 1)) | (1 << (Condition.monitorClipped - 1));
const ELECTRICITY =
  MONITOR |
  (1 << (Condition.currentHigh - 1)) |
  (1 << (Condition.currentVeryHigh - 1)) |
  (1 << (Condition.currentOutsideBand - 1)) |
  (1 << (Condition.contactLost - 1)) |
  (1 << (Condition.shortCircuit - 1)) |
  (1 << (Condition.reverseCurrent - 1)) |
  (1 << (Condition.senseImplausible - 1));
const ELECTRICITY_HIGH = (1 << (Condition.voltageHigh - 33)) | (1 << (Condition.polarityReversed - 33));
const CHAIN =
  (1 << (Condition.alertLatch - 1)) |
  (1 << (Condition.emergencyStop - 1)) |
  (1 << (Condition.contactorDropped - 1)) |
  (1 << (Condition.contactorContradicts - 1));
/** What is looked at each step; the others keep what the last second showed. */
export const EACH_STEP = ELECTRICITY | CHAIN;
export const EACH_STEP_HIGH = ELECTRICITY_HIGH;

/** Seen, with the value and its limit for the event; both 0 of what is only true or false. */
export function see(state: RunState, condition: Condition, value: number, limit: number): void {
  if (condition > 32) state.seenHigh |= 1 << (condition - 33);
  else state.seen |= 1 << (condition - 1);
  state.notedValues[condition] = value;
  state.notedValues[condition + NOTED_PLACES] = limit;
}

/** Nothing can be told of the condition now. */
export function cannotTell(state: RunState, condition: Condition): void {
  if (condition > 32) state.unknownHigh |= 1 << (condition - 33);
  else state.unknown |= 1 << (condition - 1);
}

/** True (or the fault) when there is no bath temperature to go by. */
export function probeIsBad(inputs: Inputs): unknown {
  return inputs.probeFault || !isFinite(inputs.bathCelsius);
}

/** After the look of this step: is there a fault for which the monitor cannot be believed? */
export function monitorIsBad(state: RunState): boolean {
  return (state.seen & MONITOR) !== 0;
}

/** How far in amperes the current may be from what is permitted without being outside its band. */
export function bandAmps(permittedAmps: number): number {
  return Math.max(0.3, 0.05 * permittedAmps);
}

/** Amperes that are surely no offset or noise of the shunt: 0.2 A, or 2 % of the plating current. */
export function noticeableAmps(recipe: Recipe | undefined): number {
  return Math.max(0.2, recipe ? 0.02 * recipe.plateAmps : 0);
}

/** Volts at the plating current: with more a cell is not taken for a short, whatever it had before. Our own practice, no source. */
const SHORT_VOLTS_MAX = 0.6;

/** The path from the supply through the part and back, while it is closed. */
function lookAtCell(state: RunState, inputs: Inputs, limits: RigLimits, recipe: Recipe): void {
  const phase = state.phase;
  const currentAmps = inputs.currentAmps;
  const terminalVolts = inputs.terminalVolts;
  const permittedAmps = state.outputs.permittedAmps;
  const isAtCeiling = terminalVolts >= CEILING_FRACTION * limits.terminalVoltsMax;
  const isStarting = phase < Phase.plate || phase === Phase.polarity;
  let leadsVolts = 0;
  if (terminalVolts < -0.1) leadsVolts = -0.1;
  else if (currentAmps >= 0.5 && terminalVolts < 0.02) leadsVolts = 0.02;
  // In strike and ramp a fresh layer of paint takes all the voltage and little current: there the ramp waits instead.
  if (!isStarting) {
    if (!isAtCeiling) {
      // With voltage left a supply gives what it was asked for: where the shunt sees so little of it, its own leads hang loose, and nothing limits the current.
      if (terminalVolts >= 0.3 && currentAmps < permittedAmps / 10) leadsVolts = 0.3;
    } else if (currentAmps < permittedAmps / 2) {
      see(state, Condition.contactLost, currentAmps, permittedAmps / 2);
    }
  }
  if (leadsVolts) see(state, Condition.senseImplausible, terminalVolts, leadsVolts);
  if (phase !== Phase.polarity && !state.rampWaits && !state.rampBacksOff && !(isAtCeiling && isStarting)) {
    // (A step down is forgiven for a while: judgedAmps. The delay of this condition forgives a step up.)
    const bandMax = state.judgedAmps + bandAmps(permittedAmps);
    const bandMin = permittedAmps - bandAmps(permittedAmps);
    if (currentAmps >= bandMax || currentAmps <= bandMin) {
      see(state, Condition.currentOutsideBand, currentAmps, currentAmps >= bandMax ? bandMax : bandMin);
    }
  }
  // The voltage that this resistance would have at the plating current. Under half of what the cell had when its ramp ended it is a short, though the
  // leads' share be more than 0.25 V; a sound cell with little voltage loses no half of it in a night. No voltage at all is a lead that hangs loose.
  const voltsAtPlate = (terminalVolts / currentAmps) * recipe.plateAmps;
  const voltsMin = Math.max(0.25, Math.min(SHORT_VOLTS_MAX, (state.ramp.lowestOhms * recipe.plateAmps) / 2));
  if (currentAmps > recipe.plateAmps / 5 && voltsAtPlate < voltsMin && terminalVolts >= 0.02) {
    see(state, Condition.shortCircuit, voltsAtPlate, voltsMin);
  }
  // In polarity the wrong way is told apart sooner, and named as what it is.
  if (phase === Phase.polarity) {
    if (state.polarityIsWrong) see(state, Condition.polarityReversed, currentAmps, -0.1);
  } else {
    const reverseAmps = -noticeableAmps(recipe);
    if (currentAmps <= reverseAmps) see(state, Condition.reverseCurrent, currentAmps, reverseAmps);
  }
  const voltsMax = 1.02 * limits.terminalVoltsMax;
  if (terminalVolts > voltsMax) see(state, Condition.voltageHigh, terminalVolts, voltsMax);
}

/** Returns whether the monitor can be believed; a current or voltage that is no number is as good as no answer. */
function lookAtElectricity(state: RunState, inputs: Inputs, limits: RigLimits, isLive: boolean): boolean {
  const monitorFault = isFinite(inputs.currentAmps + inputs.terminalVolts) ? inputs.monitorFault : MonitorFault.silent;
  state.seen &= ~ELECTRICITY;
  state.seenHigh &= ~ELECTRICITY_HIGH;
  state.unknown &= ~ELECTRICITY;
  state.unknownHigh &= ~ELECTRICITY_HIGH;
  if (monitorFault) {
    const bit = 1 << (Condition.monitorSilent - 2 + monitorFault);
    state.seen |= bit;
    // While one fault stands nobody can say that another is gone: a monitor that changes between them is still not to be believed.
    state.unknown |= ELECTRICITY & ~bit;
    state.unknownHigh |= ELECTRICITY_HIGH;
  } else {
    const currentAmps = Math.abs(inputs.currentAmps);
    const judgedAmps = state.judgedAmps;
    // Never too high by less than 0.5 A, whatever the limit: noise and offset at small currents.
    if (currentAmps >= judgedAmps + 0.5) {
      if (currentAmps >= 1.2 * judgedAmps) see(state, Condition.currentHigh, currentAmps, 1.2 * judgedAmps);
      if (currentAmps >= 1.5 * judgedAmps) see(state, Condition.currentVeryHigh, currentAmps, 1.5 * judgedAmps);
    }
    if (isLive && state.recipe) lookAtCell(state, inputs, limits, state.recipe);
  }
  state.electricityIsOdd = ((state.seen & ELECTRICITY) | (state.seenHigh & ELECTRICITY_HIGH)) !== 0;
  state.isToJudge = isToJudge(state);
  return !monitorFault;
}

function lookAtChain(state: RunState, inputs: Inputs, isLive: boolean): void {
  state.seen &= ~CHAIN;
  if (inputs.alertLatchOpen) state.seen |= 1 << (Condition.alertLatch - 1);
  if (inputs.emergencyStopPressed) state.seen |= 1 << (Condition.emergencyStop - 1);
  // In ready press and feedback belong together (the press is only remembered there); else the contactor is closed when live and open when not.
  if (inputs.contactorClosed !== (isLive || state.startIsPressed)) {
    if (!isLive) state.seen |= 1 << (Condition.contactorContradicts - 1);
    // Emergency stop and alert latch open the contactor themselves; they are the cause then.
    else if (!inputs.emergencyStopPressed && !inputs.alertLatchOpen)
      state.seen |= 1 << (Condition.contactorDropped - 1);
  }
  state.chainIsOdd = (state.seen & CHAIN) !== 0;
  state.isToJudge = isToJudge(state);
}

/** Current and voltage are where no electrical condition can be at its limit. (What is no number is within nothing.) */
export function electricityIsCalm(state: RunState, inputs: Inputs): boolean {
  return (
    !state.electricityIsOdd &&
    !inputs.monitorFault &&
    Math.abs(inputs.currentAmps - state.judgedAmps) < state.calmAmps &&
    inputs.terminalVolts > state.calmVoltsMin &&
    inputs.terminalVolts < state.calmVoltsMax
  );
}

/** Looks at what is urgent; `isLive`: the phase is. Returns whether the monitor can be believed. */
export function lookEachStep(state: RunState, inputs: Inputs, limits: RigLimits, isLive: boolean): boolean {
  if (
    state.chainIsOdd ||
    inputs.alertLatchOpen ||
    inputs.emergencyStopPressed ||
    inputs.contactorClosed !== (isLive || state.startIsPressed)
  ) {
    lookAtChain(state, inputs, isLive);
  }
  let isGood = true;
  if (!electricityIsCalm(state, inputs)) isGood = lookAtElectricity(state, inputs, limits, isLive);
  return isGood;
}

/**
 * Sets within which current and voltage no electrical condition can be at its limit, from what is permitted now. Once a second, and until
 * then after each change of phase nothing is calm (`calmAmps` 0). Too narrow costs a close look, too wide would hide something.
 */
export function setCalm(state: RunState, limits: RigLimits, isLive: boolean): void {
  const recipe = state.recipe;
  state.calmAmps = 0.1;
  state.calmVoltsMin = -1e9;
  state.calmVoltsMax = 1e9;
  if (isLive && recipe) {
    const judgedAmps = state.judgedAmps;
    if (state.phase !== Phase.polarity) state.calmAmps = Math.min(bandAmps(judgedAmps), judgedAmps + 0.1);
    // Above the most that counts as a short, and above the 0.02 V of a lead that hangs loose.
    state.calmVoltsMin = 0.02 + (SHORT_VOLTS_MAX * (judgedAmps + state.calmAmps)) / recipe.plateAmps;
    state.calmVoltsMax = CEILING_FRACTION * limits.terminalVoltsMax;
  }
}
