/* The age of a bath when a run began and when it ended: the ampere-hours of every run before, by the ledger that was under its controller then. Called by the logbook. */
import {
  type BathAge,
  bathAccount,
  MILLICOULOMBS_PER_AMPERE_HOUR,
  type RunRecord,
  stoodUnder,
} from '@bathkeeper/shared-core/trade';
import { openLedgerBook } from '../ledger/ledger-book.js';
import { openOwnSpans } from '../ledger/own-spans.js';
import { countedAt, openCountedRuns } from '../ledger/worked-charge.js';
import type { Store } from '../store/store.js';

/** null: no ledger was under its controller when it began. */
export type AgeOfBath = (run: Pick<RunRecord, 'controllerId' | 'startedAtMs' | 'lastedUntilMs'>) => BathAge | null;

export function openBathAge(store: Store): AgeOfBath {
  const ledgers = openLedgerBook(store);
  const runsOf = openCountedRuns(store);
  const ownSpans = openOwnSpans(store);
  return ({ controllerId, startedAtMs, lastedUntilMs }) => {
    for (const bath of ledgers.baths()) {
      const entries = ledgers.entries(bath.bathId);
      if (!stoodUnder(ownSpans(bath, entries), controllerId, startedAtMs)) continue;
      const runs = runsOf(bath, entries);
      const before = runs.filter((run) => run.startedAtMs < startedAtMs);
      const { litres, madeUpAtMs } = bathAccount(entries.filter(({ atMs }) => atMs <= lastedUntilMs));
      return {
        bathId: bath.bathId,
        bathName: bath.name,
        madeUpAtMs,
        litres,
        beforeAmpereHours: countedAt(before, startedAtMs) / MILLICOULOMBS_PER_AMPERE_HOUR,
        afterAmpereHours: countedAt(runs, lastedUntilMs) / MILLICOULOMBS_PER_AMPERE_HOUR,
      };
    }
    return null;
  };
}
