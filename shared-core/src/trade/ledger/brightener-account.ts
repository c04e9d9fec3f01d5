/*
 * When brightener was dosed last, at which rate it is used up, and whether a dose is due. Called by the bath's page and by the server for its reminders. Without a rate
 * that somebody wrote down nothing is due: there is no usual one.
 */
import { MILLICOULOMBS_PER_AMPERE_HOUR } from '../faraday.js';
import { inOrder } from './bath-account.js';
import { brightenerMillilitres } from './brightener-dose.js';
import type { BrightenerRateAsked, LedgerEntry } from './ledger-entry.js';

export interface BrightenerDue {
  readonly ampereHours: number;
  readonly usedUpMillilitres: number;
  readonly isDue: boolean;
}

/** The newest dose, or the make-up, which begins with fresh brightener; null: neither. */
export function dosedAtMs(entries: readonly LedgerEntry[]): number | null {
  const doses = inOrder(entries).filter(
    ({ body }) => body.kind === 'made-up' || (body.kind === 'addition' && body.of === 'brightener'),
  );
  return doses.at(-1)?.atMs ?? null;
}

/** The newest rate; undefined: nobody wrote one down. */
export function brightenerRate(entries: readonly LedgerEntry[]): BrightenerRateAsked | undefined {
  const bodies = inOrder(entries).map(({ body }) => body);
  return bodies.findLast((body) => body.kind === 'brightener-rate');
}

/** Example: 1,000,000,000 mC since the dose at 0.3 L/kAh: 277.8 Ah, 83.3 mL, due where 80 mL are dosed at once. */
export function brightenerDue(rate: BrightenerRateAsked, sinceDoseMillicoulombs: number): BrightenerDue {
  const ampereHours = sinceDoseMillicoulombs / MILLICOULOMBS_PER_AMPERE_HOUR;
  const usedUpMillilitres = brightenerMillilitres(ampereHours, rate.litresPerKiloampereHour);
  return { ampereHours, usedUpMillilitres, isDue: usedUpMillilitres >= rate.doseMillilitres };
}
