/*
 * What a field of the ledger's forms is: a number with its unit, a text, a choice; and what stands in it before anybody typed. Pure; used by the files that say which
 * fields there are, by what reads them, and by the form.
 */
import { significant, type Unit, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { metricValue, textIn, type TypedFigure, typedIn } from '../forms/typed-figure.js';

interface Named {
  readonly key: string;
  readonly words: string;
  /** What stands in it at first; a number in metric. */
  readonly first?: string;
  /** May stay empty. */
  readonly isOptional?: boolean;
}
export interface NumberSpec extends Named {
  readonly kind: 'number';
  readonly unit: Unit | 'mol/L';
  /** What is kept of one that is typed: of per cent 0.01, of litres in millilitres 1000. */
  readonly kept?: number;
  readonly mayBeZero?: boolean;
}
export interface TextSpec extends Named {
  readonly kind: 'text';
}
export interface ChoiceSpec extends Named {
  readonly kind: 'choice';
  readonly among: readonly (readonly [string, string])[];
}
export type FieldSpec = NumberSpec | TextSpec | ChoiceSpec;

/** As typed and chosen, by the key of the field; of a text or a choice the units mean nothing. */
export type Typed = Readonly<Record<string, TypedFigure | undefined>>;

export function number(
  key: string,
  words: string,
  unit: NumberSpec['unit'],
  more: Partial<NumberSpec> = {},
): NumberSpec {
  return { kind: 'number', key, words, unit, ...more };
}

export function optionalNumber(key: string, words: string, unit: NumberSpec['unit']): NumberSpec {
  return number(key, words, unit, { isOptional: true });
}

export function choice(key: string, words: string, among: ChoiceSpec['among']): ChoiceSpec {
  return { kind: 'choice', key, words, among, first: among[0]?.[0] ?? '' };
}

/** A choice among the names of a table. Example: of `{ bath: { name: 'bath solution' } }` the one row "bath", "bath solution". */
export function choiceOf(key: string, words: string, table: Readonly<Record<string, { readonly name: string }>>) {
  return choice(
    key,
    words,
    Object.entries(table).map(([one, { name }]) => [one, name] as const),
  );
}

export function text(key: string, words: string): TextSpec {
  return { kind: 'text', key, words };
}

export function percent(key: string, words: string, share: number): NumberSpec {
  return number(key, words, '%', { kept: 0.01, first: String(share * 100) });
}

/** Strengths of titrants are in mol/L everywhere. */
function isConverted(unit: NumberSpec['unit']): unit is Unit {
  return unit !== 'mol/L';
}

/** What a field holds: what was typed, else what stands in it at first. */
function figureOf({ key, first = '' }: FieldSpec, typed: Typed): TypedFigure {
  return typed[key] ?? typedIn('metric', first);
}

/** What stands in a field for somebody who thinks in these units. */
export function valueOf(spec: FieldSpec, typed: Typed, units: UnitSystem = 'metric'): string {
  const figure = figureOf(spec, typed);
  return spec.kind === 'number' && isConverted(spec.unit) ? textIn(figure, spec.unit, units) : figure.text;
}

/** What is kept of a number, from what was typed itself and not from what is shown of it; undefined where it is none. */
export function keptNumber(spec: NumberSpec, typed: Typed): number | undefined {
  const value = metricValue(figureOf(spec, typed), isConverted(spec.unit) ? spec.unit : '1');
  return value === undefined ? undefined : value * (spec.kept ?? 1);
}

/** A metric number as somebody would have typed it: four digits. */
export function asTyped(metric: number): string {
  return significant(metric, 4);
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
