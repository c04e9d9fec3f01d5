/* Amounts of the ledger, the stock and a run's cost in words, in a person's units. Pure; used by page, sheet and the dashboard's reminders alike. */
import type { UnitSystem } from '../units.js';
import { shownWith } from '../words-in-units.js';
import { type StockGood, stocked } from './stock.js';

const DIGITS = 4;

/** Grams, from a thousand on as kilograms. Example: `gramsWords(12000, 'metric')` is "12 kg". */
export function gramsWords(grams: number, units: UnitSystem): string {
  return grams >= 1000 ? shownWith(grams / 1000, 'kg', units, DIGITS) : shownWith(grams, 'g', units, 3);
}

/** Millilitres, from a thousand on as litres. */
export function millilitresWords(millilitres: number, units: UnitSystem): string {
  return millilitres >= 1000 ? litresWords(millilitres / 1000, units) : shownWith(millilitres, 'mL', units, 3);
}

export function litresWords(litres: number, units: UnitSystem): string {
  return shownWith(litres, 'L', units, 3);
}

/** So much of what is kept in stock, `amount` in its own unit. Example: `goodAmountWords('brightener', 310, 'metric')` is "310 mL". */
export function goodAmountWords(of: StockGood, amount: number, units: UnitSystem): string {
  return stocked[of].unit === 'g' ? gramsWords(amount, units) : millilitresWords(amount, units);
}
