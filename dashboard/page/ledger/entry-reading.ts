/*
 * From what was typed into the fields of an entry to what is asked of the dashboard, in metric; every fault at once, each at its field. Pure; called by the form.
 * Whether the entry makes sense is judged by the dashboard.
 */
import {
  type Additive,
  type Analyte,
  type AnalysisMethod,
  type BathProfile,
  type BoughtAcid,
  concentratedSulphuric,
  type EntryAsked,
  methodsOf,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import { typedNumber } from '../forms/typed-number.js';
import { careBody, type ReadFields } from './care-reading.js';
import { type Act, fieldsOf } from './entry-fields.js';
import { type FieldSpec, keptNumber, type NumberSpec, type Typed, valueOf } from './field-spec.js';

export type EntryReading =
  | { readonly body: EntryAsked; readonly problems?: undefined }
  | { readonly problems: Readonly<Record<string, string>> };

/** @example readEntry('level', typedTexts({ litres: '58,5' }), profile, 'metric'); // { body: { kind: 'level', litres: 58.5 } } */
export function readEntry(
  act: Act,
  typed: Typed,
  profile: BathProfile,
  units: UnitSystem,
  controllerIds: readonly string[] = [],
): EntryReading {
  const problems: Record<string, string> = {};
  const numbers: Record<string, number | undefined> = {};
  const words: Record<string, string> = {};
  for (const spec of fieldsOf(act, typed, profile, controllerIds)) {
    const text = valueOf(spec, typed, units).trim();
    if (spec.kind !== 'number') words[spec.key] = text;
    const problem = spec.kind === 'number' ? numberProblem(spec, text) : textProblem(spec, text);
    if (problem !== undefined) problems[spec.key] = problem;
    else if (spec.kind === 'number' && text !== '') numbers[spec.key] = keptNumber(spec, typed);
  }
  if (Object.keys(problems).length > 0) return { problems };
  return { body: bodyOf(act, { numbers, words }) };
}

function textProblem(spec: FieldSpec, text: string): string | undefined {
  return spec.kind === 'text' && text === '' && spec.isOptional !== true ? 'Write a few words.' : undefined;
}

function numberProblem(spec: NumberSpec, text: string): string | undefined {
  if (text === '') return spec.isOptional === true ? undefined : 'Type a number.';
  const value = typedNumber(text);
  if (value === undefined) return `Type a number; got “${text}”.`;
  if (value <= 0 && spec.mayBeZero !== true) return `Type a number above zero; got “${text}”.`;
  return undefined;
}

function bodyOf(act: Act, read: ReadFields): EntryAsked {
  const { numbers, words } = read;
  const needed = (key: string): number => numbers[key] ?? 0;
  const acid = (before: string): BoughtAcid => ({
    strengthShare: needed(`${before}Strength`),
    densityGramsPerMl: needed(`${before}Density`),
  });
  switch (act) {
    case 'made-up': {
      const isReady = words.from === 'ready-made';
      return {
        kind: 'made-up',
        from: isReady ? 'ready-made' : 'chemicals',
        litres: needed('litres'),
        composition: {
          'copper-sulphate': needed('copper-sulphate'),
          'sulphuric-acid': needed('sulphuric-acid'),
          chloride: needed('chloride'),
        },
        saltPurityShare: isReady ? 1 : needed('saltPurity'),
        acid: isReady ? concentratedSulphuric : acid('acid'),
        hydrochloric: words.chlorideFrom === 'acid' ? acid('hydrochloric') : undefined,
        brightenerMillilitresPerLitre: numbers.brightener,
      };
    }
    case 'addition':
      return {
        kind: 'addition',
        of: words.of as Additive,
        amount: needed('amount'),
        name: words.name,
        purityShare: numbers.purity,
        acid: numbers.acidStrength === undefined ? undefined : acid('acid'),
      };
    case 'analysis': {
      const analyte = words.analyte as Analyte;
      const how = methodsOf[analyte].find((one) => one === words.how) ?? 'direct';
      return { kind: 'analysis', analyte, how, ...foundBy(how, read) };
    }
    case 'level':
      return { kind: 'level', litres: needed('litres') };
    case 'put-on':
      return { kind: 'put-on', controllerId: words.controllerId ?? '' };
    case 'taken-off':
      return { kind: 'taken-off' };
    case 'brightener-rate':
      return {
        kind: 'brightener-rate',
        litresPerKiloampereHour: needed('rate'),
        doseMillilitres: needed('dose'),
        source: words.source ?? '',
      };
    case 'note':
      return { kind: 'note' };
    default:
      return careBody(act, read);
  }
}

function foundBy(how: AnalysisMethod, { numbers, words }: ReadFields) {
  if (how === 'direct') return { value: numbers.value, isCopperMetal: words.as === 'metal' ? true : undefined };
  return {
    titration: {
      sampleMillilitres: numbers.sample ?? 0,
      titrantMillilitres: numbers.titrant ?? 0,
      blankMillilitres: numbers.blank,
      titrantMolesPerLitre: numbers.molarity ?? 0,
    },
  };
}
