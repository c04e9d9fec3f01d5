/* Asks the dashboard for the stock of chemicals, as api.ts does for everything else. Called by the stock's room; keeps nothing. */
import type { NewStockRequest, StockView, UndoRequest } from '@bathkeeper/shared-core/trade';
import { type Answer, ask } from './api.js';

export const askStock = (): Promise<Answer<StockView>> => ask('GET', '/api/stock');
export const writeStock = (request: NewStockRequest): Promise<Answer<StockView>> =>
  ask('POST', '/api/stock/entries', request);
export const undoStock = (entryId: number, request: UndoRequest): Promise<Answer<StockView>> =>
  ask('POST', `/api/stock/entries/${String(entryId)}/undo`, request);
