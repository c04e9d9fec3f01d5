/*
 * How the stock of chemicals stands: what was written of it, and what the baths took by their ledgers, but for the simulated ones. Asked by the routes of stock, ledgers
 * and runs. Reads only.
 */
import {
  type LedgerBath,
  type LedgerEntry,
  stockAccount,
  type StockEntry,
  type StockUse,
  stockUses,
} from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';
import { openLedgerBook } from './ledger-book.js';
import { openStockBook } from './stock-book.js';

export interface StockStanding {
  readonly entries: readonly StockEntry[];
  readonly baths: readonly (LedgerBath & { readonly entries: readonly LedgerEntry[] })[];
  readonly uses: readonly StockUse[];
  readonly account: ReturnType<typeof stockAccount>;
}

export function openStockStanding(store: Store): () => StockStanding {
  const stock = openStockBook(store);
  const ledgers = openLedgerBook(store);
  return () => {
    const baths = ledgers
      .baths()
      .filter(({ isSimulated }) => !isSimulated)
      .map((bath) => ({ ...bath, entries: ledgers.entries(bath.bathId) }));
    const entries = stock.entries();
    const uses = baths.flatMap((bath) => stockUses(bath.bathId, bath.entries));
    return { entries, baths, uses, account: stockAccount(entries, uses) };
  };
}
