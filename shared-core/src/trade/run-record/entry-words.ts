/* What people wrote into the record of a run, in a person's units. Called by the page and by the run sheet; pure. The note itself stands as it was written. */
import { inUnits, type UnitSystem } from '../units.js';
import { shownWith } from '../words-in-units.js';
import type { RunEntryBody, WeighingBody } from './run-entry.js';

/** Behind the point: to a tenth of what the balance is right within, or the last digit would be noise of the change of units. */
function weightDecimals(uncertainty: number): number {
  return Math.max(0, 1 + Math.ceil(-Math.log10(uncertainty)));
}

/** Example: "1124.5 g, right within 0.1 g", the same in imperial "39.6656 oz, right within 0.0035 oz". */
export function weightWords({ grams, uncertaintyGrams }: WeighingBody, units: UnitSystem): string {
  const weight = inUnits(grams, 'g', units);
  const decimals = weightDecimals(inUnits(uncertaintyGrams, 'g', units).value);
  return `${String(Number(weight.value.toFixed(decimals)))} ${weight.unit}, right within ${shownWith(uncertaintyGrams, 'g', units, 2)}`;
}

/** Example: "Weighed before the run: 812 g, right within 0.1 g"; "Note"; "Photograph". */
export function runEntryWords(body: RunEntryBody, units: UnitSystem): string {
  switch (body.kind) {
    case 'note':
      return 'Note';
    case 'photograph':
      return 'Photograph';
    case 'weighing':
      return `Weighed ${body.when} the run: ${weightWords(body, units)}`;
  }
}
