/*
 * How fast the part turned, from the pulses of its sensor: a pulse every five or ten seconds says little about one second, so it is told over what came before. Asked by
 * series.ts; pure.
 */
import type { Bucket } from './buckets.js';

/** Records come once a second, now and then one late. */
export const LATE_MS = 2000;
/** So many seconds are looked at: counted pulses are right within one, a twelfth of a slow part's. */
const COUNTED_SECONDS = 120;
/** With so few in a bucket the time from pulse to pulse is known better than their number. */
const TIMED_BUCKET_MS = 3000;
/** From pulse to pulse over so long, where there are as many. */
const TIMED_SECONDS = 60;

/** Buckets that were logged one after the other up to `index`, newest first, until they last as long as is looked at. */
function withoutGap(buckets: readonly Bucket[], bucketMs: number, index: number): Bucket[] {
  const found: Bucket[] = [];
  let seconds = 0;
  for (let at = index; at >= 0 && seconds < COUNTED_SECONDS; at--) {
    const one = buckets[at]!;
    const endMs = one.bucket * bucketMs + Math.max(bucketMs, one.seconds * 1000);
    const next = buckets[at + 1];
    if (at < index && next!.bucket * bucketMs - endMs > LATE_MS) break;
    found.push(one);
    seconds += one.seconds;
  }
  return found;
}

/**
 * Pulses a minute at a bucket. Looked at closely, from pulse to pulse over a minute, and falling with the time since the last pulse as soon as that is longer; from further
 * away, counted over two minutes. null where too little was logged without a gap.
 */
export function pulsesPerMinute(buckets: readonly Bucket[], bucketMs: number, index: number): number | null {
  const looked = withoutGap(buckets, bucketMs, index);
  // What an outage merged does not say when in its seconds the pulses came.
  const isTimed = bucketMs <= TIMED_BUCKET_MS && looked.every((one) => one.seconds * 1000 <= bucketMs);
  const timed = isTimed ? fromPulseToPulse(looked, bucketMs) : null;
  if (timed !== null) return timed;
  const seconds = looked.reduce((sum, one) => sum + one.seconds, 0);
  const pulses = looked.reduce((sum, one) => sum + one.pulses, 0);
  return seconds >= (isTimed ? TIMED_SECONDS : COUNTED_SECONDS) ? (pulses / seconds) * 60 : null;
}

/** Newest first. The pulses of the oldest bucket began the time that is measured, and are not among those that came in it. */
function fromPulseToPulse(looked: readonly Bucket[], bucketMs: number): number | null {
  const marks = looked.filter(({ pulses }) => pulses > 0);
  const newest = marks[0]?.bucket ?? 0;
  const far = marks.findIndex(({ bucket }) => (newest - bucket) * bucketMs >= TIMED_SECONDS * 1000);
  const turned = newest - (marks.at(far)?.bucket ?? newest);
  if (turned === 0) return null;
  const pulses = marks.slice(0, far).reduce((sum, one) => sum + one.pulses, 0);
  return limited(pulses / turned, looked[0]!.bucket - newest, bucketMs);
}

/** `perBucket`: pulses; since so many buckets there was none. */
function limited(perBucket: number, since: number, bucketMs: number): number {
  return (since === 0 ? perBucket : Math.min(perBucket, 1 / since)) * (60_000 / bucketMs);
}
