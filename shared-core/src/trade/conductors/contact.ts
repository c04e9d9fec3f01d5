/*
 * Contacts under current: the heat they make, and how hot the touching spots get. Called by the planner. Loose connections are the first cause of
 * electrical fires (HSB 1977, quoted in ASSE-05-555).
 */

/** Watts in a contact. Example: 31 A through 10 mΩ: 9.6 W. */
export function contactWatts(amps: number, ohms: number): number {
  return amps * amps * ohms;
}

/** A joint that drops more is stopped and cleaned: our own practice. */
export const contactDropVoltsMax = 0.05;

/** Lorenz number, V²/K². */
const lorenz = 2.44e-8;

/**
 * The hottest spot within a contact in °C: T² = T0² + U² / (4 L) (Holm, from memory).
 *
 * Example: 0.12 V at 20 °C: 210 °C; 0.43 V: 1134 °C (copper melts at 1085).
 */
export function hottestSpotCelsius(dropVolts: number, outsideCelsius = 20): number {
  const outsideKelvin = outsideCelsius + 273.15;
  return Math.sqrt(outsideKelvin ** 2 + dropVolts ** 2 / (4 * lorenz)) - 273.15;
}
