/*
 * What the dashboard does by the clock: watch, silences, signs of life, morning summary, ageing, sums of runs. Begun by the composition root. Each
 * has a timer of its own and is guarded, so that one that fails holds up no other.
 */
import type { Cancel, DashboardClock } from './clock.js';
import { SIGN_OF_LIFE_SECONDS } from './commands/signs-of-life.js';
import type { Imports } from './export/imports.js';
import type { Failures } from './failures.js';
import type { House } from './house/house.js';
import { AGEING_STEP_MS, openRecordAgeing } from './keeping/record-ageing.js';
import type { DeletedRuns } from './logbook/deleted-runs.js';
import { GONE_IMPORTS_STEP_MS, openGoneImports } from './logbook/gone-imports.js';
import type { RunMeasuring } from './logbook/run-measures.js';
import type { Calling } from './notify/calling.js';
import type { Store } from './store/store.js';
import type { AlarmList } from './watch/alarm-list.js';
import type { Watchman } from './watch/watchman.js';

const MINUTE_MS = 60_000;
const UNKEPT_SUMS = 'what a run has come to could not be kept';

/** Answers what ends all of it. */
export function beginRegularWork(options: {
  clock: DashboardClock;
  guarded: Failures['guarded'];
  failed: Failures['failed'];
  store: Store;
  recordsKeptDays: number;
  watchman: Pick<Watchman, 'tick'>;
  house: Pick<House, 'ticked'>;
  alarms: Pick<AlarmList, 'tick'>;
  calling: Pick<Calling, 'goodNews'>;
  measuring: RunMeasuring;
  deletedRuns: DeletedRuns;
  imports: Pick<Imports, 'clearNext'>;
  sendSigns: () => void;
}): Cancel {
  const { clock, watchman, house, alarms, calling, measuring, deletedRuns, imports } = options;
  const letRecordsGo = openRecordAgeing(options.store, options.recordsKeptDays);
  const every = (ms: number, ifItFails: string, work: (nowMs: number) => void): Cancel =>
    clock.every(
      ms,
      options.guarded(ifItFails, () => {
        work(clock.nowMs());
      }),
    );
  let isEnded = false;
  const ends = [
    every(1000, 'the watch could not be kept', (nowMs) => {
      watchman.tick(nowMs);
      house.ticked(nowMs);
    }),
    every(1000, 'what is silent could not be kept', alarms.tick),
    every(MINUTE_MS, 'the morning summary could not be made', calling.goodNews.tick),
    every(AGEING_STEP_MS, 'old records could not be let go', letRecordsGo),
    every(MINUTE_MS, UNKEPT_SUMS, (nowMs) => {
      measuring.keepNext(nowMs).catch((fault: unknown) => {
        // Asked again at the next start.
        if (!isEnded) options.failed(UNKEPT_SUMS, fault);
      });
    }),
    every(MINUTE_MS, 'a deleted run could not be let go', deletedRuns.forgetNext),
    every(GONE_IMPORTS_STEP_MS, 'a deleted import could not be let go', openGoneImports(options.store)),
    every(GONE_IMPORTS_STEP_MS, 'what was left of an import could not be cleared', imports.clearNext),
    every(SIGN_OF_LIFE_SECONDS * 1000, 'signs of life could not be sent', options.sendSigns),
  ];
  return () => {
    isEnded = true;
    for (const end of ends) end();
  };
}
