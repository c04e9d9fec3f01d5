/*
 * What the anodes lost between two weighings, against what the charge should have dissolved. Called by the bath's page. Copper dissolves as Cu(II) in acid copper, so
 * about 1.19 g/Ah; sludge, chips in the bags and copper that the acid takes without current make it more, a film that blocks makes it less.
 */
import { depositMassGrams, MILLICOULOMBS_PER_AMPERE_HOUR } from '../faraday.js';
import { inOrder } from './bath-account.js';
import type { LedgerEntry, Worked } from './ledger-entry.js';

export interface AnodePeriod {
  readonly fromMs: number;
  readonly toMs: number;
  readonly lostGrams: number;
  readonly ampereHours: number;
  /** What that charge dissolves, by Faraday's law. */
  readonly faradayGrams: number;
  /** Lost over Faraday's; null: no charge was counted. */
  readonly efficiencyShare: number | null;
}

export interface AnodeAccount {
  /** As they hang there: the newest weighing with what was changed since; null: never weighed. */
  readonly grams: number | null;
  readonly weighedAtMs: number | null;
  /** What the charge since then has dissolved, by Faraday's law; null: never weighed, or no charge since. */
  readonly since: { readonly ampereHours: number; readonly faradayGrams: number } | null;
  /** Oldest first. */
  readonly periods: readonly AnodePeriod[];
}

/** Example: 8000 g, 400 g put in, then 8044.5 g after 300 Ah: 355.5 g lost, 355.6 g by Faraday's law. */
export function anodeAccount(
  entries: readonly LedgerEntry[],
  { atEntries, millicoulombs: worked }: Pick<Worked, 'atEntries' | 'millicoulombs'>,
): AnodeAccount {
  const periods: AnodePeriod[] = [];
  let grams: number | null = null;
  let begun: { atMs: number; millicoulombs: number } | null = null;
  for (const { entryId, atMs, body } of inOrder(entries)) {
    if (body.kind === 'anodes-changed' && grams !== null) grams += body.putInGrams - body.takenOutGrams;
    if (body.kind !== 'anodes-weighed') continue;
    const millicoulombs = atEntries[entryId] ?? 0;
    if (grams !== null && begun !== null)
      periods.push(period(begun.atMs, atMs, grams - body.grams, millicoulombs - begun.millicoulombs));
    grams = body.grams;
    begun = { atMs, millicoulombs };
  }
  return {
    grams,
    weighedAtMs: begun?.atMs ?? null,
    since: begun === null ? null : dissolved(worked - begun.millicoulombs),
    periods,
  };
}

function dissolved(millicoulombs: number): AnodeAccount['since'] {
  if (millicoulombs <= 0) return null;
  const ampereHours = millicoulombs / MILLICOULOMBS_PER_AMPERE_HOUR;
  return { ampereHours, faradayGrams: depositMassGrams(ampereHours) };
}

function period(fromMs: number, toMs: number, lostGrams: number, millicoulombs: number): AnodePeriod {
  const ampereHours = Math.max(0, millicoulombs) / MILLICOULOMBS_PER_AMPERE_HOUR;
  const faradayGrams = depositMassGrams(ampereHours);
  return { fromMs, toMs, lostGrams, ampereHours, faradayGrams, efficiencyShare: faradayGrams > 0 ? lostGrams / faradayGrams : null }; // prettier-ignore
}
