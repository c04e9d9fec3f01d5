/* What is asked for each kind of entry about the care of a bath: test panels, filtration, carbon, anodes, waste. Pure; called by entry-fields.ts. */
import {
  type CareAsked,
  hullCells,
  hullLooks,
  remindedKinds,
  throwingFormulas,
  USUAL_DISTANCE_RATIO,
  type Waste,
  wastes,
} from '@bathkeeper/shared-core/trade';
import { choice, choiceOf, type FieldSpec, number, optionalNumber, text, type Typed, valueOf } from './field-spec.js';

export type CareAct = CareAsked['kind'];

export const careActNames: Readonly<Record<CareAct, string>> = {
  'hull-cell': 'A Hull cell panel',
  'throwing-power': 'A test of throwing power',
  filtration: 'It was filtered',
  'carbon-treatment': 'It was treated with carbon',
  'anodes-weighed': 'The anodes were weighed',
  'anodes-changed': 'Anodes were changed',
  'waste-collected': 'Something was drawn off or collected as waste',
  'waste-handed-over': 'Waste was handed over',
  reminder: 'When care is due',
  tank: 'How the tank stands open',
};

/** Stretches of a panel that can be told apart in the form. */
export const STRETCHES = 6;

const yesOrNo = [
  ['yes', 'yes'],
  ['no', 'no'],
] as const;
const bathCelsius = optionalNumber('bathCelsius', 'Temperature, if you read it', '°C');

export function careFields(act: CareAct, typed: Typed): readonly FieldSpec[] {
  switch (act) {
    case 'hull-cell':
      return hullFields(typed);
    case 'throwing-power':
      return [
        number('nearGrams', 'Metal on the near cathode', 'g'),
        number('farGrams', 'Metal on the far cathode', 'g'),
        number('distanceRatio', 'Far distance over near distance', '1', { first: String(USUAL_DISTANCE_RATIO) }),
        choiceOf('formula', 'Formula', throwingFormulas),
      ];
    case 'filtration':
      return [
        choice('how', 'How', [
          ['batch', 'once, from tank to tank or back into the same'],
          ['continuous', 'continuously, from now on'],
        ]),
        // Filters are sold by the micrometre everywhere.
        optionalNumber('pore', 'Filter, µm, if its label says it', '1'),
        optionalNumber('hours', 'For how long', 'h'),
        choice('medium', 'Cartridge, bag or paper new', yesOrNo),
      ];
    case 'carbon-treatment':
      return [
        choice('how', 'How', [
          ['powder', 'carbon stirred in and filtered off'],
          ['cartridge', 'through a cartridge of carbon'],
        ]),
        optionalNumber('grams', 'Carbon', 'g'),
        optionalNumber('hours', 'For how long', 'h'),
        bathCelsius,
      ];
    case 'anodes-weighed':
      return [number('kilograms', 'All anodes, rinsed and dry, without hooks and bags', 'kg', { kept: 1000 })];
    case 'anodes-changed':
      return [
        number('takenOut', 'Taken out', 'kg', { kept: 1000, mayBeZero: true, first: '0' }),
        number('putIn', 'Put in', 'kg', { kept: 1000, mayBeZero: true }),
      ];
    case 'waste-collected':
      return [...wasteFields(typed), text('container', 'In which container, as its label says')];
    case 'waste-handed-over':
      return [...wasteFields(typed), text('toWhom', 'To whom: a collection point, a licensed carrier')];
    case 'tank':
      return [
        number('openSurface', 'Open surface of the bath, without what floats on it', 'dm²'),
        number('usualCelsius', 'Its usual temperature, day and night', '°C'),
        choice('isAirAgitated', 'Air is blown through it', [
          ['no', 'no'],
          ['yes', 'yes'],
        ]),
      ];
    case 'reminder':
      return [
        choiceOf('of', 'Remind of', remindedKinds),
        optionalNumber('everyDays', 'Each so many days; both empty: no longer', '1'),
        optionalNumber('everyAmpereHours', 'Or after so much charge', 'Ah'),
      ];
  }
}

function hullFields(typed: Typed): FieldSpec[] {
  const fields: FieldSpec[] = [
    choice('cell', 'Cell', hullCells.map((cell) => [cell, cell] as const)),
    number('cellAmps', 'Current', 'A', { first: '1' }),
    number('minutes', 'For', 'min', { first: '10' }),
    choice('isStirred', 'Stirred or with air', yesOrNo),
    bathCelsius,
  ]; // prettier-ignore
  const looks = Object.entries(hullLooks);
  for (let at = 1; at <= STRETCHES; at++) {
    const isFirst = at === 1;
    fields.push(
      choice(`look${String(at)}`, isFirst ? 'From the edge of the highest current density on' : 'From there on', looks),
      number(`to${String(at)}`, 'Up to', 'mm', { isOptional: !isFirst }),
    );
    if ((typed[`to${String(at)}`]?.text ?? '').trim() === '') break;
  }
  return fields;
}

function wasteFields(typed: Typed): FieldSpec[] {
  const what = choiceOf('what', 'What', wastes);
  return [what, number('amount', 'How much', wastes[valueOf(what, typed) as Waste].unit)];
}
