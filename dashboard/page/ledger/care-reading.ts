/* From the fields of an entry about the care of a bath to what is asked of the dashboard, in metric. Pure; called by entry-reading.ts once no field has a fault. */
import type {
  CareAsked,
  CarbonTreatmentAsked,
  FiltrationAsked,
  HullCell,
  HullLook,
  HullSeen,
  RemindedKind,
  ThrowingFormula,
  Waste,
} from '@bathkeeper/shared-core/trade';
import { type CareAct, STRETCHES } from './care-fields.js';

/** What was read, by the key of the field. */
export interface ReadFields {
  readonly numbers: Readonly<Record<string, number | undefined>>;
  readonly words: Readonly<Record<string, string | undefined>>;
}

export function careBody(act: CareAct, { numbers, words }: ReadFields): CareAsked {
  const needed = (key: string): number => numbers[key] ?? 0;
  const waste = { what: words.what as Waste, amount: needed('amount') };
  switch (act) {
    case 'hull-cell':
      return {
        kind: act,
        cell: words.cell as HullCell,
        cellAmps: needed('cellAmps'),
        minutes: needed('minutes'),
        isStirred: words.isStirred === 'yes',
        bathCelsius: numbers.bathCelsius,
        seen: stretches({ numbers, words }),
      };
    case 'throwing-power':
      return {
        kind: act,
        nearGrams: needed('nearGrams'),
        farGrams: needed('farGrams'),
        distanceRatio: needed('distanceRatio'),
        formula: words.formula as ThrowingFormula,
      };
    case 'filtration':
      return {
        kind: act,
        how: words.how as FiltrationAsked['how'],
        poreMicrometres: numbers.pore,
        hours: numbers.hours,
        isMediumNew: words.medium === 'yes',
      };
    case 'carbon-treatment':
      return {
        kind: act,
        how: words.how as CarbonTreatmentAsked['how'],
        grams: numbers.grams,
        hours: numbers.hours,
        bathCelsius: numbers.bathCelsius,
      };
    case 'anodes-weighed':
      return { kind: act, grams: needed('kilograms') };
    case 'anodes-changed':
      return { kind: act, takenOutGrams: needed('takenOut'), putInGrams: needed('putIn') };
    case 'waste-collected':
      return { kind: act, ...waste, container: words.container ?? '' };
    case 'waste-handed-over':
      return { kind: act, ...waste, toWhom: words.toWhom ?? '' };
    case 'tank':
      return {
        kind: act,
        openSurfaceDm2: needed('openSurface'),
        bathCelsius: needed('usualCelsius'),
        isAirAgitated: words.isAirAgitated === 'yes',
      };
    case 'reminder':
      return {
        kind: act,
        of: words.of as RemindedKind,
        everyDays: numbers.everyDays,
        everyAmpereHours: numbers.everyAmpereHours,
      };
  }
}

/** Each begins where the one before ended. */
function stretches({ numbers, words }: ReadFields): HullSeen[] {
  const seen: HullSeen[] = [];
  for (let at = 1; at <= STRETCHES; at++) {
    const toMm = numbers[`to${String(at)}`];
    if (toMm === undefined) break;
    seen.push({ look: words[`look${String(at)}`] as HullLook, fromMm: seen.at(-1)?.toMm ?? 0, toMm });
  }
  return seen;
}
