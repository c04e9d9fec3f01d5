/*
 * What a run has come to by its records (run-sums.ts). Called for the run record, and by the dashboard's clock for each run that has ended: what is summed is kept, so that
 * it outlives the records.
 */
import type { RunKey, RunMeasures } from '@bathkeeper/shared-core/trade';
import type { Reading } from '../keeping/reading.js';
import type { Store } from '../store/store.js';

/** Records of an outage may come long after the end; then the run is summed once more. */
const SUMMED_AGAIN_AFTER_MS = 86_400_000;

export interface RunMeasuring {
  /** From the records that are there, or as it was kept where more was there once. Rejects with UnreadRecords. */
  measures(run: RunKey, fromMs: number, toMs: number): Promise<RunMeasures>;
  /** Keeps the sums of a run that has ended, one at a time; called now and then. Rejects likewise. */
  keepNext(nowMs: number): Promise<void>;
  isUnderWay(): boolean;
}

interface EndedRow {
  controller_id: string;
  incarnation: number;
  run: number;
  started_at_ms: number;
  ended_at_ms: number;
}

export function openRunMeasuring({ database }: Store, reading: Pick<Reading, 'ask'>): RunMeasuring {
  const isThere = database.prepare<[string, number, number]>(
    'SELECT 1 FROM runs WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)',
  );
  const readKept = database.prepare<[string, number, number], { recorded_seconds: number; measures: string }>(
    `SELECT recorded_seconds, measures FROM run_measures
     WHERE controller_id = ? AND incarnation = CAST(? AS INTEGER) AND run = CAST(? AS INTEGER)`,
  );
  const keep = database.prepare(
    `INSERT OR REPLACE INTO run_measures
     VALUES (?, CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), CAST(? AS INTEGER), ?)`,
  );
  // A run whose end nobody heard has ended when the next one of its controller began.
  const endedUnkept = database.prepare<[number], EndedRow>(
    `SELECT * FROM (
       SELECT r.controller_id, r.incarnation, r.run, r.started_at_ms, coalesce(r.ended_at_ms, (
         SELECT min(n.started_at_ms) FROM runs n WHERE n.controller_id = r.controller_id AND n.started_at_ms > r.started_at_ms)) AS ended_at_ms,
         m.measured_at_ms
       FROM runs r LEFT JOIN run_measures m ON m.controller_id = r.controller_id AND m.incarnation = r.incarnation AND m.run = r.run)
     WHERE ended_at_ms IS NOT NULL AND (measured_at_ms IS NULL
       OR (measured_at_ms < ended_at_ms + ${String(SUMMED_AGAIN_AFTER_MS)} AND ended_at_ms + ${String(SUMMED_AGAIN_AFTER_MS)} <= ?))
     ORDER BY started_at_ms DESC LIMIT 1`,
  );

  const logged = database
    .prepare<[string, number, number, number, number], number>(
      `SELECT coalesce(sum(t.seconds), 0) FROM memories m JOIN ten_minutes t ON t.controller = m.controller AND t.memory = m.memory
       WHERE m.controller_id = ? AND m.incarnation = CAST(? AS INTEGER) AND t.run = CAST(? AS INTEGER)
         AND t.ten_minute BETWEEN CAST(? AS INTEGER) / 600000 - 1 AND CAST(? AS INTEGER) / 600000`,
    )
    .pluck();

  const measures: RunMeasuring['measures'] = async (key, fromMs, toMs) => {
    const { controllerId, incarnation, run } = key;
    const kept = readKept.get(controllerId, incarnation, run);
    // Nothing came since: a night of records need not be read again.
    if (kept !== undefined && kept.recorded_seconds >= logged.get(controllerId, incarnation, run, fromMs, toMs)!)
      return JSON.parse(kept.measures) as RunMeasures;
    const read = await reading.ask('runSums', { controllerId, incarnation, run, fromMs, toMs });
    return kept !== undefined && kept.recorded_seconds > read.recordedSeconds
      ? (JSON.parse(kept.measures) as RunMeasures)
      : read;
  };
  const keepNext = async (nowMs: number): Promise<void> => {
    const row = endedUnkept.get(nowMs);
    if (row === undefined) return;
    const key = { controllerId: row.controller_id, incarnation: row.incarnation, run: row.run };
    const summed = await measures(key, row.started_at_ms, row.ended_at_ms);
    // Meanwhile it may have gone for good.
    if (isThere.get(key.controllerId, key.incarnation, key.run) !== undefined)
      keep.run(key.controllerId, key.incarnation, key.run, nowMs, summed.recordedSeconds, JSON.stringify(summed));
  };
  let underWay: Promise<void> | undefined;
  return {
    measures,
    keepNext: (nowMs) =>
      (underWay ??= keepNext(nowMs).finally(() => {
        underWay = undefined;
      })),
    isUnderWay: () => underWay !== undefined,
  };
}
