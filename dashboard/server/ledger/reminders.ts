/*
 * What the baths under a controller want, in plain words: nothing that wakes anybody. Called by the ledger's routes, for the bath's screen.
 */
import {
  type BathLedger,
  brightenerDue,
  brightenerRate,
  type LedgerReminder,
  significant,
} from '@bathkeeper/shared-core/trade';

/** Example: "Copper 60 L wants brightener: 310 Ah since the last dose have used up 93 mL." */
export function ledgerReminders(ledgers: readonly BathLedger[], controllerId: string): LedgerReminder[] {
  return ledgers.flatMap(({ bath, entries, worked }) => {
    const rate = brightenerRate(entries);
    if (worked.controllerId !== controllerId || rate === undefined) return [];
    const { isDue, ampereHours, usedUpMillilitres } = brightenerDue(rate, worked.sinceDoseMillicoulombs);
    if (!isDue) return [];
    const words = `${bath.name} wants brightener: ${significant(ampereHours, 3)} Ah since the last dose have used up ${significant(usedUpMillilitres, 3)} mL.`;
    return [{ bathId: bath.bathId, words }];
  });
}
