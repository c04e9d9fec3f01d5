/*
 * From what a person typed to what is kept: amounts of a make-up, what an addition brought, the concentration of a titration. Called by the server before it writes
 * an entry, and by the page to show beforehand what will be written. What does not fit together is told, every fault at once.
 */
import { boughtGrams } from './bought-acid.js';
import { careFaults } from './care-faults.js';
import { hullFound } from './hull-cell.js';
import { throwingPowerPercent } from './throwing-power.js';
import { type Analyte, analytes } from './analytes.js';
import { chlorideGramsPerMole, hydrogenChlorideGramsPerMole, sodiumChlorideGramsPerMole, sulphateOfCopper } from './molar-masses.js'; // prettier-ignore
import { makeUp } from './make-up.js';
import { titratedAcidGramsPerLitre } from './titrated-acid.js';
import { titratedChlorideMilligramsPerLitre } from './titrated-chloride.js';
import { titratedCopperGramsPerLitre } from './titrated-copper.js';
import type { AdditionAsked, AdditionBody, AnalysisAsked, AnalysisMethod, EntryAsked, EntryBody } from './ledger-entry.js'; // prettier-ignore

/** Which methods find which analyte. */
export const methodsOf: Readonly<Record<Analyte, readonly AnalysisMethod[]>> = {
  'copper-sulphate': ['direct', 'edta', 'thiosulphate'],
  'sulphuric-acid': ['direct', 'sodium-hydroxide'],
  chloride: ['direct', 'silver-nitrate'],
};

/** What is wrong with an entry, whole sentences; empty: nothing. */
export function entryFaults(asked: EntryAsked): string[] {
  const faults = careFaults(asked);
  if (asked.kind === 'addition') {
    if ((asked.of === 'other-solid' || asked.of === 'other-liquid') && asked.name === undefined)
      faults.push('name: expected what was added, got nothing. Write its name.');
    if ((asked.of === 'sulphuric-acid' || asked.of === 'hydrochloric-acid') && asked.acid === undefined)
      faults.push('acid: expected its strength and density, got nothing. Both stand on the bottle.');
  }
  if (asked.kind === 'analysis') {
    const methods = methodsOf[asked.analyte];
    if (!methods.includes(asked.how))
      faults.push(
        `how: expected ${methods.join(' or ')} for ${analytes[asked.analyte].name}, got ${asked.how}. Choose another method.`,
      );
    if (asked.how === 'direct' && asked.value === undefined)
      faults.push('value: expected a concentration, got nothing. Write what was found.');
    if (asked.how !== 'direct' && asked.titration === undefined)
      faults.push('titration: expected its volumes and strength, got nothing. Write what was read.');
    const { titration } = asked;
    if (titration !== undefined && titration.titrantMillilitres < (titration.blankMillilitres ?? 0))
      faults.push(
        `titration: expected at least the blank of ${String(titration.blankMillilitres)} mL of titrant, got ${String(titration.titrantMillilitres)} mL. Read the burette again.`,
      );
  }
  return faults;
}

/** The entry as it is kept. Call only what `entryFaults` found nothing wrong with. */
export function settledEntry(asked: EntryAsked): EntryBody {
  switch (asked.kind) {
    case 'made-up':
      return { ...asked, amounts: asked.from === 'chemicals' ? makeUp(asked) : null };
    case 'addition':
      return { ...asked, brought: broughtBy(asked) };
    case 'analysis':
      return { ...asked, concentration: concentrationOf(asked) };
    case 'hull-cell':
      return { ...asked, seen: hullFound(asked.cell, asked.cellAmps, asked.seen) };
    case 'throwing-power': {
      const { formula, distanceRatio, nearGrams, farGrams } = asked;
      return { ...asked, percent: throwingPowerPercent(formula, distanceRatio, nearGrams, farGrams) };
    }
    default:
      return asked;
  }
}

function broughtBy({ of, amount, purityShare = 1, acid }: AdditionAsked): AdditionBody['brought'] {
  const acidGrams = acid === undefined ? 0 : boughtGrams(amount, acid);
  switch (of) {
    case 'copper-sulphate':
      return { analyte: 'copper-sulphate', amount: amount * purityShare };
    case 'sulphuric-acid':
      return { analyte: 'sulphuric-acid', amount: acidGrams };
    case 'sodium-chloride':
      return { analyte: 'chloride', amount: (amount / sodiumChlorideGramsPerMole) * chlorideGramsPerMole * 1000 };
    case 'hydrochloric-acid':
      return {
        analyte: 'chloride',
        amount: (acidGrams / hydrogenChlorideGramsPerMole) * chlorideGramsPerMole * 1000,
      };
    default:
      return null;
  }
}

function concentrationOf({ analyte, how, value = 0, isCopperMetal = false, titration }: AnalysisAsked): number {
  if (how === 'direct' || titration === undefined) return isCopperMetal ? sulphateOfCopper(value) : value;
  switch (analyte) {
    case 'copper-sulphate':
      return sulphateOfCopper(titratedCopperGramsPerLitre(titration));
    case 'sulphuric-acid':
      return titratedAcidGramsPerLitre(titration);
    case 'chloride':
      return titratedChlorideMilligramsPerLitre(titration);
  }
}
