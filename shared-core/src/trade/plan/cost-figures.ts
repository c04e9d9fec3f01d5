/*
 * What the run uses up, and what that costs where somebody gave a price. Called by plan.ts. Prices are never guessed; labour and wear are not counted.
 */
import { type Figure, given, input, inputOf } from '../figure.js';
import type { AnodeFigures } from './anode-figures.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PaintFigures } from './paint-figures.js';
import type { PlanBasis } from './plan-basis.js';
import type { VoltageFigures } from './voltage-figures.js';

export interface CostFigures {
  readonly energyKwh: Figure;
  readonly brightenerMillilitres?: Figure;
  readonly metalCost?: Figure;
  readonly electricityCost?: Figure;
  readonly brightenerCost?: Figure;
  readonly paintCost?: Figure;
  /** Of those of the above that are there. */
  readonly totalCost?: Figure;
}

/** A switched supply. Common practice, no source. */
const supplyEfficiency = 0.85;

export function costFigures(
  basis: PlanBasis,
  deposit: DepositFigures,
  voltage: VoltageFigures,
  anodes: AnodeFigures,
  paint: PaintFigures | undefined,
): CostFigures {
  const prices = basis.request.prices ?? {};
  const ofVolts = (volts: number): number => (volts * deposit.chargeAmpereHours.value) / 1000 / supplyEfficiency;
  const { supplyVolts } = voltage;
  const energyKwh: Figure = {
    label: 'Electricity',
    value: ofVolts(supplyVolts.value),
    unit: 'kWh',
    uncertainty: {
      low: ofVolts(supplyVolts.uncertainty?.low ?? supplyVolts.value),
      high: ofVolts(supplyVolts.uncertainty?.high ?? supplyVolts.value),
      because: 'as uncertain as the voltage',
    },
    formula: 'voltage at the supply × charge ÷ efficiency of the supply; pump, motor and heater come on top',
    inputs: [
      inputOf(supplyVolts),
      inputOf(deposit.chargeAmpereHours),
      { label: 'Efficiency of the supply', value: 100 * supplyEfficiency, unit: '%', isAssumed: true },
    ],
    source: 'arithmetic; the efficiency is common practice, no source',
  };
  const brightenerMillilitres = brightener(basis, deposit);
  const costs = {
    metalCost: cost('Metal', anodes.anodeDissolvedGrams, 1000, prices.metalPerKg),
    electricityCost: cost('Electricity', energyKwh, 1, prices.electricityPerKwh),
    brightenerCost: cost('Brightener', brightenerMillilitres, 1000, prices.brightenerPerLitre),
    paintCost: cost('Paint', paint?.paintMillilitres, 1000, prices.paintPerLitre),
  };
  const known = Object.values(costs).filter((each) => each !== undefined);
  return {
    energyKwh,
    ...(brightenerMillilitres === undefined ? {} : { brightenerMillilitres }),
    ...Object.fromEntries(Object.entries(costs).filter(([, figure]) => figure !== undefined)),
    ...(known.length === 0
      ? {}
      : {
          totalCost: {
            label: 'Together',
            value: known.reduce((sum, each) => sum + each.value, 0),
            unit: 'money' as const,
            formula: 'sum of what has a price',
            inputs: known.map(inputOf),
            source: 'arithmetic; the prices are yours',
          },
        }),
  };
}

function brightener(basis: PlanBasis, deposit: DepositFigures): Figure | undefined {
  const asked = basis.request.brightenerLitresPerKiloampereHour;
  const range = basis.profile.brightenerLitresPerKiloampereHour;
  if (asked === undefined && range === undefined) return undefined;
  const rate = given(asked, range?.usual ?? 0);
  const dose = (litres: number): number => deposit.chargeAmpereHours.value * litres;
  return {
    label: 'Brightener',
    value: dose(rate.value),
    unit: 'mL',
    ...(rate.isAssumed && range !== undefined
      ? { uncertainty: { low: dose(range.min), high: dose(range.max), because: range.source } }
      : {}),
    formula: 'charge ÷ 1000 × consumption',
    inputs: [inputOf(deposit.chargeAmpereHours), input('Consumption', rate, 'L/kAh')],
    source: rate.isAssumed ? (range?.source ?? '') : 'arithmetic; the consumption is your supplier’s',
  };
}

/** `perPriced`: how many of the figure's unit the price is for. */
function cost(what: string, of: Figure | undefined, perPriced: number, price: number | undefined): Figure | undefined {
  if (of === undefined || price === undefined) return undefined;
  const { low, high, because } = of.uncertainty ?? {};
  const ofAmount = (amount: number): number => (amount / perPriced) * price;
  return {
    label: `${what}, cost`,
    value: ofAmount(of.value),
    unit: 'money',
    ...(low === undefined || high === undefined || because === undefined
      ? {}
      : { uncertainty: { low: ofAmount(low), high: ofAmount(high), because } }),
    formula: 'amount × price',
    inputs: [inputOf(of), input('Price', price, 'money')],
    source: 'arithmetic; the price is yours',
  };
}
