/*
 * The night ahead as a series: current, charge, average thickness, voltage and temperature as bands. Called by plan.ts on the very corners that the controller's
 * set-point makes (planned-night.ts). It does not know what will go wrong, nor the paint's own resistance at the start.
 */
import { copperExchangeAmpsPerM2 } from '../bath-physics/distribution.js';
import { bathCelsiusAfter, lossWattsPerKelvin } from '../bath-physics/bath-warming.js';
import { type Phase } from '../../control/phase.js';
import { depositThicknessMicrometres } from '../faraday.js';
import type { NightPoint } from '../planned-night.js';
import type { DepositFigures } from './deposit-figures.js';
import type { PlanBasis } from './plan-basis.js';
import { bathLitresOf } from './tank-figures.js';
import type { VoltageFigures } from './voltage-figures.js';

/** Likely value and the bounds between which it is. */
export interface Band {
  readonly low: number;
  readonly value: number;
  readonly high: number;
}

export interface PlanNightPoint {
  readonly afterHours: number;
  readonly phase: Phase;
  readonly currentAmps: number;
  readonly chargeAmpereHours: number;
  readonly averageThicknessMicrometres: number;
  readonly supplyVolts: Band;
  /** Undefined where the volume of the bath is not known. */
  readonly bathCelsius: Band | undefined;
}

/** Long pieces are cut, since temperature bends where current does not. */
const longestPieceHours = 0.5;
const mostPieces = 96;

export function planNight(
  basis: PlanBasis,
  corners: readonly NightPoint[],
  deposit: DepositFigures,
  voltage: VoltageFigures,
): PlanNightPoint[] {
  const litres = bathLitresOf(basis);
  const volts = voltsAt(basis, deposit, voltage);
  const celsius: Record<keyof Band, number> = {
    low: basis.bathCelsius.value,
    value: basis.bathCelsius.value,
    high: basis.bathCelsius.value,
  };
  const leads = voltage.supplyVolts.value - voltage.cellVolts.value;
  const warm = (hours: number, amps: number): void => {
    if (litres === undefined || hours <= 0) return;
    const usualLoss = lossWattsPerKelvin(litres);
    const at = volts(amps);
    const leadVolts = (leads * amps) / deposit.setPointAmps.value;
    for (const [bound, loss] of [
      ['low', 2 * usualLoss],
      ['value', usualLoss],
      ['high', usualLoss / 2],
    ] as const) {
      celsius[bound] = bathCelsiusAfter(
        {
          watts: amps * Math.max(0, at[bound] - leadVolts),
          litres,
          densityKgPerM3: basis.profile.densityKgPerM3.usual,
          lossWattsPerKelvin: loss,
          startCelsius: celsius[bound],
          roomCelsius: basis.roomCelsius.value,
        },
        hours,
      );
    }
  };
  const pointAt = (
    afterHours: number,
    phase: Phase,
    currentAmps: number,
    chargeAmpereHours: number,
  ): PlanNightPoint => ({
    afterHours,
    phase,
    currentAmps,
    chargeAmpereHours,
    averageThicknessMicrometres: depositThicknessMicrometres(
      chargeAmpereHours,
      basis.areaDm2,
      basis.profile.metal,
      basis.cathodeEfficiency.value,
    ),
    supplyVolts: volts(currentAmps),
    bathCelsius: litres === undefined ? undefined : { ...celsius },
  });

  const points: PlanNightPoint[] = [];
  corners.forEach((corner, index) => {
    const before = corners[index - 1];
    const hours = corner.afterSeconds / 3600;
    const charge = corner.chargeMilliCoulombs / 3.6e6;
    if (before !== undefined) {
      const fromHours = before.afterSeconds / 3600;
      const fromCharge = before.chargeMilliCoulombs / 3.6e6;
      const pieces = Math.min(mostPieces, Math.max(1, Math.ceil((hours - fromHours) / longestPieceHours)));
      for (let piece = 1; piece <= pieces; piece++) {
        const share = piece / pieces;
        // The mean current of a piece is its charge over its time, whatever its slope.
        const pieceHours = (hours - fromHours) / pieces;
        warm(pieceHours, pieceHours > 0 ? (charge - fromCharge) / (hours - fromHours) : 0);
        if (piece < pieces) {
          const amps = before.currentAmps + (corner.currentAmps - before.currentAmps) * share;
          points.push(
            pointAt(
              fromHours + (hours - fromHours) * share,
              before.phase,
              amps,
              fromCharge + (charge - fromCharge) * share,
            ),
          );
        }
      }
    }
    points.push(pointAt(hours, corner.phase, corner.currentAmps, charge));
  });
  return points;
}

/** Liquid and leads by Ohm's law, the electrodes by the shape of their kinetics, from what the set-point needs. */
function voltsAt(basis: PlanBasis, deposit: DepositFigures, voltage: VoltageFigures): (amps: number) => Band {
  const full = deposit.setPointAmps.value;
  const electrodes = basis.profile.electrodeVolts;
  const { value, uncertainty } = voltage.supplyVolts;
  const areaM2 = basis.areaDm2 / 100;
  const kinetics = (amps: number): number => Math.asinh(amps / areaM2 / (2 * copperExchangeAmpsPerM2));
  return (amps) => {
    const ohmic = amps / full;
    const kinetic = kinetics(amps) / kinetics(full);
    const scaled = (atFull: number, ofIt: number): number => (atFull - ofIt) * ohmic + ofIt * kinetic;
    return {
      low: scaled(uncertainty?.low ?? value, electrodes.min),
      value: scaled(value, electrodes.usual),
      high: scaled(uncertainty?.high ?? value, electrodes.max),
    };
  };
}
