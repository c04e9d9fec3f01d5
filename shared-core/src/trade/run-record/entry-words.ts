/* What people wrote into the record of a run, in a person's units. Called by the page and by the run sheet; pure. The note itself stands as it was written. */
import type { UnitSystem } from '../units.js';
import { shownWith } from '../words-in-units.js';
import type { RunEntryBody, WeighingBody } from './run-entry.js';

/** What a balance of a workshop shows, and what a change of units must not round away. */
const WEIGHT_DIGITS = 7;

/** Example: "1124.5 g, right within 0.1 g". */
export function weightWords({ grams, uncertaintyGrams }: WeighingBody, units: UnitSystem): string {
  return `${shownWith(grams, 'g', units, WEIGHT_DIGITS)}, right within ${shownWith(uncertaintyGrams, 'g', units, 2)}`;
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
