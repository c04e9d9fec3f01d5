/*
 * Every number that can be asked of a plan: where it goes in the request, its unit, its name. Read by the command's options and the page's fields, so
 * that both ask the same. Their bounds are the plan's own (plan-faults.ts).
 */
import type { Unit } from '../units.js';
import type { PlanRequest } from './plan-request.js';

export interface AskedNumber {
  /** As a field is headed. */
  readonly words: string;
  readonly unit: Unit;
  /** Typed in per cent, kept as a share. */
  readonly isPercent?: boolean;
}

/** By a property of the request, or of one of its groups: "anodes.gapMm". */
export const askedNumbers = {
  averageThicknessMicrometres: { words: 'Average thickness', unit: 'µm' },
  chargeAmpereHours: { words: 'Charge', unit: 'Ah' },
  plateHours: { words: 'Plate time', unit: 'h' },
  currentDensityAmpsPerDm2: { words: 'Current density', unit: 'A/dm²' },
  currentAmps: { words: 'Current of all pieces', unit: 'A' },
  supplyAmpsMax: { words: 'Largest current of the supply', unit: 'A' },
  supplyVoltsMax: { words: 'Largest voltage of the supply', unit: 'V' },
  bathCelsius: { words: 'Bath at the start', unit: '°C' },
  roomCelsius: { words: 'Room', unit: '°C' },
  cathodeEfficiency: { words: 'Cathode efficiency', unit: '%', isPercent: true },
  conductivitySiemensPerMetre: { words: 'Conductivity at 25 °C, as measured', unit: 'S/m' },
  strikeDensityAmpsPerDm2: { words: 'Strike current density', unit: 'A/dm²' },
  strikeMinutes: { words: 'Strike', unit: 'min' },
  rampMinutes: { words: 'Ramp', unit: 'min' },
  rotationPulsesPerMinute: { words: 'Rotation pulses; 0: the part stands', unit: '1/min' },
  claimedThicknessMicrometres: { words: 'Thickness of one wall that somebody promises', unit: 'µm' },
  finishingMicrometres: { words: 'What sanding and polishing take off each wall', unit: 'µm' },
  brightenerLitresPerKiloampereHour: { words: 'Brightener used', unit: 'L/kAh' },
  'anodes.gapMm': { words: 'From anode to part', unit: 'mm' },
  'anodes.areaRatio': { words: 'Anode area over part area', unit: '1' },
  'anodes.faceDm2Each': { words: 'Face of one anode in the liquid', unit: 'dm²' },
  'anodes.count': { words: 'Anodes that hang', unit: '1' },
  'tank.lengthMm': { words: 'Tank, length inside', unit: 'mm' },
  'tank.widthMm': { words: 'Tank, width inside', unit: 'mm' },
  'tank.heightMm': { words: 'Tank, height to the rim', unit: 'mm' },
  'tank.fillMm': { words: 'Liquid stands, without the part', unit: 'mm' },
  'tank.litres': { words: 'Or only the volume of the bath', unit: 'L' },
  'conductors.cableMetres': { words: 'Cable, there and back together', unit: 'm' },
  'conductors.cableMm2': { words: 'Cable cross-section (IEC 60228)', unit: 'mm²' },
  'conductors.shuntRatedAmps': { words: 'Shunt, rated current', unit: 'A' },
  'conductors.shuntRatedMillivolts': { words: 'Shunt, rated voltage', unit: 'mV' },
  'paint.sheetOhmsPerSquare': { words: 'Sheet resistance of the paint, as measured', unit: 'Ω/sq' },
  'paint.contacts': { words: 'Contacts on each piece', unit: '1' },
  'paint.dryMicrometres': { words: 'Dry paint; 0: the part is metal already', unit: 'µm' },
  'paint.solidsShare': { words: 'Solids of the paint by volume', unit: '%', isPercent: true },
  'paint.lossShare': { words: 'Paint that misses the part', unit: '%', isPercent: true },
  'paint.thinnerShare': { words: 'Thinner for the paint', unit: '%', isPercent: true },
  'weight.massGramsEach': { words: 'One painted piece, by the balance', unit: 'g' },
  'weight.printGramsPerCm3': { words: 'Or the density of what it is printed from', unit: 'g/cm³' },
  'weight.filledShare': { words: 'and how much of its volume that fills', unit: '%', isPercent: true },
  'weight.ballastGramsPerCm3': { words: 'Density of the ballast', unit: 'g/cm³' },
  'prices.metalPerKg': { words: 'A kilogram of anodes', unit: 'money' },
  'prices.electricityPerKwh': { words: 'A kWh of electricity', unit: 'money' },
  'prices.brightenerPerLitre': { words: 'A litre of brightener', unit: 'money' },
  'prices.paintPerLitre': { words: 'A litre of paint', unit: 'money' },
  'secondLayer.micrometres': { words: 'Thickness of a second layer by pen', unit: 'µm' },
  'secondLayer.areaDm2': { words: 'Where it goes', unit: 'dm²' },
  'secondLayer.amps': { words: 'Current of the pen', unit: 'A' },
  'secondLayer.ampereHoursPerIn2TenThousandth': {
    words: 'The pen’s own factor, Ah for a square inch and 0.0001 in',
    unit: '1',
  },
  'secondLayer.penWidthMm': { words: 'Face of the pen', unit: 'mm' },
  'secondLayer.penMillimetresPerSecond': { words: 'Speed of the pen over the part', unit: 'mm/s' },
} as const satisfies Readonly<Record<string, AskedNumber>>;

export type AskedPath = keyof typeof askedNumbers;

/** What is chosen and not typed. */
export type AskedChoice = 'bath' | 'agitation' | 'secondLayer.pen';

/** Everything of a request but its parts. */
export type AskedOfPlan = Omit<PlanRequest, 'parts'>;

/**
 * The same with one more answer, at its place.
 *
 * @example
 * withAnswer({}, 'anodes.gapMm', 80); // { anodes: { gapMm: 80 } }
 */
export function withAnswer(asked: AskedOfPlan, to: AskedPath | AskedChoice, value: unknown): AskedOfPlan {
  const [group = '', name] = to.split('.', 2);
  if (name === undefined) return { ...asked, [group]: value };
  const before = asked[group as keyof AskedOfPlan] as object | undefined;
  return { ...asked, [group]: { ...before, [name]: value } };
}

/** What stands at that place; undefined where nothing does. */
export function answerAt(asked: AskedOfPlan, to: AskedPath): number | undefined {
  const [group = '', name] = to.split('.', 2);
  const value: unknown = asked[group as keyof AskedOfPlan];
  return (name === undefined ? value : (value as Record<string, unknown> | undefined)?.[name]) as number | undefined;
}
