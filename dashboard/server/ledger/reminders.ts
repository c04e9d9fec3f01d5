/*
 * What the baths under a controller want, in plain words: nothing that wakes anybody. Called by the ledger's routes, for the bath's screen.
 */
import {
  type BathLedger,
  brightenerDue,
  brightenerRate,
  careDue,
  daysWords,
  goodAmountWords,
  type LedgerReminder,
  remindedKinds,
  significant,
  stocked,
} from '@bathkeeper/shared-core/trade';

/** Of the baths that stand under a controller, what is due. Example: “Copper 60 L” wants brightener: 310 Ah since the last dose have used up 93 mL. The name stands in quotation marks, so that no unit in it is converted (`inWords`). */
export function ledgerReminders(ledgers: readonly BathLedger[], controllerId: string, nowMs: number): LedgerReminder[] {
  return ledgers
    .filter(({ worked }) => worked.controllerId === controllerId)
    .flatMap((ledger) => [
      ...[...brightenerWords(ledger), ...careWords(ledger, nowMs)].map((words) => ({ bathId: ledger.bath.bathId, words })),
      ...stockWords(ledger).map((words) => ({ bathId: null, words })),
    ]); // prettier-ignore
}

/** Example: “Copper 60 L” takes brightener, running low: 310 mL left, at least 500 mL were to be there. */
function stockWords({ bath, lowGoods }: BathLedger): string[] {
  return lowGoods.map(({ of, amount, lowAt }) => {
    const wanted = goodAmountWords(of, lowAt ?? 0, 'metric');
    const left = amount > 0 ? `${goodAmountWords(of, amount, 'metric')} left` : 'by the books nothing is left';
    return `“${bath.name}” takes ${stocked[of].name}, running low: ${left}, at least ${wanted} were to be there.`;
  });
}

function brightenerWords({ bath, entries, worked }: BathLedger): string[] {
  const rate = brightenerRate(entries);
  if (rate === undefined) return [];
  const { isDue, ampereHours, usedUpMillilitres } = brightenerDue(rate, worked.sinceDoseMillicoulombs);
  if (!isDue) return [];
  return [
    `“${bath.name}” wants brightener: ${significant(ampereHours, 3)} Ah since the last dose have used up ${significant(usedUpMillilitres, 3)} mL.`,
  ];
}

/** Example: “Copper 60 L” wants filtration: 31 days and 200 Ah since the last. */
function careWords({ bath, entries, worked }: BathLedger, nowMs: number): string[] {
  return careDue(entries, worked, nowMs)
    .filter(({ isDue }) => isDue)
    .map(({ of, days, ampereHours, wasDone }) => {
      const since = wasDone ? 'since the last' : 'and none yet';
      return `“${bath.name}” wants ${remindedKinds[of].name}: ${daysWords(days)} and ${significant(ampereHours, 3)} Ah ${since}.`;
    });
}
