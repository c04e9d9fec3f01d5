/*
 * What the supply can give against what the parts want, and what that does to the time. Called by plan.ts; empty where nobody named a supply.
 */
import { type Figure, input, inputOf } from '../figure.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface SupplyFigures {
  readonly supplySharePercent: Figure;
  /** What it would take if the supply gave what the parts want. The same as the plate time where it does. */
  readonly plateHoursAtWantedAmps: Figure;
  readonly hoursLostToSupply: Figure;
}

export function supplyFigures(basis: PlanBasis, deposit: DepositFigures): SupplyFigures | undefined {
  const supplyAmpsMax = basis.request.supplyAmpsMax;
  if (supplyAmpsMax === undefined) return undefined;
  const most = input('Largest current of the supply', supplyAmpsMax, 'A');
  const plateHoursAtWantedAmps: Figure = {
    label: 'Plate time with a supply that is large enough',
    value: deposit.chargeAmpereHours.value / deposit.wantedAmps.value,
    unit: 'h',
    formula: 'charge ÷ current that the parts want',
    inputs: [inputOf(deposit.chargeAmpereHours), inputOf(deposit.wantedAmps)],
    source: 'arithmetic',
  };
  return {
    supplySharePercent: {
      label: 'Of the supply in use',
      value: (100 * deposit.setPointAmps.value) / supplyAmpsMax,
      unit: '%',
      formula: 'set-point ÷ largest current of the supply',
      inputs: [inputOf(deposit.setPointAmps), most],
      source: 'arithmetic',
    },
    plateHoursAtWantedAmps,
    hoursLostToSupply: {
      label: 'Longer because of the supply',
      value: deposit.plateHours.value - plateHoursAtWantedAmps.value,
      unit: 'h',
      formula: 'plate time − plate time with a supply that is large enough',
      inputs: [inputOf(deposit.plateHours), inputOf(plateHoursAtWantedAmps), most],
      source: 'arithmetic',
    },
  };
}
