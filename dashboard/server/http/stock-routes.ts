/*
 * The routes of the stock of chemicals: what is left and what it cost, a purchase, a count, undoing one. Mounted below /api, behind the door. Uses come from the ledgers
 * of all baths but the simulated; nothing is changed or deleted.
 */
import { Router } from 'express';
import { bathCost, brightenerRate, type StockView } from '@bathkeeper/shared-core/trade';
import type { Dashboard } from '../dashboard.js';
import { undoShape } from '../ledger/entry-shape.js';
import { openStockBook } from '../ledger/stock-book.js';
import { newStockShape } from '../ledger/stock-shape.js';
import { openStockStanding } from '../ledger/stock-standing.js';
import { checked, Refused } from './refusal.js';
import { timeFault } from './said-time.js';

export function stockRoutes({ store, clock }: Dashboard): Router {
  const stock = openStockBook(store);
  const standing = openStockStanding(store);
  const view = (): StockView => {
    const { entries, baths, account } = standing();
    return {
      goods: account.goods,
      entries,
      baths: baths.map((bath) => bathCost(bath, account, brightenerRate(bath.entries)?.litresPerKiloampereHour)),
    };
  };
  const router = Router();
  router.get('/stock', (_request, response) => {
    response.json(view());
  });
  router.post('/stock/entries', (request, response) => {
    const { atMs, who, note = '', body } = checked(newStockShape, request.body);
    const nowMs = clock.nowMs();
    const fault = timeFault(atMs ?? nowMs, nowMs);
    if (fault !== undefined)
      throw new Refused(400, 'The entry does not fit. Correct what is listed.', [`atMs: ${fault}`]);
    stock.add({ atMs: Math.min(atMs ?? nowMs, nowMs), who, note, body }, nowMs);
    response.json(view());
  });
  router.post('/stock/entries/:entry/undo', (request, response) => {
    const { entry } = request.params;
    const { who, reason } = checked(undoShape, request.body);
    const told = stock.undo(/^\d{1,15}$/.test(entry) ? Number(entry) : -1, who, reason, clock.nowMs());
    if (told === 'none') throw new Refused(404, `There is no such entry of the stock: ${entry}. Load the stock anew.`);
    if (told === 'undone') throw new Refused(409, 'Somebody has undone this entry already. Load the stock anew.');
    response.json(view());
  });
  return router;
}
