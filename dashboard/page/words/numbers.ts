/*
 * Numbers as the page writes them: a point, as many digits as the measurement is good for, a fixed space, the unit.
 * Used by every other file of words; never guesses a missing number (`null` becomes "no reading").
 */

/** Keeps a number and its unit on one line. */
const FIXED_SPACE = '\u00a0';

export const NO_READING = 'no reading';

function withUnit(value: number | null, decimals: number, unit: string): string {
  if (value === null || !Number.isFinite(value)) return NO_READING;
  const text = value.toFixed(decimals);
  return (Number(text) === 0 ? text.replace('-', '') : text).replace('-', '\u2212') + FIXED_SPACE + unit;
}

/** Cathode current. Two digits behind the point below 1 A, none from 100 A. Example: `ampsWords(18.44)` is "18.4 A". */
export function ampsWords(amps: number | null): string {
  const size = Math.abs(amps ?? 0);
  return withUnit(amps, size < 0.995 ? 2 : size < 99.95 ? 1 : 0, 'A');
}

/** Example: `voltsWords(1.9237)` is "1.92 V". */
export function voltsWords(volts: number | null): string {
  return withUnit(volts, 2, 'V');
}

/** Example: `celsiusWords(24.06)` is "24.1 °C". */
export function celsiusWords(celsius: number | null): string {
  return withUnit(celsius, 1, '°C');
}

/** Average thickness; tenths below 10 µm. Example: `micrometresWords(211.7)` is "212 µm". */
export function micrometresWords(micrometres: number | null): string {
  return withUnit(micrometres, Math.abs(micrometres ?? 0) < 9.95 ? 1 : 0, 'µm');
}

/** "212 of 300 µm": one unit for both. Whole micrometres, and never rounded up to a target that is not reached. */
export function micrometresOf(reached: number, asked: number): string {
  const whole = reached < asked ? Math.min(Math.round(reached), Math.ceil(asked) - 1) : Math.round(reached);
  return `${Math.max(0, whole)} of ${micrometresWords(Math.round(asked))}`;
}

/** Example: `ampereHoursWords(271.3)` is "271 Ah". */
export function ampereHoursWords(ampereHours: number | null): string {
  const size = Math.abs(ampereHours ?? 0);
  return withUnit(ampereHours, size < 9.995 ? 2 : size < 99.95 ? 1 : 0, 'Ah');
}

/** Example: `gramsWords(321.44)` is "321 g". */
export function gramsWords(grams: number | null): string {
  return withUnit(grams, Math.abs(grams ?? 0) < 99.95 ? 1 : 0, 'g');
}

/** Example: `densityWords(1.6)` is "1.6 A/dm²". */
export function densityWords(ampsPerDm2: number | null): string {
  return withUnit(ampsPerDm2, Math.abs(ampsPerDm2 ?? 0) < 0.995 ? 2 : 1, 'A/dm²');
}

/** Pulses of the shaft's sensor. Example: `rotationWords(12)` is "12.0 /min". */
export function rotationWords(pulsesPerMinute: number | null): string {
  return withUnit(pulsesPerMinute, 1, '/min');
}

/** Example: `tenthsOfPercentWords(0.985)` is "98.5 %", and of 1 "100 %". */
export function tenthsOfPercentWords(fraction: number): string {
  const tenths = Math.round(1000 * fraction);
  return withUnit(tenths / 10, tenths % 10 === 0 ? 0 : 1, '%');
}

/** Example: `percentWords(0.4)` is "40 %". */
export function percentWords(fraction: number): string {
  return withUnit(fraction * 100, 0, '%');
}
