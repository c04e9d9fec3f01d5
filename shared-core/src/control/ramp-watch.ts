/*
 * Strike and ramp of a painted part: they go on only as far as the cell follows. Resistance must fall as copper closes the surface; where
 * it does not, or the voltage is at its ceiling, they wait, and where contact is being lost they back off. Called by the supervisor.
 * Never raises the current above what the recipe asks at this point, and never trips: a painted start is not a fault.
 */
import { Phase } from './phase.js';
import { polarityAmps } from './polarity.js';
import { RampState } from './ramp-progress.js';
import { CEILING_FRACTION, type Recipe, type RigLimits } from './recipe.js';
import { NO_CEILING, type RunState } from './run-state.js';
import { rampSecondsFrom, setCeiling, setPointAmps } from './set-point.js';
import { type Inputs, SupplyKind } from './signals.js';

/** All of these are our own practice, no source. Below this current nothing is said about resistance. */
const SEEN_AMPS = 0.1;
const FOLLOWED_AMPS = 0.2;
/** A second's share: a part that turns changes its distance to the anodes, and that is not to look like a contact that goes. */
const SMOOTHING = 0.1;
/** The lowest is forgotten by 1.2 % a minute while contact is good: a moment's touch, or a bath that cools, must not hold the start up for ever. */
const FORGETTING = 1.0002;
const CEILING_LEFT = 0.93;
const NOT_FALLING = 1.1;
const FALLING_AGAIN = 1.05;
const LOSING = 1.5;
const WELL = 1.2;
const LOSING_MS = 3000;
const WELL_MS = 10000;
/** Of the measured current, when contact is being lost. */
const BACKED_OFF = 0.7;
/** At a lower current the electrodes' own voltage weighs more in V/I; so much of it is allowed for. Acid copper, from memory: 0.1 to 0.4 V. */
const ELECTRODE_VOLTS = 0.5;
/** Where so little of it is permitted (a hold, a derating), the current at which the lowest was seen is no measure any more. */
const COMPARABLE = 0.75;
/** A late step counts no more than this: nobody has watched the cell meanwhile. */
const COUNTED_MS_MAX = 20000;

/** Each step: what goes on comes nearer to its end. By hand only what was set counts. */
export function countRamp(state: RunState, elapsedMs: number): void {
  if (state.rampState === RampState.goesOn && (state.askedIsSet || state.supplyKind !== SupplyKind.byHand)) {
    state.ramp.doneMs += Math.min(COUNTED_MS_MAX, elapsedMs) * state.ramp.pace;
  }
}

/** Strike or ramp begins, or ramp begins anew from a lower current; `seconds` of progress until its end. What was seen of the cell is kept. */
export function beginRamp(state: RunState, seconds: number): void {
  state.ramp.doneMs = 0;
  state.ramp.endMs = seconds * 1000;
}

/** Nothing is paused, waits or backs off: at every change of phase. */
export function leaveRamp(state: RunState): void {
  const ramp = state.ramp;
  ramp.isPaused = false;
  ramp.pressedAtMs = ramp.losingSinceMs = ramp.wellSinceMs = NaN;
  state.rampState = RampState.goesOn;
  state.rampWaits = state.rampBacksOff = false;
  state.backedOffToAmps = NO_CEILING;
}

/** The resistance seen now, as a multiple of the lowest so far; 0 while too little current flows to tell. */
function resistanceRatio(state: RunState, inputs: Inputs): number {
  const ramp = state.ramp;
  const currentAmps = inputs.currentAmps;
  if (!(currentAmps > SEEN_AMPS)) return 0;
  const ohms = inputs.terminalVolts / currentAmps;
  ramp.ohms = ramp.ohms > 0 ? ramp.ohms + (ohms - ramp.ohms) * SMOOTHING : ohms;
  const isElsewhere = !state.rampBacksOff && state.outputs.permittedAmps < COMPARABLE * ramp.lowestAtAmps;
  if (isElsewhere) ramp.ohms = ohms;
  if (!state.rampBacksOff) ramp.lowestOhms *= FORGETTING;
  if (isElsewhere || ramp.lowestOhms === 0 || ramp.ohms < ramp.lowestOhms) {
    ramp.lowestOhms = ramp.ohms;
    ramp.lowestAtAmps = currentAmps;
  }
  const allowedOhms = Math.max(0, ELECTRODE_VOLTS * (1 / currentAmps - 1 / ramp.lowestAtAmps));
  return ramp.ohms / (ramp.lowestOhms + allowedOhms);
}

