/*
 * Benchmarks of the watch: false calls in clean nights, faults that were called late, and what the drift watch costs of each live message. The nights are those
 * of `npm run nights -- --watch`, fewer of them; the same seeds each time.
 */
import { availableParallelism } from 'node:os';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import { bathDrift, findingsInDrift } from '@bathkeeper/shared-core/watch';
import { LiveNight } from '../nights/watch-campaign/live-night.js';
import { randomWatchNight } from '../nights/watch-campaign/random-watch-night.js';
import { playedWatchNights } from '../nights/watch-campaign/watch-campaign.js';
import type { WatchFault } from '../nights/watch-campaign/watch-faults.js';
import {
  FALSE_CALLS_IN_100_NIGHTS_MAX,
  judgedFaults,
  type WatchRow,
  watchRow,
} from '../nights/watch-campaign/watch-summary.js';
import type { Benchmark } from './benchmark.js';

const NIGHTS = 100;
/** Not those that the watch was set on. */
const FIRST_SEED = 30_001;

async function played(fault: WatchFault): Promise<WatchRow> {
  const nights = Array.from({ length: NIGHTS }, (_, index) => ({
    seed: FIRST_SEED + index,
    kind: 'usual' as const,
    fault,
  }));
  return watchRow('usual', fault, await playedWatchNights(nights, availableParallelism()));
}
const noteOf = ({ nights, unfitNights, missedSeeds }: WatchRow): string =>
  `${String(nights)} nights judged, ${String(unfitNights)} left out${missedSeeds.length > 0 ? `, seeds ${missedSeeds.join(', ')}` : ''}`;

const COST_SECONDS = 4 * 3600;

export const watchBenchmarks: readonly Benchmark[] = [
  {
    name: 'watch-false-calls-in-100-nights',
    unit: 'calls',
    bound: FALSE_CALLS_IN_100_NIGHTS_MAX,
    run: async () => {
      const row = await played('none');
      return { value: (100 * row.falseCalls) / row.nights, note: noteOf(row) };
    },
  },
  ...judgedFaults.map((fault): Benchmark => ({
    name: `watch-late-percent-${fault}`,
    unit: '% of nights called late or never',
    bound: 1,
    run: async () => {
      const row = await played(fault);
      return { value: 100 * (1 - row.calledInTime / row.nights), note: noteOf(row) };
    },
  })),
  {
    name: 'watch-drift-microseconds-per-live-message',
    unit: 'microseconds of a core',
    bound: 100,
    run: () => {
      const plan = randomWatchNight(FIRST_SEED, 'usual');
      const night = new LiveNight(plan);
      const lives: LiveView[] = [];
      while (lives.length < COST_SECONDS) lives.push(night.second());
      const drift = bathDrift(1);
      const { bathWarnCelsius } = plan.recipe;
      const asked = {
        runNumber: 1,
        bathWarnCelsius,
        bathColdCelsius: 18,
        terminalVoltsMax: 8,
        plannedFinishAtMs: null,
      };
      const startedMs = performance.now();
      for (const live of lives) findingsInDrift(drift, live, asked, live.takenAtMs);
      return { value: ((performance.now() - startedMs) * 1000) / lives.length, note: 'four hours of one bath' };
    },
  },
];
