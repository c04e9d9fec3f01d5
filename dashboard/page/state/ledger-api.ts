/* Asks the dashboard for the ledgers of baths, as api.ts does for everything else. Called by the rooms of the ledger; keeps nothing. */
import type {
  BathLedger,
  LedgerBath,
  LedgerEntry,
  NewBathRequest,
  NewEntryRequest,
  UndoRequest,
} from '@bathkeeper/shared-core/trade';
import { type Answer, ask } from './api.js';

const bath = (bathId: number): string => `/api/baths/${String(bathId)}`;

export const askBaths = (): Promise<Answer<LedgerBath[]>> => ask('GET', '/api/baths');
export const beginLedger = (request: NewBathRequest): Promise<Answer<LedgerBath>> => ask('POST', '/api/baths', request);
export const askLedger = (bathId: number): Promise<Answer<BathLedger>> => ask('GET', bath(bathId));
export const writeEntry = (bathId: number, request: NewEntryRequest): Promise<Answer<LedgerEntry>> =>
  ask('POST', `${bath(bathId)}/entries`, request);
export const undoEntry = (bathId: number, entryId: number, request: UndoRequest): Promise<Answer<LedgerEntry>> =>
  ask('POST', `${bath(bathId)}/entries/${String(entryId)}/undo`, request);
