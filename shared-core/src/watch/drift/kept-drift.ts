/*
 * What the drift watch has learnt, as text to keep over a restart of the dashboard and back again. Called by whoever keeps it; it stores nothing. What was
 * kept by another version, or cannot be read, is not used: the watch then learns anew, which takes some minutes and raises nothing.
 */
import type { BathDrift } from './bath-drift.js';

/** Raised whenever a field of the state or its meaning changes. */
const SHAPE = 1;

export function keptDrift(drift: BathDrift): string {
  return JSON.stringify({ shape: SHAPE, drift });
}

/** undefined: kept by another version, or damaged. */
export function driftKept(text: string): BathDrift | undefined {
  let kept: unknown;
  try {
    kept = JSON.parse(text);
  } catch {
    return undefined;
  }
  if (typeof kept !== 'object' || kept === null || !('shape' in kept) || kept.shape !== SHAPE) return undefined;
  const { drift } = kept as { drift?: unknown };
  return typeof drift === 'object' && drift !== null && 'standing' in drift ? (drift as BathDrift) : undefined;
}
