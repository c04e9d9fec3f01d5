/* What somebody typed into several fields, all in the same units. Used by the tests of forms. */
import type { UnitSystem } from '@bathkeeper/shared-core/trade';
import { type TypedFigure, typedIn } from '../../../dashboard/page/forms/typed-figure.js';

export function typedTexts<Field extends string>(
  texts: Readonly<Partial<Record<Field, string>>>,
  units: UnitSystem = 'metric',
): Partial<Record<Field, TypedFigure>> {
  const typed: Partial<Record<Field, TypedFigure>> = {};
  for (const field of Object.keys(texts) as Field[]) typed[field] = typedIn(units, texts[field] ?? '');
  return typed;
}
