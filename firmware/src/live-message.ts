/*
 * The present in one short message: what the page shows between two records. Made once a second by the keeper.
 * A reading at fault is left out, so that an old number never looks live.
 */
import { MonitorFault, ProbeFault } from '@bathkeeper/shared-core/control';
import type { ControlLoop } from './control-loop.js';
import type { Outbox } from './link/outbox.js';
import type { Board } from './ports.js';
import { hundredths } from './sampler.js';

const PULSE_AGE_SECONDS_MAX = 9999;
/** No rig has a current like this: at or above it nothing was lowered. */
const LOWERED_AMPS_MAX = 1000;

/** Keys are those of LiveKey, written out and quoted so that they keep their names in the bundle. */
export function liveMessage(board: Board, loop: ControlLoop, outbox: Outbox, nowMs: number): string {
  const state = loop.state;
  const inputs = loop.inputs;
  const live = outbox.header(nowMs);
  live['p'] = state.phase;
  if (inputs.monitorFault === MonitorFault.none) {
    live['c'] = hundredths(inputs.currentAmps);
    live['o'] = Math.round(inputs.terminalVolts * 1000);
  }
  if (inputs.probeFault === ProbeFault.none) live['t'] = hundredths(inputs.bathCelsius);
  live['n'] = hundredths(loop.permittedAmps);
  live['q'] = state.chargeMilliCoulombs;
  live['a'] = state.runNumber;
  live['d'] = state.recipe ? state.recipe.recipeId : 0;
  live['z'] = Math.floor((nowMs - state.phaseSinceMs) / 1000);
  live['l'] = Math.floor(state.liveMs / 1000);
  live['m'] = state.conditions >>> 0;
  live['h'] = state.conditionsHigh >>> 0;
  live['e'] = state.supplyKind;
  live['g'] = state.rampState;
  if (state.loweredToAmps < LOWERED_AMPS_MAX) live['r'] = hundredths(state.loweredToAmps);
  live['w'] = state.permissivesMissing >>> 0;
  live['x'] = inputs.contactorClosed ? 1 : 0;
  live['y'] = board.rotation.periodMs;
  live['j'] = Math.min(Math.floor((nowMs - board.rotation.seenMs) / 1000), PULSE_AGE_SECONDS_MAX);
  live['f'] = Math.round(state.derateFraction * 100);
  live['k'] = outbox.records.waiting;
  return JSON.stringify(live);
}
