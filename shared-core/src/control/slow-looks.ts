/*
 * What the supervisor sees once a second, at what changes slowly: the bath, rotation, contacts, and how long something has been so.
 * Called by the supervisor alone; delays and reactions are in conditions.ts. A new slow condition is a line here. Raises nothing.
 */
import { Condition } from './codes.js';
import { isRaised, isToJudge } from './conditions.js';
import {
  bandAmps,
  cannotTell,
  EACH_STEP,
  EACH_STEP_HIGH,
  monitorIsBad,
  noticeableAmps,
  probeIsBad,
  see,
  setCalm,
} from './looks.js';
import { isLive, Phase } from './phase.js';
import type { Recipe, RigLimits } from './recipe.js';
import type { RunState } from './run-state.js';
import type { Inputs, SupplyFault } from './signals.js';
import { forgetPulses, keepCelsius, keepPulses, keepStill, keepVolts } from './spans.js';

/** Seconds: our own practice, no source. */
const DASHBOARD_SILENT_SECONDS = 900;
const DERATE_SECONDS_MAX = 3600;
const HOLD_SECONDS_MAX = 7200;
const UNACKNOWLEDGED_SECONDS_MAX = 600;
/** Strike and ramp may last twice as long as planned, and this on top. */
const START_EXTRA_SECONDS = 1800;
/** A well stirred bath at rest can stay within one bit of the probe (1/16 degree) for two or three hours; a hold for that would ruin a good night. */
const PROBE_STILL_SECONDS = 7200;
const PROBE_STILL_LONG_SECONDS = 21600;
/** Of clip and contactor; with no source but that a hot contact gets hotter. */
export const CLIP_HOT_CELSIUS = 60;
const CLIP_OVERHEATED_CELSIUS = 70;
/** Below its deadband. */
const CLIP_CALM_CELSIUS = 58;

/** At its limit (value >= limit), or, once raised, not yet below it by more than the deadband: seen. A value that is no number: cannot be told. */
function look(state: RunState, condition: Condition, value: number, limit: number, deadband: number): void {
  const standing = condition > 32 ? state.conditionsHigh : state.conditions;
  if (isNaN(value)) cannotTell(state, condition);
  else if (value >= limit - (deadband && (standing >> ((condition - 1) & 31)) & 1 ? deadband : 0)) {
    see(state, condition, value, limit);
  }
}

function lookIf(state: RunState, isSo: boolean | SupplyFault, condition: Condition): void {
  if (isSo) see(state, condition, 0, 0);
}

/** What the bath's own look may raise, or has raised. */
const BATH =
  (1 << (Condition.bathOverheated - 1)) |
  (1 << (Condition.bathWarm - 1)) |
  (1 << (Condition.bathHot - 1)) |
  (1 << (Condition.bathWillOverheat - 1)) |
  (1 << (Condition.bathCold - 1)) |
  (1 << (Condition.probeStuck - 1)) |
  (1 << (Condition.probeStuckLong - 1));

/** Nothing of the bath stands, and nothing of it can be at its limit: nearly always. (The warning is below the hold limit of every recipe.) */
function bathIsCalm(state: RunState, limits: RigLimits, celsius: number): boolean {
  const recipe = state.recipe;
  const spans = state.spans;
  return (
    recipe !== undefined &&
    !(state.conditions & BATH) &&
    celsius < recipe.bathWarnCelsius &&
    celsius < limits.bathCelsiusMax &&
    celsius >= recipe.startCelsiusMin &&
    celsius + spans.celsiusPerHour < recipe.bathHoldCelsius &&
    spans.stillMs < PROBE_STILL_SECONDS * 1000
  );
}

