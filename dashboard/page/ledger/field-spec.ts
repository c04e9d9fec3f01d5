/*
 * What a field of the ledger's forms is: a number with its unit, a text, a choice; and what stands in it before anybody typed. Pure; used by the files that say which
 * fields there are, by what reads them, and by the form.
 */
import { inUnits, significant, type Unit, type UnitSystem } from '@bathkeeper/shared-core/trade';

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

/** As typed and chosen, by the key of the field. */
export type Typed = Readonly<Record<string, string>>;

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

/** What a field holds: what was typed, else what stands in it at first, in the person's units. */
export function valueOf(spec: FieldSpec, typed: Typed, units: UnitSystem = 'metric'): string {
  const { key, first = '' } = spec;
  return (
    typed[key] ?? (spec.kind === 'number' && first !== '' ? inUnitsAsTyped(Number(first), spec.unit, units) : first)
  );
}

/** A metric number as somebody would have typed it. Example: 200 g/L in imperial is "26.71". */
export function inUnitsAsTyped(metric: number, unit: NumberSpec['unit'], units: UnitSystem): string {
  return unit === 'mol/L' ? String(metric) : significant(inUnits(metric, unit, units).value, 4);
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
