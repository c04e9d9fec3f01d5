/* What waste of a bath stands there still: collected less handed over, each kind. Called by the bath's page. Where it may go the local rules decide. */
import { inOrder } from './bath-account.js';
import { type Waste, wasteKeys } from './care-entries.js';
import type { LedgerEntry } from './ledger-entry.js';

export interface WasteHeld {
  readonly what: Waste;
  readonly collected: number;
  readonly handedOver: number;
  /** Less than nothing: more was handed over than anybody wrote down. */
  readonly left: number;
}

/** Only what was ever collected or handed over, in the unit of its kind. */
export function wasteAccount(entries: readonly LedgerEntry[]): WasteHeld[] {
  const counted = inOrder(entries).map(({ body }) => body);
  const sum = (kind: 'waste-collected' | 'waste-handed-over', what: Waste): number =>
    counted.reduce((total, body) => total + (body.kind === kind && body.what === what ? body.amount : 0), 0);
  return wasteKeys
    .map((what) => ({ what, collected: sum('waste-collected', what), handedOver: sum('waste-handed-over', what) }))
    .filter(({ collected, handedOver }) => collected + handedOver > 0)
    .map((one) => ({ ...one, left: one.collected - one.handedOver }));
}
