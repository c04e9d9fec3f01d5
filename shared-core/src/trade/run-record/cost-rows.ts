/* The cost of a run as rows of its sheet, in a person's units. Called by run-sheet.ts; pure. Money is whatever the person pays with. */
import { goodAmountWords } from '../ledger/amount-words.js';
import { stocked } from '../ledger/stock.js';
import { shownWith } from '../words-in-units.js';
import type { UnitSystem } from '../units.js';
import type { Figure } from '../figure.js';
import type { AddedMeanwhile, RunCost } from './run-cost.js';
import type { SheetRow } from './run-sheet.js';

const money = (value: number): string => value.toFixed(2);

/** Example: "183 g, for 1.65"; with no price "183 g; its price is not known". */
function pricedRow(label: string, of: Figure | null, cost: Figure | null, units: UnitSystem): SheetRow[] {
  if (of === null) return [];
  const amount = shownWith(of.value, of.unit, units, 3);
  return cost === null
    ? [{ label, words: `${amount}; its price is not known`, figure: of }]
    : [{ label, words: `${amount}, for ${money(cost.value)}`, figure: cost }];
}

function addedWords({ of, amount, cost }: AddedMeanwhile, units: UnitSystem): string {
  return `${goodAmountWords(of, amount, units)} of ${stocked[of].name}${cost === null ? ', no price known' : ` for ${money(cost)}`}`;
}

/** Where nothing has a price, the last row says how it gets one. */
export function costRows(cost: RunCost, units: UnitSystem): SheetRow[] {
  const { metalGrams, metalCost, brightenerMillilitres, brightenerCost, electricityCost, added, total } = cost;
  return [
    ...pricedRow('Metal of the anodes, by Faraday’s law', metalGrams, metalCost, units),
    ...pricedRow('Brightener, by the bath’s rate', brightenerMillilitres, brightenerCost, units),
    ...(added.length === 0
      ? []
      : [{ label: 'Added to the bath meanwhile', words: added.map((one) => addedWords(one, units)).join('; ') }]),
    ...(electricityCost === null
      ? []
      : [{ label: 'Electricity', words: `for ${money(electricityCost.value)}`, figure: electricityCost }]),
    total === null
      ? { label: 'Cost', words: 'not known: no price of it was written down. What is bought, anodes too, goes into the stock of chemicals, the price of electricity into the plan.' }
      : { label: 'Together', words: `${money(total.value)}, of what has a price`, figure: total },
  ];
} // prettier-ignore