/** Less current, so that a bad contact does not burn. What is set by hand cannot be lowered from here: it only waits. */
function backOff(state: RunState, recipe: Recipe, currentAmps: number): void {
  state.ramp.losingSinceMs = state.clockMs;
  if (state.supplyKind === SupplyKind.byHand) return;
  const lowAmps = Math.max(polarityAmps(recipe), BACKED_OFF * currentAmps);
  state.backedOffToAmps = Math.min(lowAmps, state.backedOffToAmps, state.commandedAmps);
  setCeiling(state);
}

/** Contact is back: a ramp climbs again from where it is now; a strike is as gentle as it was. */
function goOn(state: RunState, recipe: Recipe): void {
  if (state.phase === Phase.ramp && state.backedOffToAmps < NO_CEILING) {
    const setPoint = setPointAmps(recipe, Phase.ramp, state.ramp.doneMs / 1000, state.rampFromAmps);
    state.rampFromAmps = Math.min(setPoint, state.backedOffToAmps);
    beginRamp(state, rampSecondsFrom(recipe, state.rampFromAmps));
  }
  state.backedOffToAmps = NO_CEILING;
  setCeiling(state);
}

function isSince(state: RunState, sinceMs: number, ms: number): boolean {
  return state.clockMs - sinceMs >= ms;
}

/** Once a second in strike and ramp, with a monitor that can be believed. */
export function watchRamp(state: RunState, inputs: Inputs, limits: RigLimits, recipe: Recipe): void {
  const ramp = state.ramp;
  const wasGoingOn = state.rampState === RampState.goesOn;
  const ratio = resistanceRatio(state, inputs);
  const isAtCeiling = inputs.terminalVolts >= (wasGoingOn ? CEILING_FRACTION : CEILING_LEFT) * limits.terminalVoltsMax;
  const permittedAmps = state.outputs.permittedAmps;
  // So little may stay within the supply's dead zone or the shunt's offset, and would then never become more.
  const isBehind = permittedAmps >= FOLLOWED_AMPS && !(inputs.currentAmps >= permittedAmps / 2);
  // At the ceiling with little current a fresh layer of paint looks as a lost contact does, but its resistance is the lowest so far.
  const isLosing = ratio > LOSING || (isAtCeiling && isBehind && (ratio === 0 || ratio > WELL));
  const isWell = ratio > 0 && ratio < WELL && !isAtCeiling;
  if (!isLosing) ramp.losingSinceMs = NaN;
  else if (isNaN(ramp.losingSinceMs)) ramp.losingSinceMs = state.clockMs;
  if (!isWell) ramp.wellSinceMs = NaN;
  else if (isNaN(ramp.wellSinceMs)) ramp.wellSinceMs = state.clockMs;

  let isBackingOff = state.rampBacksOff;
  if (isSince(state, ramp.losingSinceMs, isBackingOff ? WELL_MS : LOSING_MS)) {
    isBackingOff = true;
    backOff(state, recipe, inputs.currentAmps);
  } else if (isBackingOff && isSince(state, ramp.wellSinceMs, WELL_MS)) {
    isBackingOff = false;
    goOn(state, recipe);
  }
  const isElectric = isAtCeiling || ratio > (state.rampWaits ? FALLING_AGAIN : NOT_FALLING);
  state.rampBacksOff = isBackingOff;
  state.rampWaits = isElectric && !isBackingOff;
  // By hand the person's own time to set it is counted apart.
  const waits = isElectric || (isBehind && state.supplyKind !== SupplyKind.byHand);
  state.rampState = isBackingOff
    ? RampState.backsOff
    : ramp.isPaused
      ? RampState.paused
      : waits
        ? RampState.waits
        : RampState.goesOn;
}
