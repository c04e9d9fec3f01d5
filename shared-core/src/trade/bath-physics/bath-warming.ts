/*
 * How a bath warms from the current that flows through it. Called by the planner for the end of the night and for each point of it.
 */

/** J/(kg·K), from memory; water has 4180. */
export const bathHeatCapacityJoulesPerKgKelvin = 3450;

/** A bath of 60 L, open above, loses about 12 W for each kelvin above the room. Common practice, no source; it goes with the surface. */
export function lossWattsPerKelvin(litres: number): number {
  return 12 * (litres / 60) ** (2 / 3);
}

export interface WarmingBath {
  readonly watts: number;
  readonly litres: number;
  readonly densityKgPerM3: number;
  readonly lossWattsPerKelvin: number;
  readonly startCelsius: number;
  readonly roomCelsius: number;
}

/** J/K. */
function heatCapacity(bath: WarmingBath): number {
  return (bath.litres / 1000) * bath.densityKgPerM3 * bathHeatCapacityJoulesPerKgKelvin;
}

/**
 * K/h when no heat leaves.
 *
 * Example: 93 W in 60 L of 1160 kg/m³: 1.394 K/h.
 */
export function adiabaticKelvinPerHour(bath: Pick<WarmingBath, 'watts' | 'litres' | 'densityKgPerM3'>): number {
  return (bath.watts * 3600) / ((bath.litres / 1000) * bath.densityKgPerM3 * bathHeatCapacityJoulesPerKgKelvin);
}

/** Where a bath boils, about; what is warmer is not computed. */
const boilingCelsius = 100;

/**
 * Bath temperature after so many hours: it nears the room's plus watts / loss, with the time constant capacity / loss. Without loss it climbs straight. Never
 * above boiling.
 */
export function bathCelsiusAfter(bath: WarmingBath, hours: number): number {
  if (bath.lossWattsPerKelvin === 0) {
    return Math.min(boilingCelsius, bath.startCelsius + adiabaticKelvinPerHour(bath) * hours);
  }
  const restCelsius = bath.roomCelsius + bath.watts / bath.lossWattsPerKelvin;
  const share = Math.exp((-hours * 3600 * bath.lossWattsPerKelvin) / heatCapacity(bath));
  return Math.min(boilingCelsius, restCelsius + (bath.startCelsius - restCelsius) * share);
}
