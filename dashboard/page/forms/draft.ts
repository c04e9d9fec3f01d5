/*
 * What was typed into a form and not sent yet, one draft for each form and subject ("note/north-bench/7/3"): a look into another room, the back button, or a phone that
 * drops the page loses none of it. Kept in this tab alone, until it is sent or cleared. Used by every form that can be left half typed. What is secret is never given to it.
 */
import { type Signal, signal } from '@preact/signals';
import { useState } from 'preact/hooks';

export interface Draft<Typed> {
  readonly typed: Typed;
  /** It was typed before this form opened, and still stands in it. */
  readonly isAsLeft: boolean;
  /** Whether it is on its way, also where the form was left and opened again meanwhile. */
  readonly isUnderWay: Signal<boolean>;
  change(part: Partial<Typed>): void;
  /** As the form begins; nothing is kept. */
  clear(): void;
}

interface Kept {
  /** null: nothing was typed. */
  readonly typed: Signal<object | null>;
  readonly isUnderWay: Signal<boolean>;
}

/** As long as the page lasts; the storage of the tab holds them across a reload. */
const drafts = new Map<string, Kept>();
const keyOf = (name: string): string => `bathkeeper.draft/${name}`;

function kept(name: string): Kept {
  const known = drafts.get(name);
  if (known !== undefined) return known;
  const begun = { typed: signal(stored(name)), isUnderWay: signal(false) };
  drafts.set(name, begun);
  return begun;
}

function stored(name: string): object | null {
  try {
    const read: unknown = JSON.parse(sessionStorage.getItem(keyOf(name)) ?? 'null');
    return typeof read === 'object' ? read : null;
  } catch {
    // Storage is closed on this device, or somebody else wrote there: the draft lasts as long as the page.
    return null;
  }
}

function keep(name: string, typed: object | null): void {
  kept(name).typed.value = typed;
  try {
    if (typed === null) sessionStorage.removeItem(keyOf(name));
    else sessionStorage.setItem(keyOf(name), JSON.stringify(typed));
  } catch {
    // See stored.
  }
}

/** Something stands in this form that was typed and not sent: it opens by itself. */
export function hasDraft(name: string): boolean {
  return kept(name).typed.peek() !== null;
}

/**
 * `first`: how the form begins; a field of it that is an empty object may hold anything, and `fits` looks at it. `begin`: what a press outside of the form put into it,
 * as it opens.
 */
export function useDraft<Typed extends object>(
  name: string,
  first: Typed,
  more: { readonly fits?: (typed: Typed) => boolean; readonly begin?: (typed: Typed) => Typed } = {},
): Draft<Typed> {
  const { typed, isUnderWay } = kept(name);
  const now = (): Typed => (typed.peek() as Typed | null) ?? first;
  const [wasLeft, setWasLeft] = useState(() => {
    const left = typed.peek();
    // Of an older page, whose form was another one.
    if (left !== null && !(isShapedLike(left, first) && more.fits?.(left as Typed) !== false)) keep(name, null);
    if (more.begin !== undefined) keep(name, more.begin(now()));
    return more.begin === undefined && typed.peek() !== null;
  });
  return {
    typed: (typed.value as Typed | null) ?? first,
    isAsLeft: wasLeft && typed.value !== null,
    isUnderWay,
    change: (part) => {
      const next = { ...now(), ...part };
      keep(name, JSON.stringify(next) === JSON.stringify(first) ? null : next);
    },
    clear: () => {
      setWasLeft(false);
      keep(name, null);
    },
  };
}

function isShapedLike(left: unknown, first: unknown): boolean {
  if (typeof first !== 'object' || first === null) return typeof left === typeof first;
  if (typeof left !== 'object' || left === null) return false;
  const [fields, others] = [Object.entries(first), Object.keys(left)];
  if (fields.length === 0) return true;
  return (
    fields.length === others.length &&
    fields.every(([key, value]) => isShapedLike((left as Record<string, unknown>)[key], value))
  );
}
