/*
 * What the balance says of a run: the copper by its weight, the share of the charge that deposited it, the average thickness; and whether Faraday's law allows
 * it. Called for the record of a run, when a weighing is written down, and for what a bath has given so far. Judges, and changes nothing.
 */
import { bathProfile } from '../baths/bath-list.js';
import { type Figure, input, inputOf } from '../figure.js';
import { depositGramsPerAmpereHour, depositMassGrams, depositThicknessMicrometres } from '../faraday.js';
import { copper } from '../metals.js';
import { significant } from '../shown.js';
import type { RunEntry, WeighingBody } from './run-entry.js';

/** Shunt of class 0.5 (0.5 %), and the meter that it was set against (1 %): common practice, no source. */
export const CHARGE_UNCERTAINTY_SHARE = 0.015;

/** What of a run decides what its charge can deposit. null: no recipe is known, and the metal is taken as copper. */
export interface WeighedRun {
  readonly recipe: { readonly bath: string | null; readonly areaDm2: number } | null;
  readonly chargeAmpereHours: number;
}

export type Weighing = Pick<RunEntry, 'atMs' | 'who'> & { readonly body: WeighingBody };

export interface WeighedDeposit {
  readonly before: Weighing;
  readonly after: Weighing;
  readonly gainedGrams: Figure;
  /** Grams that the charge can deposit at most. */
  readonly possibleGrams: number;
  /** null: no charge has flowed. */
  readonly cathodeEfficiencyPercent: Figure | null;
  /** null: the area is not known. */
  readonly averageThicknessMicrometres: Figure | null;
  /** Why it cannot be so, with the sum; then it counts for nothing else. */
  readonly question: string | null;
  /** Possible, and not usual in this bath. */
  readonly remark: string | null;
}

/** The newest of its kind that stands. */
export function newestWeighing(entries: readonly RunEntry[], when: WeighingBody['when']): Weighing | undefined {
  return entries
    .flatMap(({ body, undone, atMs, who, entryId }) =>
      undone === null && body.kind === 'weighing' && body.when === when ? [{ body, atMs, who, entryId }] : [],
    )
    .sort((one, other) => one.entryId - other.entryId)
    .at(-1);
}

/** undefined: not both were weighed. */
export function weighingsOf(entries: readonly RunEntry[]): { before: Weighing; after: Weighing } | undefined {
  const [before, after] = [newestWeighing(entries, 'before'), newestWeighing(entries, 'after')];
  return before === undefined || after === undefined ? undefined : { before, after };
}

/**
 * Example: 812.0 g before and 1124.5 g after 272.1 Ah of copper on 12 dm² are 312.5 g, an efficiency of 96.9 % and 291 µm on average.
 */
export function weighedDeposit(
  { before, after }: { readonly before: Weighing; readonly after: Weighing },
  { recipe, chargeAmpereHours }: WeighedRun,
): WeighedDeposit {
  const profile = recipe === null || recipe.bath === null ? undefined : bathProfile(recipe.bath);
  const metal = profile?.metal ?? copper;
  const grams = after.body.grams - before.body.grams;
  const balance = after.body.uncertaintyGrams + before.body.uncertaintyGrams;
  const charge = input('Charge, by the controller’s count', chargeAmpereHours, 'Ah');
  const equivalent = input('Metal for an ampere-hour at 100 %', depositGramsPerAmpereHour(metal), 'g/Ah');
  const gainedGrams: Figure = {
    label: 'Deposit, by the balance',
    value: grams,
    unit: 'g',
    uncertainty: { low: grams - balance, high: grams + balance, because: 'what both weighings may be off' },
    formula: 'weight after − weight before',
    inputs: [input('Weight after', after.body.grams, 'g'), input('Weight before', before.body.grams, 'g')],
    source: 'the balance',
  };
  const possibleGrams = depositMassGrams(chargeAmpereHours, metal);
  const percent = (100 * grams) / possibleGrams;
  const off = balance / possibleGrams;
  const cathodeEfficiencyPercent: Figure | null =
    possibleGrams <= 0
      ? null
      : {
          label: 'Cathode efficiency, by the balance',
          value: percent,
          unit: '%',
          uncertainty: {
            low: (percent - 100 * off) * (1 - CHARGE_UNCERTAINTY_SHARE),
            high: (percent + 100 * off) * (1 + CHARGE_UNCERTAINTY_SHARE),
            because: 'what balance and count of charge may be off',
          },
          formula: 'deposit by the balance ÷ (charge × metal for an ampere-hour)',
          inputs: [inputOf(gainedGrams), charge, equivalent],
          source: 'Faraday’s law; F = 96485.33212 C/mol (SI 2019)',
        };
  return {
    before,
    after,
    gainedGrams,
    possibleGrams,
    cathodeEfficiencyPercent,
    averageThicknessMicrometres: recipe === null ? null : weighedThickness(gainedGrams, recipe.areaDm2, metal),
    question: questionOf(grams, balance, possibleGrams, { chargeAmpereHours, metal }),
    remark: remarkOf(cathodeEfficiencyPercent, profile),
  };
}

