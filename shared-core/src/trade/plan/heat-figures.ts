/*
 * How warm the bath gets by the end and how much water leaves it. Called by plan.ts where the volume of the bath is known. The band, from half the usual
 * loss to twice as much, is wide on purpose: nobody knows the walls and the room.
 */
import { evaporationKgPerHourM2 } from '../bath-physics/evaporation.js';
import { adiabaticKelvinPerHour, bathCelsiusAfter, lossWattsPerKelvin } from '../bath-physics/bath-warming.js';
import { type Figure, input, inputOf } from '../figure.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';
import { bathLitresOf } from './tank-figures.js';
import type { VoltageFigures } from './voltage-figures.js';

export interface HeatFigures {
  readonly warmingKelvinPerHourMax: Figure;
  readonly bathCelsiusAtEnd: Figure;
  /** These two only where length and width of the tank are known. */
  readonly evaporationLitres?: Figure;
  readonly levelFallMm?: Figure;
}

export function heatFigures(
  basis: PlanBasis,
  deposit: DepositFigures,
  voltage: VoltageFigures,
): HeatFigures | undefined {
  const litres = bathLitresOf(basis);
  if (litres === undefined) return undefined;
  const densityKgPerM3 = basis.profile.densityKgPerM3.usual;
  const loss = lossWattsPerKelvin(litres);
  const watts = voltage.bathWatts;
  const hours = deposit.runHours.value;
  const end = (heatWatts: number, lossed: number): number =>
    bathCelsiusAfter(
      {
        watts: heatWatts,
        litres,
        densityKgPerM3,
        lossWattsPerKelvin: lossed,
        startCelsius: basis.bathCelsius.value,
        roomCelsius: basis.roomCelsius.value,
      },
      hours,
    );
  const bathInput = input('Bath', litres, 'L');
  const densityInput = input('Density of the bath', { value: densityKgPerM3, isAssumed: true }, 'kg/m³');
  const bathCelsiusAtEnd: Figure = {
    label: 'Bath when the charge is reached',
    value: end(watts.value, loss),
    unit: '°C',
    uncertainty: {
      low: end(watts.uncertainty?.low ?? watts.value, 2 * loss),
      high: end(watts.uncertainty?.high ?? watts.value, loss / 2),
      because: 'twice the usual loss to the room, or half of it, and the heat as uncertain as the voltage',
    },
    formula: 'from the start towards the room’s temperature + heat ÷ loss, with the time constant heat capacity ÷ loss',
    inputs: [
      input('Bath at the start', basis.bathCelsius, '°C'),
      input('Room', basis.roomCelsius, '°C'),
      inputOf(watts),
      bathInput,
      densityInput,
      input('Loss to the room', { value: loss, isAssumed: true }, 'W/K'),
      inputOf(deposit.runHours),
    ],
    source: 'one body that cools by Newton’s law; 3450 J/(kg·K) from memory, the loss common practice, no source',
  };
  return {
    warmingKelvinPerHourMax: {
      label: 'Warming if no heat left',
      value: adiabaticKelvinPerHour({ watts: watts.value, litres, densityKgPerM3 }),
      unit: 'K/h',
      formula: 'heat in the bath ÷ (volume × density × heat capacity)',
      inputs: [inputOf(watts), bathInput, densityInput],
      source: 'heat capacity 3450 J/(kg·K), from memory',
    },
    bathCelsiusAtEnd,
    ...evaporation(basis, deposit, bathCelsiusAtEnd),
  };
}

function evaporation(
  basis: PlanBasis,
  deposit: DepositFigures,
  atEnd: Figure,
): Pick<HeatFigures, 'evaporationLitres' | 'levelFallMm'> {
  const { lengthMm, widthMm } = basis.request.tank ?? {};
  if (lengthMm === undefined || widthMm === undefined) return {};
  const surfaceM2 = (lengthMm * widthMm) / 1e6;
  const meanCelsius = (basis.bathCelsius.value + atEnd.value) / 2;
  const isAirAgitated = basis.agitation === 'vigorous';
  const litres = evaporationKgPerHourM2(meanCelsius, isAirAgitated) * surfaceM2 * deposit.runHours.value;
  const twofold = (value: number) => ({
    low: value / 2,
    high: value * 2,
    because: 'two published formulas disagree by up to 1.7: good to a factor of two',
  });
  const evaporationLitres: Figure = {
    label: 'Water that evaporates',
    value: litres,
    unit: 'L',
    uncertainty: twofold(litres),
    formula: isAirAgitated
      ? 'exp(0.0265 × °F − 5.95) gal/(h·ft²) with air × surface × time'
      : 'exp(0.03236 × °F − 7.2) gal/(h·ft²) × surface × time',
    inputs: [
      input('Mean temperature', meanCelsius, '°C'),
      input('Surface', surfaceM2 * 100, 'dm²'),
      inputOf(deposit.runHours),
    ],
    source: 'Kirman, quoted at finishing.com/174/85; beside it EPA 625/8-82-008',
  };
  return {
    evaporationLitres,
    levelFallMm: {
      label: 'The level falls by',
      value: litres / surfaceM2,
      unit: 'mm',
      uncertainty: twofold(litres / surfaceM2),
      formula: 'water that evaporates ÷ surface',
      inputs: [inputOf(evaporationLitres)],
      source: 'arithmetic',
    },
  };
}
