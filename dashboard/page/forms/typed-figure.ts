/*
 * A figure as somebody typed it, with the units that it was typed in. In the other units it is shown converted, for reading; what was typed stays, so that
 * going there and back changes nothing. Pure; used by every form that takes a figure in a person's units.
 */
import { fromUnits, inUnits, significant, type Unit, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { typedNumber } from './typed-number.js';

export interface TypedFigure {
  readonly text: string;
  readonly units: UnitSystem;
}

/** Example: `typedIn('imperial', '12')` of a thickness are 12 mil. */
export function typedIn(units: UnitSystem, text: string): TypedFigure {
  return { text, units };
}

export const nothingTyped: TypedFigure = typedIn('metric', '');

/** Several fields at once, all in the same units. Example: `typedTexts({ amount: '2' })` is { amount: { text: '2', units: 'metric' } }. */
export function typedTexts<Field extends string>(
  texts: Readonly<Partial<Record<Field, string>>>,
  units: UnitSystem = 'metric',
): Partial<Record<Field, TypedFigure>> {
  const typed: Partial<Record<Field, TypedFigure>> = {};
  for (const field of Object.keys(texts) as Field[]) typed[field] = typedIn(units, texts[field] ?? '');
  return typed;
}

/**
 * In metric; undefined where what was typed is no number.
 *
 * @example
 * metricValue(typedIn('imperial', '12'), 'µm'); // 304.8
 */
export function metricValue({ text, units }: TypedFigure, unit: Unit, read = typedNumber): number | undefined {
  const value = read(text);
  return value === undefined ? undefined : fromUnits(value, unit, units);
}

/**
 * As it stands in the field of somebody who thinks in these units: four digits, more only where more were typed. What is no number stands as it was typed.
 *
 * @example
 * textIn(typedIn('metric', '300'), 'µm', 'imperial'); // "11.81"
 */
export function textIn(figure: TypedFigure, unit: Unit, units: UnitSystem, read = typedNumber): string {
  const value = figure.units === units ? undefined : metricValue(figure, unit, read);
  if (value === undefined) return figure.text;
  const digits = Math.max(4, figure.text.replace(/\D/g, '').length);
  return significant(inUnits(value, unit, units).value, digits);
}
