/* Asks the dashboard for what was logged over time, as api.ts does for everything else. Called by the charts; keeps nothing. */
import { type ChartMarks, type Series, SERIES_POINTS_MAX, SERIES_POINTS_MIN } from '@bathkeeper/shared-core/messages';
import { type Answer, ask } from './api.js';

const windowOf = (controllerId: string, fromMs: number, toMs: number): Record<string, string> => ({
  controllerId,
  fromMs: String(Math.max(0, Math.floor(fromMs))),
  toMs: String(Math.ceil(toMs)),
});

/** `points`: about as many as the chart has pixels. */
export const askSeries = (
  controllerId: string,
  fromMs: number,
  toMs: number,
  points: number,
): Promise<Answer<Series>> => {
  const query = new URLSearchParams({
    ...windowOf(controllerId, fromMs, toMs),
    points: String(Math.min(SERIES_POINTS_MAX, Math.max(SERIES_POINTS_MIN, Math.round(points)))),
  });
  return ask('GET', `/api/series?${query.toString()}`);
};
export const askMarks = (controllerId: string, fromMs: number, toMs: number): Promise<Answer<ChartMarks>> =>
  ask('GET', `/api/series/marks?${new URLSearchParams(windowOf(controllerId, fromMs, toMs)).toString()}`);
