/*
 * What a run used up and what that cost, as far as somebody wrote a price down: copper of the anodes, brightener by the bath's own rate, what was added to the bath
 * meanwhile, electricity. Called by the dashboard's logbook; its rows by run-sheet.ts. It invents no price, and counts no paint, work and wear.
 */
import { bathProfile } from '../baths/bath-list.js';
import { depositGramsPerAmpereHour } from '../faraday.js';
import { type Figure, type FigureInput, input, inputOf } from '../figure.js';
import { brightenerMillilitres } from '../ledger/brightener-dose.js';
import { brightenerRate } from '../ledger/brightener-account.js';
import type { LedgerEntry } from '../ledger/ledger-entry.js';
import { stockAccount, stocked, type StockEntry, type StockGood, type StockUse } from '../ledger/stock.js';
import { copper, type Metal } from '../metals.js';
import type { RunRecord } from './run-record.js';

/** What was added to the bath between the start and the end, by the entries of its ledger. */
export interface AddedMeanwhile {
  readonly of: StockGood;
  /** Grams or millilitres. */
  readonly amount: number;
  /** null: of some of it no price is known. */
  readonly cost: number | null;
}

export interface RunCost {
  /** What the anodes lost by Faraday's law; null: no charge has flowed, or nobody knows in which bath. */
  readonly metalGrams: Figure | null;
  readonly metalCost: Figure | null;
  /** Used up by the rate that stands in the bath's ledger; null: none stands there. */
  readonly brightenerMillilitres: Figure | null;
  readonly brightenerCost: Figure | null;
  readonly electricityCost: Figure | null;
  readonly added: readonly AddedMeanwhile[];
  /** Of all that has a price; null: nothing has. Brightener and anodes are in it once: as used up, or where that is not known as they were put in. */
  readonly total: Figure | null;
}

export interface RunCostBasis {
  readonly run: Pick<RunRecord, 'recipe' | 'plan' | 'measures' | 'startedAtMs' | 'lastedUntilMs'>;
  /** The bath that stood under the controller when it began; null: no ledger did. */
  readonly bath: { readonly bathId: number; readonly entries: readonly LedgerEntry[] } | null;
  readonly stock: { readonly entries: readonly StockEntry[]; readonly uses: readonly StockUse[] };
}

/** Prices are those of the stock when the run ended, and those of the plan that the recipe came from. */
export function runCost({ run, bath, stock }: RunCostBasis): RunCost {
  const { measures, plan, startedAtMs, lastedUntilMs } = run;
  const charge = input('Charge', measures.chargeAmpereHours, 'Ah');
  // What was bought or used later changes nothing of it.
  const account = stockAccount(
    stock.entries.filter(({ atMs }) => atMs <= lastedUntilMs),
    stock.uses.filter(({ atMs }) => atMs <= lastedUntilMs),
  );
  const metalGrams = metal(run, charge);
  const bought = (of: StockGood): number | undefined => account.goods.find((good) => good.of === of)?.costOfOne ?? undefined;
  const isCopper = metalGrams !== null && metalOf(run) === copper;
  const metalCost = pricedBy('Metal, cost', metalGrams, isCopper ? bought('copper-anodes') : undefined, plan?.prices?.metalPerKg);
  const brightener = bath === null ? null : usedBrightener(bath.entries, lastedUntilMs, charge);
  const brightenerCost = pricedBy('Brightener, cost', brightener, bought('brightener'), plan?.prices?.brightenerPerLitre);
  const electricityCost = electricity(measures.energyWattHours, plan?.prices?.electricityPerKwh);
  const added = bath === null ? [] : addedWithin(account.uses, bath.bathId, startedAtMs, lastedUntilMs);
  const isUsedUp = (of: StockGood): boolean =>
    (of === 'brightener' && brightener !== null) || (of === 'copper-anodes' && isCopper);
  const counted = added.filter(({ of }) => !isUsedUp(of));
  const parts: FigureInput[] = [
    ...[metalCost, brightenerCost, electricityCost].flatMap((one) => (one === null ? [] : [inputOf(one)])),
    ...counted.flatMap(({ of, cost }) => (cost === null ? [] : [input(`Added: ${stocked[of].name}`, cost, 'money')])),
  ];
  return { metalGrams, metalCost, brightenerMillilitres: brightener, brightenerCost, electricityCost, added, total: together(parts) };
} // prettier-ignore

/** A recipe that names no bath is of acid copper. */
function metalOf({ recipe }: RunCostBasis['run']): Metal | undefined {
  const bath = recipe?.bath ?? null;
  const profile = bath === null ? undefined : bathProfile(bath);
  return profile?.metal ?? (recipe === null ? undefined : copper);
}

