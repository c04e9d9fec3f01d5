/*
 * Water that an open bath loses. Called by the planner. Two published formulas disagree by up to 1.7, so a figure is good to a factor of two.
 */

/** 1 US gal of water an hour from a square foot. */
const kgPerM2FromGallonsPerFt2 = 40.75;

/**
 * Kg of water an hour from a square metre: exp(0.03236 T − 7.2) gal/(h·ft²) still, exp(0.0265 T − 5.95) with air, T in °F (Kirman, quoted at finishing.com/174/85;
 * one copy prints the first with its sign turned). EPA 625/8-82-008 has 0.017 and 0.3 gal/(h·ft²) at 80 and 180 °F where this has 0.0099 and 0.253.
 *
 * Example: still at 80 °F (26.7 °C): 0.0099 gal/(h·ft²), 0.405 kg/(h·m²).
 */
export function evaporationKgPerHourM2(bathCelsius: number, isAirAgitated: boolean): number {
  const fahrenheit = bathCelsius * 1.8 + 32;
  const gallons = isAirAgitated ? Math.exp(0.0265 * fahrenheit - 5.95) : Math.exp(0.03236 * fahrenheit - 7.2);
  return gallons * kgPerM2FromGallonsPerFt2;
}
