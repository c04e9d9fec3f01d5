/* What stands in the form of a ledger and was not written yet: the figures of each kind of entry apart, so that a look at another kind clears none. Pure; used by that form. */
import type { TypedFigure } from '../forms/typed-figure.js';
import { type Act, actNames } from './entry-fields.js';
import type { Typed } from './field-spec.js';

export interface EntryDraft {
  readonly act: Act;
  readonly figures: Readonly<Partial<Record<Act, Typed>>>;
  readonly note: string;
  readonly when: string;
}

export function emptyEntry(act: Act): EntryDraft {
  return { act, figures: {}, note: '', when: '' };
}

/** With the figures that a press elsewhere on the screen wants written down; those of other kinds, note and time stay. */
export function begunWith({ act, typed }: { readonly act: Act; readonly typed: Typed }) {
  return (left: EntryDraft): EntryDraft => ({ ...left, act, figures: { ...left.figures, [act]: typed } });
}

/** Without those of the kind that was written. */
export function otherFigures(figures: EntryDraft['figures'], written: Act): EntryDraft['figures'] {
  return Object.fromEntries(Object.entries(figures).filter(([act]) => act !== written));
}

/** Of a draft that this tab kept: the page may have changed since. */
export function isKnownEntry({ act, figures }: EntryDraft): boolean {
  return act in actNames && Object.values(figures as object).every(areFigures);
}

function areFigures(typed: unknown): boolean {
  return typeof typed === 'object' && typed !== null && Object.values(typed).every(isFigure);
}

function isFigure(figure: Partial<TypedFigure> | null): boolean {
  return typeof figure?.text === 'string' && (figure.units === 'metric' || figure.units === 'imperial');
}
