/* An entry of a ledger as a sentence, in the person's units. Pure; used by the list of entries and by the form, to show what will be written. */
import {
  type AdditionBody,
  additives,
  type AnalysisBody,
  analytes,
  copperOfSulphate,
  type EntryBody,
  gramsWords,
  litresWords,
  type MadeUpBody,
  type MakeUp,
  millilitresWords,
  shownWith,
  significant,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { careWords } from './care-words.js';

/** Example: "Added 2 L of water." */
export function entryWords(body: EntryBody, units: UnitSystem): string {
  switch (body.kind) {
    case 'made-up':
      return madeUpWords(body, units);
    case 'addition':
      return `Added ${amountWords(body, units)}.`;
    case 'level':
      return `The level was read: ${litresWords(body.litres, units)}.`;
    case 'analysis':
      return analysisWords(body, units);
    case 'put-on':
      return `It stands under the controller ${body.controllerId}: the runs that begin there count as this bath’s.`;
    case 'taken-off':
      return 'It was taken off its controller.';
    case 'brightener-rate':
      return `Brightener is used up at ${shownWith(body.litresPerKiloampereHour, 'L/kAh', units, 3)} and dosed by ${millilitresWords(body.doseMillilitres, units)} (${body.source}).`;
    case 'note':
      return 'Note.';
    default:
      return careWords(body, units);
  }
}

/** "Copper sulphate … 190 g/L (48.3 g/L copper)". */
export function concentrationWords(analyte: keyof typeof analytes, value: number, units: UnitSystem): string {
  const { unit } = analytes[analyte];
  const told = shownWith(value, unit, units, 3);
  return analyte === 'copper-sulphate'
    ? `${told} (${shownWith(copperOfSulphate(value), unit, units, 3)} of copper)`
    : told;
}

function amountWords({ of, amount, name, acid, purityShare }: AdditionBody, units: UnitSystem): string {
  const { unit, name: usualName } = additives[of];
  const told = unit === 'g' ? gramsWords(amount, units) : millilitresWords(amount, units);
  return `${told} of ${strengthWords(acid?.strengthShare ?? purityShare ?? 1)}${name ?? usualName}`;
}

function madeUpWords(body: MadeUpBody, units: UnitSystem): string {
  const { litres, composition, from, amounts } = body;
  const holds = (Object.keys(analytes) as (keyof typeof analytes)[]).map(
    (key) => `${shownWith(composition[key], analytes[key].unit, units, 3)} ${shortName[key]}`,
  );
  const made = `${from === 'ready-made' ? 'Filled with ready-made solution' : 'Made up'}: ${litresWords(litres, units)} with ${holds.join(', ')}.`;
  return amounts === null ? made : `${made} It took ${makeUpList(amounts, body, units).join(', ')}.`;
}

const shortName: Readonly<Record<keyof typeof analytes, string>> = {
  'copper-sulphate': 'copper sulphate',
  'sulphuric-acid': 'acid',
  chloride: 'chloride',
};

/** What goes into the tank, in the order in which it does, acids and salt as strong as they were bought. */
function makeUpList(amounts: MakeUp, { saltPurityShare, acid, hydrochloric }: MadeUpBody, units: UnitSystem): string[] {
  return [
    `${litresWords(amounts.waterLitres, units)} of water`,
    `${gramsWords(amounts.saltGrams, units)} of ${strengthWords(saltPurityShare)}salt`,
    `${millilitresWords(amounts.acidMillilitres, units)} of ${strengthWords(acid.strengthShare)}acid`,
    ...(amounts.sodiumChlorideGrams > 0
      ? [`${gramsWords(amounts.sodiumChlorideGrams, units)} of sodium chloride`]
      : []),
    ...(amounts.hydrochloricMillilitres > 0
      ? [
          `${millilitresWords(amounts.hydrochloricMillilitres, units)} of ${strengthWords(hydrochloric?.strengthShare ?? 1)}hydrochloric acid`,
        ]
      : []),
    ...(amounts.brightenerMillilitres > 0
      ? [`${millilitresWords(amounts.brightenerMillilitres, units)} of brightener`]
      : []),
  ];
}

/** Before the name of what was bought. Example: "96 % "; "" where nothing else is in it. */
export function strengthWords(share: number): string {
  return share === 1 ? '' : `${significant(share * 100, 3)} % `;
}

function analysisWords({ analyte, how, concentration, titration }: AnalysisBody, units: UnitSystem): string {
  const name = analytes[analyte].name;
  const told = `${name.charAt(0).toUpperCase()}${name.slice(1)}: ${concentrationWords(analyte, concentration, units)}`;
  if (titration === undefined) return `${told}.`;
  const { titrantMillilitres, sampleMillilitres, blankMillilitres, titrantMolesPerLitre } = titration;
  const blank = blankMillilitres === undefined ? '' : `, ${significant(blankMillilitres)} mL without bath`;
  return `${told}, by ${titrantName[how] ?? how}: ${significant(titrantMillilitres)} mL of ${significant(titrantMolesPerLitre)} mol/L for ${significant(sampleMillilitres)} mL of bath${blank}.`;
}

const titrantName: Readonly<Partial<Record<AnalysisBody['how'], string>>> = {
  edta: 'EDTA',
  thiosulphate: 'thiosulphate',
  'sodium-hydroxide': 'sodium hydroxide',
  'silver-nitrate': 'silver nitrate',
};
