/*
 * What was logged of the canned bath, answered as the dashboard does for any window: a run of ten hours in each night, nothing logged for two hours of the last one,
 * lowered to 12 A in its ninth hour, and one second of 47.1 A and 5.6 V. Used by the browser tests of the charts.
 */
import type { Series } from '@bathkeeper/shared-core/messages';
import { bucketMsFor } from '../../dashboard/server/keeping/buckets.js';
import { aSeries, type Logged } from '../dashboard/page/charts/a-series.js';
import { NIGHT_MS } from './canned-night.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
/** Long before the canned present; in the middle of a run. */
export const SPIKE_MS = NIGHT_MS - 200 * DAY;
export const GAP_MS = { from: NIGHT_MS - 3 * HOUR, to: NIGHT_MS - HOUR };
const SPIKE_AMPS = 47.1;
const SPIKE_VOLTS = 5.6;
/** Runs begin at 22:04. */
const RUN_BEGINS = NIGHT_MS - 4 * HOUR;
const RUN_MS = 10 * HOUR;
const LOWERED = { fromMs: 8 * HOUR, toMs: 9 * HOUR, amps: 12 };

function bucket(startMs: number, bucketMs: number): Logged | null {
  if (startMs > NIGHT_MS || (startMs >= GAP_MS.from && startMs + bucketMs <= GAP_MS.to)) return null;
  const night = Math.floor((startMs - RUN_BEGINS) / DAY);
  const intoMs = startMs - RUN_BEGINS - night * DAY;
  const isSpike = startMs <= SPIKE_MS && startMs + bucketMs > SPIKE_MS;
  const spike = isSpike ? { max: SPIKE_AMPS, voltsSpread: [0, SPIKE_VOLTS] as const } : {};
  const wave = Math.sin(startMs / (7 * HOUR));
  if (intoMs >= RUN_MS) return { startMs, run: 400 + night, mean: 0, setPoint: 0, permitted: 0, volts: 0, celsius: 21.5 + wave, ampereHours: 0, ...spike };
  const share = Math.min(1, intoMs / HOUR);
  const setPoint = 3.6 + 15.6 * share;
  const permitted = intoMs >= LOWERED.fromMs && intoMs < LOWERED.toMs ? LOWERED.amps : setPoint;
  const amps = permitted + 0.05 * wave;
  const [volts, celsius] = [0.4 + 0.08 * amps, 22 + 2 * share + 0.4 * wave];
  const milliohms = (volts / amps) * 1000;
  return {
    startMs, run: 400 + night, setPoint, permitted, mean: amps, min: amps - 0.3, max: amps + 0.25, volts, voltsSpread: [volts - 0.03, volts + 0.04],
    milliohmsSpread: [milliohms - 2, isSpike ? 290 : milliohms + 2.5], celsius, celsiusSpread: [celsius - 0.2, celsius + 0.3], ampereHours: (amps * intoMs) / HOUR, ...spike,
  };
} // prettier-ignore

/** For the shelf /api/series. */
export function cannedSeries(query: URLSearchParams): Series {
  const [fromMs, toMs, points] = ['fromMs', 'toMs', 'points'].map((name) => Number(query.get(name))) as [number, number, number]; // prettier-ignore
  const bucketMs = bucketMsFor({ fromMs, toMs, points }, 1000);
  const logged: Logged[] = [];
  for (let startMs = Math.floor(fromMs / bucketMs) * bucketMs; startMs < toMs; startMs += bucketMs) {
    const one = bucket(startMs, bucketMs);
    if (one !== null) logged.push(one);
  }
  return { ...aSeries(bucketMs, logged), fromMs, toMs };
}
