/*
 * What voltage the set-point will need, and how sure that is. Called by plan.ts. An estimate: nobody's formula for the conductivity of a plating bath at
 * room temperature was found, and every tank has a geometry of its own. A measured conductivity narrows it.
 */
import { bathOhms } from '../bath-physics/bath-resistance.js';
import { conductivityAt } from '../bath-physics/conductivity.js';
import { type Figure, input, inputOf } from '../figure.js';
import type { AnodeFigures } from './anode-figures.js';
import type { ConductorFigures } from './conductor-figures.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';

export interface VoltageFigures {
  readonly bathMilliohms: Figure;
  readonly cellVolts: Figure;
  readonly supplyVolts: Figure;
  /** What warms the bath. */
  readonly bathWatts: Figure;
}

/** How far a real tank is from the formula, and a measured conductivity from the truth. Our own guess, no source. */
const geometrySpread = 1.25;
const measuredSpread = 1.05;

export function voltageFigures(
  basis: PlanBasis,
  deposit: DepositFigures,
  anodes: AnodeFigures,
  conductors: ConductorFigures,
): VoltageFigures {
  const { profile, gapMm, conductivityAt25: conductivity } = basis;
  const range = profile.conductivitySiemensPerMetre;
  const anodeDm2 = deposit.setPointAmps.value / anodes.anodeDensityAmpsPerDm2.value;
  const ohmsAt = (siemensPerMetreAt25: number): number =>
    bathOhms(
      gapMm.value / 1000,
      conductivityAt(siemensPerMetreAt25, profile.conductivityPerKelvin, basis.bathCelsius.value),
      basis.areaDm2 / 100,
      anodeDm2 / 100,
    );
  const ohms = ohmsAt(conductivity.value);
  const isMeasured = !conductivity.isAssumed;
  const lowOhms = (isMeasured ? ohms / measuredSpread : ohmsAt(range.max)) / geometrySpread;
  const highOhms = (isMeasured ? ohms * measuredSpread : ohmsAt(range.min)) * geometrySpread;
  const because = isMeasured
    ? 'geometry by one number (a quarter), electrodes as the profile says'
    : `conductivity ${String(range.min)} to ${String(range.max)} S/m until it is measured, geometry by one number (a quarter), electrodes as the profile says`;

  const bathMilliohms: Figure = {
    label: 'Resistance of the liquid',
    value: ohms * 1000,
    unit: 'mΩ',
    uncertainty: { low: lowOhms * 1000, high: highOhms * 1000, because },
    formula: 'gap ÷ (conductivity × √(plated area × anode area))',
    inputs: [
      input('Gap from anode to part', gapMm, 'mm'),
      input('Conductivity at 25 °C', conductivity, 'S/m'),
      input('Bath', basis.bathCelsius, '°C'),
      inputOf(deposit.areaDm2),
      input('Anode area that hangs', anodeDm2, 'dm²'),
    ],
    source: `exact for concentric spheres and for plates; conductivity: ${isMeasured ? 'measured' : range.source}`,
  };
  const amps = deposit.setPointAmps.value;
  const electrodes = profile.electrodeVolts;
  const cell = {
    low: amps * lowOhms + electrodes.min,
    value: amps * ohms + electrodes.usual,
    high: amps * highOhms + electrodes.max,
  };
  const cellVolts: Figure = {
    label: 'Voltage of the bath',
    value: cell.value,
    unit: 'V',
    uncertainty: { low: cell.low, high: cell.high, because },
    formula: 'set-point × resistance of the liquid + what the electrodes take',
    inputs: [
      inputOf(deposit.setPointAmps),
      inputOf(bathMilliohms),
      { label: 'Electrodes', value: electrodes.usual, unit: 'V', isAssumed: true },
    ],
    source: `electrodes: ${electrodes.source}`,
  };
  const leads = conductors.cableDropVolts.value + conductors.shuntMillivolts.value / 1000;
  return {
    bathMilliohms,
    cellVolts,
    supplyVolts: {
      label: 'Voltage at the supply',
      value: cell.value + leads,
      unit: 'V',
      uncertainty: { low: cell.low + leads, high: cell.high + leads, because },
      formula: 'voltage of the bath + drop of cable and shunt; clips and paint come on top',
      inputs: [inputOf(cellVolts), inputOf(conductors.cableDropVolts), inputOf(conductors.shuntMillivolts)],
      source: 'Ohm’s law',
    },
    bathWatts: {
      label: 'Heat in the bath',
      value: amps * cell.value,
      unit: 'W',
      uncertainty: { low: amps * cell.low, high: amps * cell.high, because },
      formula: 'set-point × voltage of the bath',
      inputs: [inputOf(deposit.setPointAmps), inputOf(cellVolts)],
      source: 'Joule’s law; the same metal dissolves as is deposited, so all of it is heat',
    },
  };
}
