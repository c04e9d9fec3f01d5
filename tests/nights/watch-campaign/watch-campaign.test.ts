/*
 * A small campaign of the watch with fixed seeds, by the whole way from the controller's word to the call: the bounds of the command
 * `npm run nights -- --watch`, on fewer nights. A failure prints the seeds; the same seed plays the same night again.
 */
import { describe, expect, it } from 'vitest';
import type { WatchFault } from './watch-faults.js';
import { playWatchNight, type WatchVerdict } from './watch-night.js';
import { FALSE_CALLS_IN_100_NIGHTS_MAX, judgedFaults, watchRow } from './watch-summary.js';

const CLEAN_NIGHTS = 20;
const FAULT_NIGHTS = 10;
/** Not those that the watch was set on. */
const FIRST_SEED = 20_001;

function played(fault: WatchFault, count: number): WatchVerdict[] {
  return Array.from({ length: count }, (_, index) =>
    playWatchNight({ seed: FIRST_SEED + index, kind: 'usual', fault }),
  );
}

describe('the watch, in nights of all recipes and supplies', () => {
  it('calls nobody in clean nights on a rig in order', () => {
    const row = watchRow('usual', 'none', played('none', CLEAN_NIGHTS));
    expect(row.nights).toBeGreaterThan(CLEAN_NIGHTS * 0.9);
    // So few nights are allowed none at all.
    expect(row.missedSeeds).toEqual([]);
    expect(row.falseCalls).toBeLessThanOrEqual((FALSE_CALLS_IN_100_NIGHTS_MAX * row.nights) / 100);
  });

  it.each(judgedFaults)('calls in time for the fault %s', (fault) => {
    const row = watchRow('usual', fault, played(fault, FAULT_NIGHTS));
    expect(row.nights).toBeGreaterThan(FAULT_NIGHTS * 0.7);
    expect(row.missedSeeds).toEqual([]);
    expect(row.calledInTime).toBe(row.nights);
  });

  it('plays the same night for the same seed', () => {
    const asked = { seed: FIRST_SEED, kind: 'rough', fault: 'stall' } as const;
    expect(playWatchNight(asked)).toEqual(playWatchNight(asked));
  });
});
