/* Asks the dashboard for runs of the logbook, as api.ts does for everything else. Called by the rooms of the logbook; keeps nothing. */
import type { RunKey, RunListEntry, RunRecord } from '@bathkeeper/shared-core/trade';
import { type Answer, ask } from './api.js';

export const runPath = ({ controllerId, incarnation, run }: RunKey): string =>
  `/api/runs/${encodeURIComponent(controllerId)}/${String(incarnation)}/${String(run)}`;

/** `beforeMs`: the start of the last one seen. */
export const askRuns = (beforeMs: number | undefined, count: number): Promise<Answer<RunListEntry[]>> =>
  ask('GET', `/api/runs?count=${String(count)}${beforeMs === undefined ? '' : `&before=${String(beforeMs)}`}`);
export const askRun = (key: RunKey): Promise<Answer<RunRecord>> => ask('GET', runPath(key));
