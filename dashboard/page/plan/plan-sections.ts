/* The fields of a plan in the order of the evening's work, in sections that fold. Read by the form. What is asked first stands open. */
import type { AskedPath } from '@bathkeeper/shared-core/trade';

export interface PlanSection {
  readonly title: string;
  readonly hint?: string;
  readonly fields: readonly AskedPath[];
}

export const planSections: readonly PlanSection[] = [
  {
    title: 'Paint and contacts',
    hint: 'Measure the sheet resistance with two straight contacts along opposite sides of a square of the dry paint.',
    fields: [
      'paint.sheetOhmsPerSquare',
      'paint.contacts',
      'paint.dryMicrometres',
      'paint.solidsShare',
      'paint.lossShare',
      'paint.thinnerShare',
    ],
  },
  {
    title: 'Strike, ramp, rotation',
    fields: ['strikeDensityAmpsPerDm2', 'strikeMinutes', 'rampMinutes', 'rotationPulsesPerMinute'],
  },
  {
    title: 'Tank, and whether the part floats',
    fields: [
      'tank.lengthMm',
      'tank.widthMm',
      'tank.heightMm',
      'tank.fillMm',
      'tank.litres',
      'weight.massGramsEach',
      'weight.printGramsPerCm3',
      'weight.filledShare',
      'weight.ballastGramsPerCm3',
    ],
  },
  {
    title: 'Anodes',
    fields: ['anodes.gapMm', 'anodes.areaRatio', 'anodes.faceDm2Each', 'anodes.count'],
  },
  {
    title: 'Cable and shunt',
    fields: [
      'conductors.cableMetres',
      'conductors.cableMm2',
      'conductors.shuntRatedAmps',
      'conductors.shuntRatedMillivolts',
    ],
  },
  {
    title: 'The bath as it is',
    fields: [
      'bathCelsius',
      'roomCelsius',
      'cathodeEfficiency',
      'conductivitySiemensPerMetre',
      'brightenerLitresPerKiloampereHour',
    ],
  },
  { title: 'Fits and finishing', fields: ['finishingMicrometres', 'claimedThicknessMicrometres'] },
  {
    title: 'Prices',
    hint: 'In your own money.',
    fields: ['prices.metalPerKg', 'prices.electricityPerKwh', 'prices.brightenerPerLitre', 'prices.paintPerLitre'],
  },
];

export const penFields: readonly AskedPath[] = [
  'secondLayer.micrometres',
  'secondLayer.areaDm2',
  'secondLayer.amps',
  'secondLayer.ampereHoursPerIn2TenThousandth',
  'secondLayer.penWidthMm',
  'secondLayer.penMillimetresPerSecond',
];
