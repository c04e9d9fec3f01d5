/*
 * Every option of `npm run plan` that takes one number: its unit, where it goes in the request, and what to say of it. Read by plan-options.ts and by the
 * help. Its bounds are the plan's own (plan-faults.ts).
 */
import type { Unit } from '@bathkeeper/shared-core/trade';

export interface NumberOption {
  readonly flag: string;
  readonly unit: Unit;
  /** A property of the request, or of one of its groups: "anodes.gapMm". */
  readonly to: string;
  readonly help: string;
  /** Typed in percent, kept as a share. */
  readonly isPercent: boolean;
}

function number(flag: string, unit: Unit, to: string, help: string, as?: 'percent'): NumberOption {
  return { flag, unit, to, help, isPercent: as === 'percent' };
}

export const numberOptions: readonly NumberOption[] = [
  number('--thickness', 'µm', 'averageThicknessMicrometres', 'aim at this average thickness'),
  number('--charge', 'Ah', 'chargeAmpereHours', 'or at this charge'),
  number('--hours', 'h', 'plateHours', 'or at this plate time'),
  number('--density', 'A/dm²', 'currentDensityAmpsPerDm2', 'current density; else the bath’s usual one'),
  number('--amps', 'A', 'currentAmps', 'or the current of all pieces'),
  number('--supply', 'A', 'supplyAmpsMax', 'largest current of the supply'),
  number('--supply-volts', 'V', 'supplyVoltsMax', 'largest voltage of the supply'),
  number('--temperature', '°C', 'bathCelsius', 'bath at the start'),
  number('--room', '°C', 'roomCelsius', 'room'),
  number('--efficiency', '%', 'cathodeEfficiency', 'cathode efficiency', 'percent'),
  number(
    '--conductivity',
    'S/m',
    'conductivitySiemensPerMetre',
    'of the bath at 25 °C, as measured (1 S/m is 10 mS/cm)',
  ),
  number('--strike-density', 'A/dm²', 'strikeDensityAmpsPerDm2', 'first current on the paint'),
  number('--strike-minutes', 'min', 'strikeMinutes', 'how long'),
  number('--ramp-minutes', 'min', 'rampMinutes', 'climb to the set-point'),
  number('--rotation', '1/min', 'rotationPulsesPerMinute', 'pulses of the turning part; 0: it stands'),
  number('--claim', 'µm', 'claimedThicknessMicrometres', 'a thickness of one wall that somebody promises'),
  number('--finishing', 'µm', 'finishingMicrometres', 'what sanding and polishing take off each wall'),
  number('--anode-gap', 'mm', 'anodes.gapMm', 'from anode to part'),
  number('--anode-ratio', '1', 'anodes.areaRatio', 'anode area over part area'),
  number('--anode-face', 'dm²', 'anodes.faceDm2Each', 'what of one anode faces the part in the liquid'),
  number('--anodes', '1', 'anodes.count', 'how many hang'),
  number('--bath-volume', 'L', 'tank.litres', 'instead of --tank'),
  number('--cable-length', 'm', 'conductors.cableMetres', 'there and back together'),
  number('--cable', 'mm²', 'conductors.cableMm2', 'cross-section, IEC 60228'),
  number('--paint-resistance', 'Ω/sq', 'paint.sheetOhmsPerSquare', 'sheet resistance of the paint, as measured'),
  number('--contacts', '1', 'paint.contacts', 'contacts on each piece'),
  number('--paint-thickness', 'µm', 'paint.dryMicrometres', 'dry paint; 0: the part is metal already'),
  number('--paint-solids', '%', 'paint.solidsShare', 'solids of the paint by volume', 'percent'),
  number('--paint-loss', '%', 'paint.lossShare', 'paint that misses the part', 'percent'),
  number('--thinner', '%', 'paint.thinnerShare', 'thinner for the paint', 'percent'),
  number('--mass', 'g', 'weight.massGramsEach', 'of one painted piece, by the balance'),
  number('--print-density', 'g/cm³', 'weight.printGramsPerCm3', 'or the density of what it is printed from'),
  number('--filled', '%', 'weight.filledShare', 'and how much of its volume that fills', 'percent'),
  number('--ballast-density', 'g/cm³', 'weight.ballastGramsPerCm3', 'density of the ballast'),
  number('--brightener', 'L/kAh', 'brightenerLitresPerKiloampereHour', 'consumption'),
  number('--metal-price', 'money', 'prices.metalPerKg', 'a kg of anodes, in your money'),
  number('--electricity-price', 'money', 'prices.electricityPerKwh', 'a kWh'),
  number('--brightener-price', 'money', 'prices.brightenerPerLitre', 'a litre'),
  number('--paint-price', 'money', 'prices.paintPerLitre', 'a litre'),
  number('--pen-thickness', 'µm', 'secondLayer.micrometres', 'of a second layer by pen'),
  number('--pen-area', 'dm²', 'secondLayer.areaDm2', 'where it goes'),
  number('--pen-amps', 'A', 'secondLayer.amps', 'current of the pen'),
  number(
    '--pen-factor',
    '1',
    'secondLayer.ampereHoursPerIn2TenThousandth',
    'its own, Ah for a square inch and 0.0001 in',
  ),
  number('--pen-width', 'mm', 'secondLayer.penWidthMm', 'face of the pen'),
  number('--pen-speed', 'mm/s', 'secondLayer.penMillimetresPerSecond', 'over the part'),
];
