/* An entry about the care of a bath as a sentence, in the person's units. Pure; called by entry-words.ts and by the sections that show the newest of a kind. */
import {
  type AnodesChangedAsked,
  type CarbonTreatmentAsked,
  type CareBody,
  type FiltrationAsked,
  gramsWords,
  type HullCellBody,
  type HullFound,
  hullLooks,
  inUnits,
  remindedKinds,
  type ReminderAsked,
  shownWith,
  significant,
  throwingFormulas,
  type UnitSystem,
  type Waste,
  wastes,
} from '@bathkeeper/shared-core/trade';

/** Example: "The anodes were weighed: 8 kg." */
export function careWords(body: CareBody, units: UnitSystem): string {
  switch (body.kind) {
    case 'hull-cell':
      return hullWords(body, units);
    case 'throwing-power': {
      const { formula, percent, distanceRatio, nearGrams, farGrams } = body;
      return `Throwing power ${significant(percent, 3)} % after ${throwingFormulas[formula].name}: ${gramsWords(nearGrams, units)} near, ${gramsWords(farGrams, units)} far, distances ${significant(distanceRatio)} to 1.`;
    }
    case 'filtration':
      return filtrationWords(body);
    case 'carbon-treatment':
      return carbonWords(body, units);
    case 'anodes-weighed':
      return `The anodes were weighed: ${gramsWords(body.grams, units)}.`;
    case 'anodes-changed':
      return changeWords(body, units);
    case 'waste-collected':
      return `Collected as waste: ${wasteWords(body.what, body.amount, units)}, in “${body.container}”.`;
    case 'waste-handed-over':
      return `Handed over: ${wasteWords(body.what, body.amount, units)}, to ${body.toWhom}.`;
    case 'tank':
      return `The tank stands open with ${shownWith(body.openSurfaceDm2, 'dm²', units, 3)} at ${shownWith(body.bathCelsius, '°C', units, 3)}, ${body.isAirAgitated ? 'with air blown through' : 'without air'}.`;
    case 'reminder':
      return `Remind of ${remindedKinds[body.of].name}: ${everyWords(body)}.`;
  }
}

/** Example: "every 30 days or 500 Ah". */
export function everyWords({
  everyDays,
  everyAmpereHours,
}: Pick<ReminderAsked, 'everyDays' | 'everyAmpereHours'>): string {
  const spans = [
    ...(everyDays === undefined ? [] : [`${significant(everyDays)} days`]),
    ...(everyAmpereHours === undefined ? [] : [`${significant(everyAmpereHours)} Ah`]),
  ];
  return spans.length === 0 ? 'no longer' : `every ${spans.join(' or ')}`;
}

/** Example: "15 L of bath solution". */
export function wasteWords(what: Waste, amount: number, units: UnitSystem): string {
  return `${shownWith(amount, wastes[what].unit, units, 3)} of ${wastes[what].name}`;
}

function hullWords(body: HullCellBody, units: UnitSystem): string {
  const { cell, cellAmps, minutes, isStirred, bathCelsius, seen } = body;
  const celsius = bathCelsius === undefined ? '' : `, ${shownWith(bathCelsius, '°C', units, 3)}`;
  const how = `${shownWith(cellAmps, 'A', units, 3)} for ${shownWith(minutes, 'min', units, 3)}, ${isStirred ? 'stirred' : 'still'}${celsius}`;
  return `Hull cell of ${cell}, ${how}: ${seen.map((one) => stretchWords(one, units)).join('; ')}.`;
}

/** Example: "bright from 12 to 60 mm (4.7 to 1.0 A/dm²)". */
export function stretchWords({ look, fromMm, toMm, ...at }: HullFound, units: UnitSystem): string {
  const where =
    fromMm === 0
      ? `up to ${shownWith(toMm, 'mm', units, 3)}`
      : `from ${significant(inUnits(fromMm, 'mm', units).value, 3)} to ${shownWith(toMm, 'mm', units, 3)}`;
  const densities = densityWords(at, units);
  return `${hullLooks[look]} ${where}${densities === '' ? '' : ` (${densities})`}`;
}

/** Of a stretch: "4.7 to 1.03 A/dm²", "above 4.7 A/dm²", "below 1.03 A/dm²"; '' where the formula says nothing of either end. */
export function densityWords(
  { highAmpsPerDm2, lowAmpsPerDm2 }: Pick<HullFound, 'highAmpsPerDm2' | 'lowAmpsPerDm2'>,
  units: UnitSystem,
): string {
  const told = (value: number): string => shownWith(value, 'A/dm²', units, 2);
  if (highAmpsPerDm2 !== null && lowAmpsPerDm2 !== null)
    return `${significant(inUnits(highAmpsPerDm2, 'A/dm²', units).value, 2)} to ${told(lowAmpsPerDm2)}`;
  if (lowAmpsPerDm2 !== null) return `above ${told(lowAmpsPerDm2)}`;
  return highAmpsPerDm2 === null ? '' : `below ${told(highAmpsPerDm2)}`;
}

function filtrationWords({ how, poreMicrometres, hours, isMediumNew }: FiltrationAsked): string {
  const pore = poreMicrometres === undefined ? '' : `, ${significant(poreMicrometres)} µm`;
  const medium = isMediumNew ? ', with a new filter' : '';
  const time = hours === undefined ? '' : `, for ${significant(hours, 3)} h`;
  return `${how === 'batch' ? 'Filtered' : 'Filtered continuously from then on'}${pore}${medium}${time}.`;
}

function carbonWords({ how, grams, hours, bathCelsius }: CarbonTreatmentAsked, units: UnitSystem): string {
  const carbon = grams === undefined ? 'carbon' : `${gramsWords(grams, units)} of carbon`;
  const time = hours === undefined ? '' : `, for ${significant(hours, 3)} h`;
  const celsius = bathCelsius === undefined ? '' : `, at ${shownWith(bathCelsius, '°C', units, 3)}`;
  return `Treated with ${carbon}${how === 'powder' ? ', stirred in and filtered off' : ' in a cartridge'}${time}${celsius}. It took brightener too: dose by the Hull cell.`;
}

function changeWords({ takenOutGrams, putInGrams }: AnodesChangedAsked, units: UnitSystem): string {
  const put = putInGrams > 0 ? [`${gramsWords(putInGrams, units)} put in`] : [];
  const out = takenOutGrams > 0 ? [`${gramsWords(takenOutGrams, units)} taken out`] : [];
  return `Anodes: ${[...out, ...put].join(', ')}.`;
}
