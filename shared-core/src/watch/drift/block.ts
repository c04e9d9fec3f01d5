/*
 * Means of half a minute, of what is said each second. One-second readings share their slow part, so that charts made for independent samples
 * would cry at once: blocks thin them. Thirty seconds were chosen on the virtual bath's own noise, detrended over 40 min: the resistance's
 * correlation from one block to the next is then under 0.15 (of single seconds nothing is left but ripple, of two minutes too few for a
 * stall of the deposit to be seen in time). The supply's wandering has a memory of ten minutes (0.6 from block to block), which no block
 * takes away: for that the charts are wider. Also whole turns of a part at 6 or more a minute. Called once for each live message.
 */

export const BLOCK_MS = 30_000;
/** Fewer readings are no block: the link was gone for most of it. */
const READINGS_MIN = 10;

/** Sum with its extremes: the mean leaves the smallest and the largest out, so that one wild second does not count. */
export interface Gathered {
  count: number;
  sum: number;
  min: number;
  max: number;
}

export function gathered(): Gathered {
  return { count: 0, sum: 0, min: 0, max: 0 };
}

export function gather(into: Gathered, value: number): void {
  into.min = into.count === 0 ? value : Math.min(into.min, value);
  into.max = into.count === 0 ? value : Math.max(into.max, value);
  into.count++;
  into.sum += value;
}

/** The mean without its extremes; undefined: too few readings. Example: of 1, 2 … 11 and 600 it is 6.5. */
export function gatheredMean({ count, sum, min, max }: Gathered): number | undefined {
  return count < READINGS_MIN ? undefined : (sum - min - max) / (count - 2);
}

export interface Block {
  beganAtMs: number;
  readonly amps: Gathered;
  readonly volts: Gathered;
  readonly celsius: Gathered;
}

export function block(beganAtMs: number): Block {
  return { beganAtMs, amps: gathered(), volts: gathered(), celsius: gathered() };
}

/** Times and values of the newest blocks, oldest first; plain arrays, so that they can be kept over a restart. */
export interface Recent {
  readonly atMs: number[];
  readonly values: number[];
}

/** Adds one and forgets what is beyond `countMax`. */
export function remember(recent: Recent, atMs: number, value: number, countMax: number): void {
  recent.atMs.push(atMs);
  recent.values.push(value);
  while (recent.atMs.length > countMax) {
    recent.atMs.shift();
    recent.values.shift();
  }
}