function lookAtBath(state: RunState, inputs: Inputs, limits: RigLimits, elapsedMs: number): void {
  const recipe = state.recipe;
  const spans = state.spans;
  const live = isLive(state.phase);
  const celsius = probeIsBad(inputs) ? NaN : inputs.bathCelsius;
  if (isNaN(celsius)) {
    see(state, Condition.probeFault, 0, 0);
    see(state, Condition.probeFaultLong, 0, 0);
  }
  keepCelsius(spans, state.clockMs, celsius);
  keepStill(spans, celsius, live && state.lastGoodAmps >= 0.2 ? elapsedMs : 0);
  if (bathIsCalm(state, limits, celsius)) return;
  look(state, Condition.bathOverheated, celsius, limits.bathCelsiusMax, 1);
  if (!recipe) return;
  look(state, Condition.bathWarm, celsius, recipe.bathWarnCelsius, 1);
  look(state, Condition.bathHot, celsius, recipe.bathHoldCelsius, 1);
  // Only of a bath that gets warmer; how warm it is now is judged by the others.
  if (isNaN(celsius) || spans.celsiusPerHour > 0) {
    look(state, Condition.bathWillOverheat, celsius + spans.celsiusPerHour, recipe.bathHoldCelsius, 1);
  }
  const coldCelsius = recipe.startCelsiusMin;
  if (isNaN(celsius)) cannotTell(state, Condition.bathCold);
  else if (celsius < coldCelsius + ((state.conditions >> (Condition.bathCold - 1)) & 1)) {
    see(state, Condition.bathCold, celsius, coldCelsius);
  }
  const stillSeconds = isNaN(celsius) ? NaN : spans.stillMs / 1000;
  look(state, Condition.probeStuck, stillSeconds, PROBE_STILL_SECONDS, 0);
  look(state, Condition.probeStuckLong, stillSeconds, PROBE_STILL_LONG_SECONDS, 0);
}

/** In every live phase, whether the motor is on or was given up: the part should turn. */
function lookAtRotation(state: RunState, recipe: Recipe): void {
  const ageSeconds = (state.clockMs - state.lastPulseAtMs) / 1000;
  const pulsesPerMinute = recipe.rotationPulsesPerMinute;
  // Two pulses missed, with a fifth of a period as slack.
  const dueSeconds = Math.max(20, 132 / pulsesPerMinute);
  keepPulses(state.spans, state.rotationPulses, state.lastPulseAtMs);
  if (ageSeconds >= dueSeconds) {
    see(state, Condition.rotationStopped, ageSeconds, dueSeconds);
    look(state, Condition.rotationStoppedLong, ageSeconds, dueSeconds + 120, 0);
  } else {
    // Two thirds of the speed are one and a half periods. What has stopped is not slow.
    const slowSeconds = 90 / pulsesPerMinute;
    const pulseSeconds = Math.max(ageSeconds, state.spans.pulseSeconds);
    if (pulseSeconds >= slowSeconds) see(state, Condition.rotationSlow, pulseSeconds, slowSeconds);
  }
}

/** What watches the tank: contacts, and the further probes. A probe that cannot be read may hide a hot clip. */
function lookAtWatchers(state: RunState, inputs: Inputs): void {
  const clipCelsius = inputs.clipCelsius;
  if (isNaN(clipCelsius)) {
    see(state, Condition.clipHot, 0, 0);
    cannotTell(state, Condition.clipOverheated);
  } else {
    look(state, Condition.clipHot, clipCelsius, CLIP_HOT_CELSIUS, 2);
    look(state, Condition.clipOverheated, clipCelsius, CLIP_OVERHEATED_CELSIUS, 2);
  }
  lookIf(state, inputs.leakSeen, Condition.leak);
  lookIf(state, inputs.smokeSeen, Condition.smoke);
  lookIf(state, inputs.agitationStopped, Condition.agitationStopped);
  lookIf(state, inputs.filterStopped, Condition.filterStopped);
  lookIf(state, inputs.liquidLow, Condition.liquidLow);
}

/** The controller's own surroundings, and what its other parts found. */
function lookAtEquipment(state: RunState, inputs: Inputs): void {
  const phase = state.phase;
  lookIf(state, inputs.supplyFault, Condition.supplyFault);
  lookIf(state, inputs.memoryFault, Condition.memoryFault);
  look(state, Condition.dashboardUnseen, inputs.dashboardSilentSeconds, DASHBOARD_SILENT_SECONDS, 0);
  lookIf(state, state.motorIsGivenUp, Condition.rotationGivenUp);
  lookIf(state, state.latchTestFailed, Condition.alertLatchNotOpening);
  lookIf(state, state.startHasNoCurrent && phase === Phase.polarity, Condition.noCurrentAtStart);
  if (phase === Phase.strike || phase === Phase.ramp) {
    lookIf(state, state.rampWaits, Condition.rampWaiting);
    lookIf(state, state.rampBacksOff, Condition.contactWeakInStart);
  }
  if (monitorIsBad(state)) {
    cannotTell(state, Condition.currentDoesNotFall);
  } else if (!isLive(phase) && !state.startIsPressed) {
    look(state, Condition.currentDoesNotFall, Math.abs(inputs.currentAmps), noticeableAmps(state.recipe), 0);
  }
}

