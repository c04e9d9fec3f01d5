/* Amounts of the ledger in words, in the person's units. Pure; used by every sentence of the ledger. */
import { shownWith, type UnitSystem } from '@bathkeeper/shared-core/trade';

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
