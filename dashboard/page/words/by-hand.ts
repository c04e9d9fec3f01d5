/*
 * A supply that a person sets: what is to be set now, whether it was, and what such a supply cannot do.
 * Used by the bath page; pure. The controller judges for itself whether it was done.
 */
import { isLive, SupplyKind } from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import { ampsWords } from './numbers.js';

/** Within this the current counts as set, as the controller judges it: the larger of 5 % and 0.3 A. */
const BAND_FRACTION = 0.05;
const BAND_AMPS = 0.3;

export interface ByHand {
  /** Large, for somebody who stands at the supply: "Set 12.4 A on the supply". */
  readonly order: string;
  readonly isSet: boolean;
  /** What flows now, and what comes of it. */
  readonly detail: string;
}

/** null: nothing is to be set (another kind of supply, or no run). */
export function byHand(live: LiveView | null): ByHand | null {
  if (live === null || live.supplyKind !== SupplyKind.byHand || !isLive(live.phase)) return null;
  const { permittedAmps, cathodeCurrentAmps } = live;
  const isSet =
    cathodeCurrentAmps !== null &&
    Math.abs(cathodeCurrentAmps - permittedAmps) <= Math.max(BAND_AMPS, BAND_FRACTION * permittedAmps);
  const flows = cathodeCurrentAmps === null ? 'No current reading.' : `${ampsWords(cathodeCurrentAmps)} flows.`;
  return isSet
    ? { order: `${ampsWords(permittedAmps)} is set`, isSet, detail: `${flows} Nothing to do at the supply now.` }
    : {
        order: `Set ${ampsWords(permittedAmps)} on the supply`,
        isSet,
        detail: `${flows} The next step comes when this one is set.`,
      };
}

/** What a person must know before the run. */
export const BY_HAND_CAUTION =
  'This supply is set by hand. Derate and hold need a supply that the controller can set: here soft causes only warn, and hard ones trip. ' +
  'When the charge is reached the contactor opens at once; somebody has to be there for every step of the ramp.';
