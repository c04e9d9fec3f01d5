/*
 * What is asked for each kind of entry: its fields, with names, units and what stands in them before anybody typed. Pure; read by the form and by entry-reading.ts.
 * Which fields there are follows what was chosen: an acid asks for its strength, a titration for its volumes.
 */
import {
  type Additive,
  additives,
  type Analyte,
  analytes,
  type AnalysisMethod,
  type BathProfile,
  concentratedHydrochloric,
  concentratedSulphuric,
  type EntryAsked,
  methodsOf,
  usualComposition,
} from '@bathkeeper/shared-core/trade';
import { careActNames, careFields } from './care-fields.js';
import { capital, choice, choiceOf, type FieldSpec, number, percent, text, type Typed, valueOf } from './field-spec.js';

export type Act = EntryAsked['kind'];

export const actNames: Readonly<Record<Act, string>> = {
  'made-up': 'The bath was made up',
  addition: 'Something was added',
  analysis: 'An analysis',
  level: 'The level was read',
  'put-on': 'It was put under a controller',
  'taken-off': 'It was taken off its controller',
  'brightener-rate': 'How brightener is used up',
  note: 'A note',
  ...careActNames,
};

/** In the order in which a bath meets them. */
export const actGroups: readonly (readonly [string, readonly Act[]])[] = [
  ['Made up and added', ['made-up', 'addition']],
  ['Looked at', ['level', 'analysis', 'hull-cell', 'throwing-power', 'anodes-weighed']],
  ['Cared for', ['filtration', 'carbon-treatment', 'anodes-changed']],
  ['Waste', ['waste-collected', 'waste-handed-over']],
  ['Kept in mind', ['put-on', 'taken-off', 'brightener-rate', 'reminder', 'tank', 'note']],
];

export const methodNames: Readonly<Record<AnalysisMethod, string>> = {
  direct: 'as a laboratory, a strip or a meter says it',
  edta: 'by titration with EDTA',
  thiosulphate: 'by titration with thiosulphate (iodometric)',
  'sodium-hydroxide': 'by titration with sodium hydroxide',
  'silver-nitrate': 'by titration with silver nitrate',
};

const acidFields = (before: string, acid: typeof concentratedSulphuric): FieldSpec[] => [
  percent(`${before}Strength`, 'Strength of the acid by mass, as its bottle says', acid.strengthShare),
  number(`${before}Density`, 'Density of the acid, as its bottle says', 'g/cm³', {
    first: String(acid.densityGramsPerMl),
  }),
];

/** The fields of an act, for what was chosen so far. */
export function fieldsOf(
  act: Act,
  typed: Typed,
  profile: BathProfile,
  controllerIds: readonly string[] = [],
): readonly FieldSpec[] {
  switch (act) {
    case 'made-up':
      return madeUpFields(typed, profile);
    case 'addition':
      return additionFields(typed);
    case 'analysis':
      return analysisFields(typed);
    case 'level':
      return [number('litres', 'Volume at the mark', 'L')];
    case 'put-on':
      return [
        choice(
          'controllerId',
          'Controller',
          controllerIds.map((id) => [id, id] as const),
        ),
      ];
    case 'brightener-rate':
      return [
        number('rate', 'Used up by the charge', 'L/kAh'),
        number('dose', 'Dosed at once', 'mL'),
        text('source', 'Who says so: the supplier’s sheet, your Hull cell'),
      ];
    case 'taken-off':
    case 'note':
      return [];
    default:
      return careFields(act, typed);
  }
}

function madeUpFields(typed: Typed, profile: BathProfile): FieldSpec[] {
  const usual = usualComposition(profile);
  const from = choice('from', 'It comes', [
    ['chemicals', 'from salt, acid and water'],
    ['ready-made', 'ready-made, as a solution'],
  ]);
  const chlorideFrom = choice('chlorideFrom', 'Chloride comes', [
    ['salt', 'as sodium chloride, without additives'],
    ['acid', 'as hydrochloric acid'],
  ]);
  const fields: FieldSpec[] = [
    from,
    number('litres', 'Volume of the finished bath', 'L'),
    ...(['copper-sulphate', 'sulphuric-acid', 'chloride'] as const).map((key) =>
      number(key, capital(analytes[key].name), analytes[key].unit, { first: String(usual[key]), mayBeZero: key === 'chloride' }),
    ),
  ]; // prettier-ignore
  if (valueOf(from, typed) === 'ready-made') return fields;
  return [
    ...fields,
    percent('saltPurity', 'Purity of the salt, as its label says', 1),
    ...acidFields('acid', concentratedSulphuric),
    chlorideFrom,
    ...(valueOf(chlorideFrom, typed) === 'acid' ? acidFields('hydrochloric', concentratedHydrochloric) : []),
    number('brightener', 'Brightener for a fresh bath, mL in a litre, as its supplier says', '1', { isOptional: true, mayBeZero: true }),
  ]; // prettier-ignore
}

function additionFields(typed: Typed): FieldSpec[] {
  const of = choiceOf('of', 'What', additives);
  const chosen = valueOf(of, typed) as Additive;
  const amount =
    chosen === 'water'
      ? number('amount', 'How much', 'L', { kept: 1000 })
      : number('amount', 'How much', additives[chosen].unit);
  return [
    of,
    ...(chosen.startsWith('other') ? [text('name', 'Its name')] : []),
    amount,
    ...(chosen === 'copper-sulphate' ? [percent('purity', 'Purity, as its label says', 1)] : []),
    ...(chosen === 'sulphuric-acid' ? acidFields('acid', concentratedSulphuric) : []),
    ...(chosen === 'hydrochloric-acid' ? acidFields('acid', concentratedHydrochloric) : []),
  ];
}

function analysisFields(typed: Typed): FieldSpec[] {
  const analyte = choiceOf('analyte', 'Of what', analytes);
  const chosen = valueOf(analyte, typed) as Analyte;
  const how = choice('how', 'How it was found', methodsOf[chosen].map((method) => [method, methodNames[method]] as const)); // prettier-ignore
  // A method of another analyte does not stay chosen.
  const method = methodsOf[chosen].find((one) => one === valueOf(how, typed)) ?? 'direct';
  if (method !== 'direct')
    return [
      analyte,
      how,
      number('sample', 'Bath in the flask', 'mL'),
      number('titrant', 'Titrant until the end point', 'mL'),
      number('blank', 'Titrant without bath, if you tried', 'mL', { isOptional: true, mayBeZero: true }),
      number('molarity', 'Strength of the titrant', 'mol/L', { first: method === 'sodium-hydroxide' ? '1' : '0.1' }),
    ];
  const as = choice('as', 'Told as', [
    ['salt', 'copper sulphate CuSO4·5H2O'],
    ['metal', 'copper metal'],
  ]);
  return [
    analyte,
    how,
    ...(chosen === 'copper-sulphate' ? [as] : []),
    number('value', 'Found', analytes[chosen].unit, { mayBeZero: true }),
  ];
}