/** Every wait has an end. */
function lookAtTimes(state: RunState): void {
  const spans = state.spans;
  const clockMs = state.clockMs;
  const phase = state.phase;
  const recipe = state.recipe;
  if (recipe && (phase === Phase.strike || phase === Phase.ramp)) {
    const plannedSeconds = recipe.strikeSeconds + recipe.rampSeconds;
    const secondsMax = 2 * plannedSeconds + START_EXTRA_SECONDS;
    look(state, Condition.longestPhase, (clockMs - spans.startingSinceMs) / 1000, secondsMax, 0);
  } else spans.startingSinceMs = clockMs;
  // A cold bath harms nothing at half the current and would only get colder in a hold.
  if (state.derateFraction < 1 && !isRaised(state, Condition.bathCold)) {
    look(state, Condition.longestDerate, (clockMs - spans.deratedSinceMs) / 1000, DERATE_SECONDS_MAX, 0);
  } else spans.deratedSinceMs = clockMs;
  if (phase === Phase.hold) {
    look(state, Condition.longestHold, (clockMs - state.phaseSinceMs) / 1000, HOLD_SECONDS_MAX, 0);
  }
  if (state.unacknowledged) {
    const seconds = (clockMs - spans.unacknowledgedSinceMs) / 1000;
    look(state, Condition.notAcknowledged, seconds, UNACKNOWLEDGED_SECONDS_MAX, 0);
  } else spans.unacknowledgedSinceMs = clockMs;
}

/** The anode's black film thickens: the voltage climbs at the same current. Judged in plate alone, after five minutes undisturbed. */
function lookAtAnode(state: RunState, inputs: Inputs, limits: RigLimits): void {
  if (state.phase === Phase.plate && monitorIsBad(state)) {
    cannotTell(state, Condition.anodePassivating);
    return;
  }
  const permittedAmps = state.outputs.permittedAmps;
  const isSteady =
    state.phase === Phase.plate && Math.abs(inputs.currentAmps - permittedAmps) < bandAmps(permittedAmps);
  const fiveMinutesAgoVolts = keepVolts(
    state.spans,
    state.clockMs,
    isSteady ? inputs.terminalVolts : NaN,
    permittedAmps,
  );
  if (isSteady && fiveMinutesAgoVolts > 0) {
    const limitVolts = Math.max(0.9 * limits.terminalVoltsMax, 1.1 * fiveMinutesAgoVolts);
    look(state, Condition.anodePassivating, inputs.terminalVolts, limitVolts, 0);
  }
}

/** Looks at what changes slowly. What there is no limit for, without a recipe or where the part need not turn, is not seen and so can clear. */
export function lookEachSecond(state: RunState, inputs: Inputs, limits: RigLimits): void {
  const recipe = state.recipe;
  const live = isLive(state.phase);
  const elapsedMs = state.clockMs - state.spans.lookedAtMs;
  state.spans.lookedAtMs = state.clockMs;
  state.seen &= EACH_STEP;
  state.seenHigh &= EACH_STEP_HIGH;
  state.unknown &= EACH_STEP;
  state.unknownHigh &= EACH_STEP_HIGH;
  lookAtBath(state, inputs, limits, elapsedMs);
  // (A clip that is not fitted is far below, one that cannot be read is not.)
  if (
    inputs.leakSeen ||
    inputs.smokeSeen ||
    inputs.agitationStopped ||
    inputs.filterStopped ||
    inputs.liquidLow ||
    !(inputs.clipCelsius < CLIP_CALM_CELSIUS)
  ) {
    lookAtWatchers(state, inputs);
  }
  if (
    state.phase !== Phase.plate ||
    inputs.supplyFault ||
    inputs.memoryFault ||
    state.motorIsGivenUp ||
    state.latchTestFailed ||
    !(inputs.dashboardSilentSeconds < DASHBOARD_SILENT_SECONDS)
  ) {
    /* @__NOINLINE__ */ lookAtEquipment(state, inputs);
  }
  lookAtTimes(state);
  lookAtAnode(state, inputs, limits);
  if (recipe) {
    const charge = state.chargeMilliCoulombs;
    const liveSeconds = state.liveMs / 1000;
    if (charge >= recipe.chargeMilliCoulombs) {
      see(state, Condition.chargeReached, charge / 3.6e6, recipe.chargeMilliCoulombs / 3.6e6);
    }
    if (liveSeconds >= recipe.longestSeconds) {
      see(state, Condition.longestRun, liveSeconds, recipe.longestSeconds);
    }
  }
  if (live && recipe && recipe.rotationPulsesPerMinute > 0) lookAtRotation(state, recipe);
  else forgetPulses(state.spans, state.rotationPulses, state.lastPulseAtMs);
  setCalm(state, limits, live);
  state.isToJudge = isToJudge(state);
}