function metal(run: RunCostBasis['run'], charge: FigureInput): Figure | null {
  const { measures } = run;
  const of = metalOf(run);
  if (of === undefined || measures.chargeAmpereHours <= 0) return null;
  const gramsPerAmpereHour = depositGramsPerAmpereHour(of);
  return {
    label: `${of.name} that the anodes lost`,
    value: measures.chargeAmpereHours * gramsPerAmpereHour,
    unit: 'g',
    formula: 'charge × metal for an ampere-hour, anodes at 100 %',
    inputs: [charge, input('Metal for an ampere-hour at 100 %', gramsPerAmpereHour, 'g/Ah')],
    source:
      of === copper
        ? 'Faraday’s law; acid copper anodes about 100 %: Metal Finishing Guidebook 2011-12, p. 206'
        : `Faraday’s law; that ${of.name} anodes dissolve at 100 % is from memory`,
  };
}

/** By the newest rate that stood there when the run ended. */
function usedBrightener(entries: readonly LedgerEntry[], untilMs: number, charge: FigureInput): Figure | null {
  const rate = brightenerRate(entries.filter(({ atMs }) => atMs <= untilMs));
  if (rate === undefined || charge.value <= 0) return null;
  return {
    label: 'Brightener',
    value: brightenerMillilitres(charge.value, rate.litresPerKiloampereHour),
    unit: 'mL',
    formula: 'charge ÷ 1000 × consumption',
    inputs: [charge, input('Consumption', rate.litresPerKiloampereHour, 'L/kAh')],
    source: `arithmetic; the consumption is by ${rate.source}`,
  };
}

/** `bought`: of one of the figure's unit; the plan's price, which counts where nothing was bought, of a thousand. */
function pricedBy(label: string, of: Figure | null, bought: number | undefined, planned: number | undefined): Figure | null {
  return bought === undefined
    ? priced(label, of, planned, 'the price is the plan’s')
    : priced(label, of, bought * 1000, 'weighted average of what was bought (the stock)');
} // prettier-ignore

/** The price is for a thousand of the figure's unit: a kilogram, a litre. */
function priced(label: string, of: Figure | null, price: number | undefined, source: string): Figure | null {
  if (of === null || price === undefined) return null;
  return { label, value: (of.value / 1000) * price, unit: 'money', formula: 'amount × price', inputs: [inputOf(of), input(of.unit === 'g' ? 'Price of a kg' : 'Price of a litre', price, 'money')], source: `arithmetic; ${source}` };
} // prettier-ignore

/** A switched supply. Common practice, no source; as in a plan. */
const SUPPLY_EFFICIENCY = 0.85;

function electricity(energyWattHours: number | null, price: number | undefined): Figure | null {
  if (energyWattHours === null || price === undefined) return null;
  return {
    label: 'Electricity, cost',
    value: (energyWattHours / 1000 / SUPPLY_EFFICIENCY) * price,
    unit: 'money',
    formula: 'energy at the terminals ÷ efficiency of the supply × price; pump, motor and heater come on top',
    inputs: [
      input('Energy at the terminals', energyWattHours / 1000, 'kWh'),
      { label: 'Efficiency of the supply', value: 100 * SUPPLY_EFFICIENCY, unit: '%', isAssumed: true },
      input('Price of a kWh', price, 'money'),
    ],
    source: 'measured energy; the efficiency is common practice, no source; the price is the plan’s',
  };
}

function addedWithin(
  uses: ReturnType<typeof stockAccount>['uses'],
  bathId: number,
  fromMs: number,
  toMs: number,
): AddedMeanwhile[] {
  const added = new Map<StockGood, AddedMeanwhile>();
  for (const use of uses) {
    if (use.bathId !== bathId || use.atMs < fromMs || use.atMs > toMs) continue;
    const { of, amount, cost } = use;
    const before = added.get(of) ?? { of, amount: 0, cost: 0 };
    const sum = before.cost === null || cost === null ? null : before.cost + cost;
    added.set(of, { of, amount: before.amount + amount, cost: sum });
  }
  return [...added.values()];
}

function together(inputs: readonly FigureInput[]): Figure | null {
  if (inputs.length === 0) return null;
  return {
    label: 'Together',
    value: inputs.reduce((sum, { value }) => sum + value, 0),
    unit: 'money',
    formula: 'sum of what has a price',
    inputs,
    source: 'arithmetic; paint, work and wear are not in it',
  };
}
