/*
 * How old what is shown is, and what that makes of it. A stale number never looks live.
 * Ages are in the reader's own seconds, also when a simulated bath runs faster than time.
 * Used by the sentence, the tank and the heading; never reads a clock itself.
 */
import { spanWords } from './times.js';

/** Older than this: greyed, and said. */
export const STALE_AFTER_SECONDS = 5;
/** Older than this: lost; the dashboard raises its alarm at the same age. */
export const LOST_AFTER_SECONDS = 15;

export type Freshness = 'live' | 'stale' | 'lost' | 'never';

/** Seconds since the readings were taken, as felt by the reader; null: there were none. */
export function readingAgeSeconds(
  takenAtMs: number | null,
  snapshotNowMs: number,
  clockSpeed: number,
  secondsSinceSnapshot: number,
): number | null {
  if (takenAtMs === null) return null;
  return Math.max(0, snapshotNowMs - takenAtMs) / 1000 / clockSpeed + Math.max(0, secondsSinceSnapshot);
}

/** A controller that said goodbye (its last will came) is lost at once, however young its last reading. */
export function freshness(ageSeconds: number | null, isOnline: boolean): Freshness {
  if (ageSeconds === null) return 'never';
  if (!isOnline || ageSeconds > LOST_AFTER_SECONDS) return 'lost';
  return ageSeconds > STALE_AFTER_SECONDS ? 'stale' : 'live';
}

/** Example: `ageWords(2.3, 'live')` is "heard 2 s ago". */
export function ageWords(ageSeconds: number | null, fresh: Freshness): string {
  if (ageSeconds === null || fresh === 'never') return 'never heard';
  if (fresh === 'live') return ageSeconds < 0.95 ? 'heard just now' : `heard ${spanWords(ageSeconds)} ago`;
  if (fresh === 'stale') return `last heard ${spanWords(ageSeconds)} ago: these readings are old`;
  return `not heard for ${spanWords(ageSeconds)}: these readings are the last known`;
}
