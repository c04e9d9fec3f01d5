/*
 * Every option of `npm run plan` that takes one number: where it goes in the request, and what to say of it. Read by plan-options.ts and by the help. Its unit
 * is that of trade/plan/asked-numbers.ts, its bounds are the plan's own (plan-faults.ts).
 */
import { type AskedNumber, askedNumbers, type AskedPath, type Unit } from '@bathkeeper/shared-core/trade';

export interface NumberOption {
  readonly flag: string;
  readonly unit: Unit;
  readonly to: AskedPath;
  readonly help: string;
  /** Typed in percent, kept as a share. */
  readonly isPercent: boolean;
}

function number(flag: string, to: AskedPath, help: string): NumberOption {
  const asked: AskedNumber = askedNumbers[to];
  return { flag, to, help, unit: asked.unit, isPercent: asked.isPercent === true };
}

export const numberOptions: readonly NumberOption[] = [
  number('--thickness', 'averageThicknessMicrometres', 'aim at this average thickness'),
  number('--charge', 'chargeAmpereHours', 'or at this charge'),
  number('--hours', 'plateHours', 'or at this plate time'),
  number('--density', 'currentDensityAmpsPerDm2', 'current density; else the bath’s usual one'),
  number('--amps', 'currentAmps', 'or the current of all pieces'),
  number('--supply', 'supplyAmpsMax', 'largest current of the supply'),
  number('--supply-volts', 'supplyVoltsMax', 'largest voltage of the supply'),
  number('--temperature', 'bathCelsius', 'bath at the start'),
  number('--room', 'roomCelsius', 'room'),
  number('--efficiency', 'cathodeEfficiency', 'cathode efficiency'),
  number('--conductivity', 'conductivitySiemensPerMetre', 'of the bath at 25 °C, as measured (1 S/m is 10 mS/cm)'),
  number('--strike-density', 'strikeDensityAmpsPerDm2', 'first current on the paint'),
  number('--strike-minutes', 'strikeMinutes', 'how long'),
  number('--ramp-minutes', 'rampMinutes', 'climb to the set-point'),
  number('--rotation', 'rotationPulsesPerMinute', 'pulses of the turning part; 0: it stands'),
  number('--claim', 'claimedThicknessMicrometres', 'a thickness of one wall that somebody promises'),
  number('--finishing', 'finishingMicrometres', 'what sanding and polishing take off each wall'),
  number('--anode-gap', 'anodes.gapMm', 'from anode to part'),
  number('--anode-ratio', 'anodes.areaRatio', 'anode area over part area'),
  number('--anode-face', 'anodes.faceDm2Each', 'what of one anode faces the part in the liquid'),
  number('--anodes', 'anodes.count', 'how many hang'),
  number('--bath-volume', 'tank.litres', 'instead of --tank'),
  number('--cable-length', 'conductors.cableMetres', 'there and back together'),
  number('--cable', 'conductors.cableMm2', 'cross-section, IEC 60228'),
  number('--paint-resistance', 'paint.sheetOhmsPerSquare', 'sheet resistance of the paint, as measured'),
  number('--contacts', 'paint.contacts', 'contacts on each piece'),
  number('--paint-thickness', 'paint.dryMicrometres', 'dry paint; 0: the part is metal already'),
  number('--paint-solids', 'paint.solidsShare', 'solids of the paint by volume'),
  number('--paint-loss', 'paint.lossShare', 'paint that misses the part'),
  number('--thinner', 'paint.thinnerShare', 'thinner for the paint'),
  number('--mass', 'weight.massGramsEach', 'of one painted piece, by the balance'),
  number('--print-density', 'weight.printGramsPerCm3', 'or the density of what it is printed from'),
  number('--filled', 'weight.filledShare', 'and how much of its volume that fills'),
  number('--ballast-density', 'weight.ballastGramsPerCm3', 'density of the ballast'),
  number('--brightener', 'brightenerLitresPerKiloampereHour', 'consumption'),
  number('--metal-price', 'prices.metalPerKg', 'a kg of anodes, in your money'),
  number('--electricity-price', 'prices.electricityPerKwh', 'a kWh'),
  number('--brightener-price', 'prices.brightenerPerLitre', 'a litre'),
  number('--paint-price', 'prices.paintPerLitre', 'a litre'),
  number('--pen-thickness', 'secondLayer.micrometres', 'of a second layer by pen'),
  number('--pen-area', 'secondLayer.areaDm2', 'where it goes'),
  number('--pen-amps', 'secondLayer.amps', 'current of the pen'),
  number('--pen-factor', 'secondLayer.ampereHoursPerIn2TenThousandth', 'its own, Ah for a square inch and 0.0001 in'),
  number('--pen-width', 'secondLayer.penWidthMm', 'face of the pen'),
  number('--pen-speed', 'secondLayer.penMillimetresPerSecond', 'over the part'),
];
