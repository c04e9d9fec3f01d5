/*
 * What a run used up and cost, from the ledger that was under its controller when it began, the stock of chemicals and the plan's prices. Called by the logbook; it
 * gathers, the core reckons.
 */
import { runCost, type RunCost, type RunCostBasis, stoodUnder } from '@bathkeeper/shared-core/trade';
import { openOwnSpans } from '../ledger/own-spans.js';
import { openStockStanding } from '../ledger/stock-standing.js';
import type { Store } from '../store/store.js';

export type CostOfRun = (run: RunCostBasis['run'] & { readonly controllerId: string }) => RunCost;

export function openRunCosts(store: Store): CostOfRun {
  const standing = openStockStanding(store);
  const ownSpans = openOwnSpans(store);
  return (run) => {
    const { entries, uses, baths } = standing();
    const bath = baths.find((one) => stoodUnder(ownSpans(one, one.entries), run.controllerId, run.startedAtMs)) ?? null;
    return runCost({ run, bath, stock: { entries, uses } });
  };
}
