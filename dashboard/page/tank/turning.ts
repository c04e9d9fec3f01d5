/*
 * Does the part turn? Only what the sensor has just seen makes the drawing turn.
 * Called by the drawing; pure.
 */
import type { LiveView } from '@bathkeeper/shared-core/messages';
import type { Freshness } from '../words/age.js';
import { rotationWords } from '../words/numbers.js';
import { spanWords } from '../words/times.js';

/** A pulse is overdue after two and a half periods: the controller's own rule is two missed pulses. */
const OVERDUE_PERIODS = 2.5;

/** Seconds that the drawing takes for a turn (whole half seconds, 2 to 30), or null: it stands still. */
export function turnSeconds(live: LiveView | null, fresh: Freshness): number | null {
  if (live === null || fresh !== 'live') return null;
  const { rotationPulsesPerMinute, secondsSinceRotationPulse } = live;
  if (rotationPulsesPerMinute === null || secondsSinceRotationPulse === null || rotationPulsesPerMinute <= 0)
    return null;
  const period = 60 / rotationPulsesPerMinute;
  if (secondsSinceRotationPulse > Math.max(2, OVERDUE_PERIODS * period)) return null;
  return Math.min(30, Math.max(2, Math.round(period * 2) / 2));
}

/** What stands at the shaft: the rate, and under it the age of the last pulse. */
export function shaftWords(live: LiveView | null): { readonly rate: string; readonly pulse: string } {
  if (live === null) return { rate: '', pulse: '' };
  const since = live.secondsSinceRotationPulse;
  const standsStill = turnSeconds(live, 'live') === null;
  return {
    rate: standsStill ? (since === null ? 'not turning' : 'standing') : rotationWords(live.rotationPulsesPerMinute),
    pulse:
      since === null
        ? 'no pulse seen yet'
        : `${standsStill ? 'no pulse for' : 'last pulse'} ${spanWords(since)}${standsStill ? '' : ' ago'}`,
  };
}
