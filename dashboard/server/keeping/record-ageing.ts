/*
 * Lets raw records go once they are older than they are kept, a few at a time so that nothing waits for it. Opened by the composition root, which
 * calls a step every ten seconds. It never touches minutes and ten minutes: those were written with the records, and stay for ever.
 */
import type { Store } from '../store/store.js';

export const AGEING_STEP_MS = 10_000;
export const RECORDS_KEPT_DAYS = 90;
/** Of each controller in one step; it logs ten meanwhile, so that a backlog of a year is through in a week. */
const RECORDS_A_STEP = 500;
const DAY_MS = 86_400_000;

/** Answers how many records went. A controller that is silent keeps its last days, whatever the clock says. */
export function openRecordAgeing(
  store: Store,
  keptDays: number,
  recordsAStep = RECORDS_A_STEP,
): (nowMs: number) => number {
  const controllers = store.database.prepare<[], { controller: number; newest_at_ms: number }>(
    'SELECT controller, max(newest_at_ms) AS newest_at_ms FROM memories GROUP BY controller',
  );
  const oldest = store.database
    .prepare<[number, number, number], number>(
      'SELECT taken_at_ms FROM raw_records WHERE controller = ? AND taken_at_ms < ? ORDER BY taken_at_ms LIMIT ?',
    )
    .pluck();
  const letGo = store.database.prepare('DELETE FROM raw_records WHERE controller = ? AND taken_at_ms <= ?');
  const note = store.database.prepare(
    `INSERT INTO raw_ends VALUES (CAST(? AS INTEGER), CAST(? AS INTEGER))
     ON CONFLICT DO UPDATE SET gone_before_ms = max(gone_before_ms, excluded.gone_before_ms)`,
  );
  return (nowMs) => {
    let gone = 0;
    for (const { controller, newest_at_ms: newestAtMs } of controllers.all()) {
      const throughMs = oldest.all(controller, Math.min(nowMs, newestAtMs) - keptDays * DAY_MS, recordsAStep).at(-1);
      if (throughMs === undefined) continue;
      gone += store.together(() => {
        note.run(controller, throughMs + 1);
        return letGo.run(controller, throughMs).changes;
      });
    }
    return gone;
  };
}
