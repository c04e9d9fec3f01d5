/*
 * The units that figures come in, and the imperial unit for each: A/dm² and A/ft², µm and mil, g and oz. Called by whoever shows or types a
 * figure. Everything is computed and kept in metric; this only converts, exactly, there and back. Cables stay in mm² (IEC 60228) everywhere.
 */

export type Unit =
  | 'A'
  | 'A/dm²'
  | 'Ah'
  | 'V'
  | 'mV'
  | 'W'
  | 'W/m'
  | 'kWh'
  | 'Ω'
  | 'mΩ'
  | 'Ω/sq'
  | 'Ω·m²'
  | 'S/m'
  | 's'
  | 'min'
  | 'h'
  | 'µm'
  | 'µm/h'
  | 'mm'
  | 'm'
  | 'mm²'
  | 'dm²'
  | 'cm³'
  | 'mL'
  | 'L'
  | 'g'
  | 'kg'
  | 'N'
  | '°C'
  | 'K'
  | 'K/h'
  | 'W/K'
  | 'g/Ah'
  | 'g/cm³'
  | 'g/L'
  | 'mg/L'
  | 'kg/m³'
  | 'L/kAh'
  | 'Ah/L'
  | 'mm/s'
  | '1/min'
  | '%'
  | 'money'
  /** A plain number: a ratio, a count. */
  | '1';

export type UnitSystem = 'metric' | 'imperial';

/** A value as it is shown: in which unit. */
export interface Quantity {
  readonly value: number;
  readonly unit: string;
}

interface Conversion {
  readonly unit: string;
  /** Of the imperial unit in one of the metric. */
  readonly factor: number;
  readonly offset?: number;
}

/** 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 lb = 0.45359237 kg, 1 US gal = 3.785411784 L: all exact (NIST Special Publication 811, appendix B, from memory). */
const squareFootDm2 = 9.290304;
const imperial: Partial<Record<Unit, Conversion>> = {
  'A/dm²': { unit: 'A/ft²', factor: squareFootDm2 },
  µm: { unit: 'mil', factor: 1 / 25.4 },
  'µm/h': { unit: 'mil/h', factor: 1 / 25.4 },
  mm: { unit: 'in', factor: 1 / 25.4 },
  m: { unit: 'ft', factor: 1 / 0.3048 },
  'dm²': { unit: 'ft²', factor: 1 / squareFootDm2 },
  'cm³': { unit: 'in³', factor: 1 / 16.387064 },
  mL: { unit: 'US fl oz', factor: 1 / 29.5735295625 },
  L: { unit: 'US gal', factor: 1 / 3.785411784 },
  g: { unit: 'oz', factor: 1 / 28.349523125 },
  kg: { unit: 'lb', factor: 1 / 0.45359237 },
  N: { unit: 'lbf', factor: 1 / 4.4482216152605 },
  'W/m': { unit: 'W/ft', factor: 0.3048 },
  '°C': { unit: '°F', factor: 1.8, offset: 32 },
  K: { unit: '°F difference', factor: 1.8 },
  'K/h': { unit: '°F/h', factor: 1.8 },
  'W/K': { unit: 'W/°F', factor: 1 / 1.8 },
  'g/Ah': { unit: 'oz/Ah', factor: 1 / 28.349523125 },
  'g/cm³': { unit: 'lb/in³', factor: 16.387064 / 453.59237 },
  'g/L': { unit: 'oz/US gal', factor: 3.785411784 / 28.349523125 },
  'kg/m³': { unit: 'lb/US gal', factor: 3.785411784 / 453.59237 },
  'L/kAh': { unit: 'US gal/kAh', factor: 1 / 3.785411784 },
  'Ah/L': { unit: 'Ah/US gal', factor: 3.785411784 },
  'mm/s': { unit: 'in/s', factor: 1 / 25.4 },
};

/**
 * A metric value in a person's units. Units without an imperial one (A, V, Ah, h …) stay as they are.
 *
 * @example
 * inUnits(2, 'A/dm²', 'imperial'); // { value: 18.58, unit: 'A/ft²' }
 */
export function inUnits(value: number, unit: Unit, system: UnitSystem): Quantity {
  const to = system === 'imperial' ? imperial[unit] : undefined;
  return to === undefined ? { value, unit } : { value: value * to.factor + (to.offset ?? 0), unit: to.unit };
}

/**
 * What a person typed in their units, in metric.
 *
 * @example
 * fromUnits(20, 'A/dm²', 'imperial'); // 20 A/ft² are 2.153 A/dm²
 */
export function fromUnits(typed: number, unit: Unit, system: UnitSystem): number {
  const to = system === 'imperial' ? imperial[unit] : undefined;
  return to === undefined ? typed : (typed - (to.offset ?? 0)) / to.factor;
}

/** How that unit is called in a person's units. Example: `unitName('µm', 'imperial')` is "mil". */
export function unitName(unit: Unit, system: UnitSystem): string {
  return (system === 'imperial' ? imperial[unit]?.unit : undefined) ?? unit;
}

/** Every unit that changes between the two systems. */
export const convertedUnits = Object.keys(imperial) as readonly Unit[];
