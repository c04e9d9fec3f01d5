/*
 * A stretch: as long as the recipe asks the same of the bath. A ramp, a new phase, a lowering, a derating each end it, and what was learnt
 * with it, so that the recipe's own steps are never taken for a drift. Asked by the drift watch with each live message. Pure.
 */
import { isLive, type Phase } from '../../control/phase.js';
import { SupplyKind } from '../../control/signals.js';
import type { LiveView } from '../../messages/api.js';

export interface Stretch {
  readonly phase: Phase;
  readonly permittedAmps: number;
  readonly beganAtMs: number;
}

/** A permitted current that moved by less is the same (the wire's rounding). */
const SAME_FRACTION = 0.005;
const SAME_AMPS = 0.02;
/** Below it a supply's own offset weighs more than any drift. Common practice, no source. */
const JUDGED_AMPS_MIN = 1;
/** After a step until the cell has settled; a hand comes later. */
const SETTLING_MS = 60_000;
const SETTLING_BY_HAND_MS = 150_000;

/** undefined: no current is meant to flow. The same object as long as nothing was asked anew. */
export function stretchAfter(stretch: Stretch | undefined, live: LiveView, nowMs: number): Stretch | undefined {
  const { phase, permittedAmps } = live;
  if (!isLive(phase) || !live.isContactorClosed) return undefined;
  if (
    stretch?.phase === phase &&
    Math.abs(permittedAmps - stretch.permittedAmps) <= Math.max(SAME_FRACTION * stretch.permittedAmps, SAME_AMPS)
  )
    return stretch;
  return { phase, permittedAmps, beganAtMs: nowMs };
}

/** The current can be judged: it was asked long enough ago, and is large enough. */
export function isSettled(stretch: Stretch, live: LiveView, nowMs: number): boolean {
  const settlingMs = live.supplyKind === SupplyKind.byHand ? SETTLING_BY_HAND_MS : SETTLING_MS;
  return stretch.permittedAmps >= JUDGED_AMPS_MIN && live.rampState === 0 && nowMs - stretch.beganAtMs >= settlingMs;
}
