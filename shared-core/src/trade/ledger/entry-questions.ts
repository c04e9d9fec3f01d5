/*
 * What is doubtful of an entry before it is kept: a slip of the keyboard would become a correction in kilograms. Called by the dashboard; who has read the question may
 * have the entry kept all the same. Pure. What cannot be at all is refused by `entryFaults`.
 */
import { significant } from '../shown.js';
import { analytes, type Analyte } from './analytes.js';
import { bathAccount, type BathAccount } from './bath-account.js';
import type { AdditionBody, AnalysisBody, EntryBody, LedgerEntry } from './ledger-entry.js';

/** A level further off than this share of what is to be there. Common practice, no source: weeks of evaporation stay within it. */
const LEVEL_SHARE = 0.2;
/** What is added at once to a litre of bath: grams of salt or acid, milligrams of chloride. Common practice, no source: a whole make-up has some 200, 60 and 60. */
const ADDED_MOST: Readonly<Record<Analyte, number>> = { 'copper-sulphate': 100, 'sulphuric-acid': 60, chloride: 100 };
/** Brightener at once, millilitres in a litre: a make-up takes some 5 to 10. Common practice, no source. */
const BRIGHTENER_MOST = 20;
/** Of any liquid at once, as a share of the bath. Common practice, no source. */
const LIQUID_SHARE = 0.5;
/**
 * No acid copper bath holds as much. Salt: 22.0 g of CuSO4 dissolve in 100 g of water at 25 °C (CRC Handbook of Chemistry and Physics, from memory), which is some 340 g/L of
 * CuSO4·5H2O at a density of 1.2 g/mL (from memory), and less where there is acid. Acid and chloride: common practice, no source.
 */
const FOUND_MOST: Readonly<Record<Analyte, number>> = { 'copper-sulphate': 340, 'sulphuric-acid': 350, chloride: 300 };
/** A finding that differs from what the ledger expects by more than this factor. Common practice, no source. */
const FOUND_FACTOR: Readonly<Record<Analyte, number>> = {
  'copper-sulphate': 1.6,
  'sulphuric-acid': 1.6,
  chloride: 2.5,
};

const litresWords = (litres: number): string => `${significant(litres, 3)} L`;
const concentrationWords = (analyte: Analyte, value: number): string =>
  `${significant(value, 3)} ${analytes[analyte].unit}`;

/**
 * Whole sentences, metric; empty: nothing is doubtful. `entries`: what stands in the ledger up to the time of this one.
 *
 * Example: 300 L read in a bath of 60 L: "300 L were read, and by the ledger some 60 L are to be there."
 */
export function entryQuestions(body: EntryBody, entries: readonly LedgerEntry[]): string[] {
  const account = bathAccount(entries);
  const { litres } = account;
  if (litres === null || litres <= 0) return body.kind === 'analysis' ? foundQuestions(body, account) : [];
  switch (body.kind) {
    case 'level':
      return Math.abs(body.litres - litres) > LEVEL_SHARE * litres
        ? [
            `${litresWords(body.litres)} were read, and by the ledger some ${litresWords(litres)} are to be there. Read the mark again; what was added or drawn off stands in the ledger first.`,
          ]
        : [];
    case 'addition':
      return addedQuestions(body, litres);
    case 'analysis':
      return foundQuestions(body, account);
    case 'waste-collected':
      return body.what === 'bath' && body.amount > litres
        ? [`${litresWords(body.amount)} were drawn off, and by the ledger some ${litresWords(litres)} were there. Measure it again, or write the level down first.`]
        : [];
    default:
      return [];
  }
} // prettier-ignore

function addedQuestions({ of, amount, brought }: AdditionBody, litres: number): string[] {
  if (brought !== null) {
    const perLitre = brought.amount / litres;
    const most = ADDED_MOST[brought.analyte];
    return perLitre > most
      ? [`That is ${concentrationWords(brought.analyte, perLitre)} of ${analytes[brought.analyte].name} at once in ${litresWords(litres)} of bath, and more than ${concentrationWords(brought.analyte, most)} are seldom meant. Look at the unit.`]
      : [];
  }
  if (of === 'brightener') {
    const perLitre = amount / litres;
    return perLitre > BRIGHTENER_MOST
      ? [`That is ${significant(perLitre, 3)} mL of brightener in each of ${litresWords(litres)}; a whole make-up takes some 5 to 10 mL. Too much makes brittle copper and is hard to take out again. Look at the unit.`]
      : [];
  }
  return (of === 'water' || of === 'other-liquid') && amount / 1000 > LIQUID_SHARE * litres
    ? [`${litresWords(amount / 1000)} at once are a lot for ${litresWords(litres)} of bath. Look at the unit.`]
    : [];
} // prettier-ignore

function foundQuestions({ analyte, concentration }: AnalysisBody, account: BathAccount): string[] {
  const { name } = analytes[analyte];
  const found = concentrationWords(analyte, concentration);
  if (concentration > FOUND_MOST[analyte])
    return [`${found} of ${name} is more than an acid copper bath holds (some ${concentrationWords(analyte, FOUND_MOST[analyte])} at most). Look at the unit, the volumes and the strength of the titrant.`];
  const expected = account.held[analyte]?.estimated;
  const factor = FOUND_FACTOR[analyte];
  return expected !== undefined && expected > 0 && (concentration > expected * factor || concentration < expected / factor)
    ? [`${found} of ${name} was found, and by the ledger some ${concentrationWords(analyte, expected)} is to be there. Analyse again before anything is added.`]
    : [];
} // prettier-ignore