function weighedThickness(gained: Figure, areaDm2: number, metal: typeof copper): Figure {
  // Thickness is mass over density and area, whatever charge it took.
  const perGram = depositThicknessMicrometres(1, areaDm2, metal) / depositGramsPerAmpereHour(metal);
  const { low, high, because } = gained.uncertainty!;
  return {
    label: 'Average thickness, by the balance',
    value: gained.value * perGram,
    unit: 'µm',
    uncertainty: { low: low * perGram, high: high * perGram, because },
    formula: 'deposit by the balance ÷ (density of the metal × area)',
    inputs: [
      inputOf(gained),
      input(`Density of ${metal.name}`, metal.densityGramsPerCm3, 'g/cm³'),
      input('Area of the recipe', areaDm2, 'dm²'),
    ],
    source: 'arithmetic; density from memory',
  };
}

function questionOf(
  grams: number,
  balance: number,
  possible: number,
  { chargeAmpereHours, metal }: { readonly chargeAmpereHours: number; readonly metal: typeof copper },
): string | null {
  const shown = (value: number): string => significant(value, 4);
  if (grams < -balance)
    return `The part weighs ${shown(-grams)} g less after the run than before it, and the balance may be off by ${shown(balance)} g in all. Weigh it again, dry and with the same wires and hooks, and look whether before and after were exchanged.`;
  const most = possible * (1 + CHARGE_UNCERTAINTY_SHARE);
  if (grams - balance <= most) return null;
  return (
    `${shown(grams)} g of ${metal.name} cannot have come from ${shown(chargeAmpereHours)} Ah: by Faraday’s law they give ${shown(possible)} g at most ` +
    `(${shown(chargeAmpereHours)} Ah × ${shown(depositGramsPerAmpereHour(metal))} g/Ah), ${shown(most)} g if the count is ${String(100 * CHARGE_UNCERTAINTY_SHARE)} % short, and the balance may be off by ${shown(balance)} g in all. ` +
    'Weigh it again, dry and with the same wires and hooks, or check the calibration of current and the charge that was counted.'
  );
}

function remarkOf(efficiency: Figure | null, profile: ReturnType<typeof bathProfile>): string | null {
  if (efficiency === null || profile === undefined) return null;
  const usual = profile.cathodeEfficiency;
  if (efficiency.uncertainty!.high >= 100 * usual.min) return null;
  return `${profile.name} usually deposits with ${String(100 * usual.min)} to ${String(100 * usual.max)} % of its charge. Less may have gone onto hooks and wires that were not weighed, past the part, or off with loose copper.`;
}

/** What the weighed runs of one bath come to together. */
export interface AccumulatedEfficiency {
  readonly runCount: number;
  readonly chargeAmpereHours: number;
  readonly gainedGrams: number;
  /** A share: of all that the charge could deposit. Within the bounds it is likely to lie. */
  readonly cathodeEfficiency: number;
  readonly low: number;
  readonly high: number;
  /** Of the single runs: how far they spread. */
  readonly leastOfRuns: number;
  readonly mostOfRuns: number;
}

/** Of those alone that Faraday's law allows; undefined: there is none, or together they gained nothing. Example: 96 g of 100 g and 291 g of 300 g are 0.9675. */
export function accumulatedEfficiency(
  runs: readonly (Pick<WeighedDeposit, 'gainedGrams' | 'possibleGrams' | 'question'> & {
    readonly chargeAmpereHours: number;
  })[],
): AccumulatedEfficiency | undefined {
  const good = runs.filter(({ question, possibleGrams }) => question === null && possibleGrams > 0);
  const sum = (of: (run: (typeof good)[number]) => number): number => good.reduce((total, run) => total + of(run), 0);
  const possible = sum(({ possibleGrams }) => possibleGrams);
  const gained = sum(({ gainedGrams }) => gainedGrams.value);
  if (possible <= 0 || gained <= 0) return undefined;
  const shares = good.map(({ gainedGrams, possibleGrams }) => gainedGrams.value / possibleGrams);
  return {
    leastOfRuns: Math.min(...shares),
    mostOfRuns: Math.max(...shares),
    runCount: good.length,
    chargeAmpereHours: sum(({ chargeAmpereHours }) => chargeAmpereHours),
    gainedGrams: gained,
    cathodeEfficiency: gained / possible,
    low: (sum(({ gainedGrams }) => gainedGrams.uncertainty!.low) / possible) * (1 - CHARGE_UNCERTAINTY_SHARE),
    high: (sum(({ gainedGrams }) => gainedGrams.uncertainty!.high) / possible) * (1 + CHARGE_UNCERTAINTY_SHARE),
  };
}
