/*
 * Numbers as the page writes them: a point, as many digits as the measurement is good for, a fixed space, the unit.
 * Used by every other file of words; never guesses a missing number (`null` becomes "no reading"). Kept in metric; who thinks in the other units is told theirs.
 */
import { inUnits, type Unit, unitName, type UnitSystem } from '@bathkeeper/shared-core/trade';

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

/** Of a metric figure in a person's units; `decimals` of the size that is shown. */
function inTheirUnits(value: number | null, unit: Unit, units: UnitSystem, decimals: (size: number) => number): string {
  if (value === null) return NO_READING;
  const shown = inUnits(value, unit, units);
  return withUnit(shown.value, decimals(Math.abs(shown.value)), shown.unit);
}

/** Example: `celsiusWords(24.06)` is "24.1 °C". */
export function celsiusWords(celsius: number | null, units: UnitSystem = 'metric'): string {
  return inTheirUnits(celsius, '°C', units, () => 1);
}

/** Of two temperatures, whose zero is no temperature. Example: `temperatureDifferenceWords(0.5)` is "0.5 °C", in imperial "0.9 °F". */
export function temperatureDifferenceWords(kelvins: number, units: UnitSystem): string {
  return withUnit(inUnits(kelvins, 'K', units).value, 1, unitName('°C', units));
}

/** A mil is 25.4 µm: two more decimals for the same fineness. */
const micrometreDecimals: Readonly<Record<UnitSystem, (size: number) => number>> = {
  metric: (size) => (size < 9.95 ? 1 : 0),
  imperial: (size) => (size < 0.995 ? 3 : 2),
};

/** Average thickness; tenths below 10 µm. Example: `micrometresWords(211.7)` is "212 µm". */
export function micrometresWords(micrometres: number | null, units: UnitSystem = 'metric'): string {
  return inTheirUnits(micrometres, 'µm', units, micrometreDecimals[units]);
}

/** "212 of 300 µm": one unit for both. Whole micrometres (hundredths of a mil), and never rounded up to a target that is not reached. */
export function micrometresOf(reached: number, asked: number, units: UnitSystem = 'metric'): string {
  const perStep = units === 'metric' ? 1 : 100;
  const steps = (micrometres: number): number => Math.round(inUnits(micrometres, 'µm', units).value * perStep);
  const whole = reached < asked ? Math.min(steps(reached), steps(asked) - 1) : steps(reached);
  const decimals = units === 'metric' ? 0 : 2;
  return `${(Math.max(0, whole) / perStep).toFixed(decimals)} of ${withUnit(steps(asked) / perStep, decimals, unitName('µm', units))}`;
}

/** Example: `ampereHoursWords(271.3)` is "271 Ah". */
export function ampereHoursWords(ampereHours: number | null): string {
  const size = Math.abs(ampereHours ?? 0);
  return withUnit(ampereHours, size < 9.995 ? 2 : size < 99.95 ? 1 : 0, 'Ah');
}

/** Example: `gramsWords(321.44)` is "321 g". */
export function gramsWords(grams: number | null, units: UnitSystem = 'metric'): string {
  return inTheirUnits(grams, 'g', units, (size) => (size >= 99.95 ? 0 : units === 'metric' || size >= 9.995 ? 1 : 2));
}

/** Example: `densityWords(1.6)` is "1.6 A/dm²", in imperial "14.9 A/ft²". */
export function densityWords(ampsPerDm2: number | null, units: UnitSystem = 'metric'): string {
  return inTheirUnits(ampsPerDm2, 'A/dm²', units, (size) => (size < 0.995 ? 2 : 1));
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
