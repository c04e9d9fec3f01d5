/*
 * One figure of a plan, with everything that a person needs to believe it or not: value, unit, uncertainty, formula in words, inputs, source.
 * Made by the files in plan/, shown by the job sheet, the command and the page. Holds metric values; units.ts converts for showing.
 */
import type { Unit } from './units.js';

/** What a figure was computed from. */
export interface FigureInput {
  readonly label: string;
  readonly value: number;
  readonly unit: Unit;
  /** Nobody gave it: it is what is usual. Whoever shows it says so. */
  readonly isAssumed?: boolean;
}

/** Within these bounds the true value is likely to lie; in the unit of the figure. */
export interface Uncertainty {
  readonly low: number;
  readonly high: number;
  readonly because: string;
}

export interface Figure {
  readonly label: string;
  readonly value: number;
  readonly unit: Unit;
  /** Not given where nobody knows one. */
  readonly uncertainty?: Uncertainty;
  /** In words: "current density × area". */
  readonly formula: string;
  readonly inputs: readonly FigureInput[];
  /** Where the formula and its constants come from. */
  readonly source: string;
}

/** A value together with whether anybody gave it. */
export interface Given {
  readonly value: number;
  readonly isAssumed: boolean;
}

/** What was given, else what is usual. Example: `given(undefined, 25)` is { value: 25, isAssumed: true }. */
export function given(value: number | undefined, usual: number): Given {
  return value === undefined ? { value: usual, isAssumed: true } : { value, isAssumed: false };
}

/** An input from a number, from a value that may be assumed, or from another figure. */
export function input(label: string, from: number | Given, unit: Unit): FigureInput {
  if (typeof from === 'number') return { label, value: from, unit };
  return from.isAssumed ? { label, value: from.value, unit, isAssumed: true } : { label, value: from.value, unit };
}

/** Another figure as an input, under its own name. */
export function inputOf(figure: Figure): FigureInput {
  return { label: figure.label, value: figure.value, unit: figure.unit };
}
