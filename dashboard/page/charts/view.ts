/*
 * The stretch of an axis that is looked at, and how a hand moves it: zoom about a place, pan, never beyond what there is. Called by the charts, with milliseconds
 * of time or with any other measure of their axis; pure.
 */

/** From the left end of the axis to its right one, in the axis's own measure. */
export interface View {
  readonly from: number;
  readonly to: number;
}

export interface ViewLimits {
  /** The whole of what can be looked at. */
  readonly whole: View;
  /** No view is shorter. */
  readonly least: number;
}

/** Ten records of a second each: closer there is nothing more to see. */
export const LEAST_MS = 10_000;

export const lengthOf = ({ from, to }: View): number => to - from;

/** The view with its length and its place put right: the length first, so that a view at the end stays at the end. */
export function within({ from, to }: View, { whole, least }: ViewLimits): View {
  const length = Math.min(lengthOf(whole), Math.max(least, to - from));
  const middle = (from + to) / 2;
  const begin = length === to - from ? from : middle - length / 2;
  const placed = Math.max(whole.from, Math.min(begin, whole.to - length));
  return { from: placed, to: placed + length };
}

/**
 * `factor` over 1 looks closer; what lies at `share` of the view (0 left, 1 right) stays where it is.
 *
 * @example
 * zoomed({ from: 0, to: 100 }, 2, 0.5, limits); // from 25 to 75
 */
export function zoomed(view: View, factor: number, share: number, limits: ViewLimits): View {
  const { whole, least } = limits;
  const length = Math.min(lengthOf(whole), Math.max(least, lengthOf(view) / factor));
  const fixed = view.from + share * lengthOf(view);
  const from = fixed - share * length;
  return within({ from, to: from + length }, limits);
}

/** Moved by a share of its own length; positive looks later. */
export function panned(view: View, share: number, limits: ViewLimits): View {
  const step = share * lengthOf(view);
  return within({ from: view.from + step, to: view.to + step }, limits);
}

/** Where two fingers began and where they are, as shares of the view: what lay under each stays under it. */
export function pinched(
  view: View,
  began: readonly [number, number],
  now: readonly [number, number],
  limits: ViewLimits,
): View {
  const apart = Math.abs(now[1] - now[0]);
  const before = Math.abs(began[1] - began[0]);
  if (apart < 1e-6 || before < 1e-6) return view;
  const length = Math.min(lengthOf(limits.whole), Math.max(limits.least, (lengthOf(view) * before) / apart));
  const middleWas = view.from + ((began[0] + began[1]) / 2) * lengthOf(view);
  const from = middleWas - ((now[0] + now[1]) / 2) * length;
  return within({ from, to: from + length }, limits);
}

export const isSame = (one: View, other: View): boolean => one.from === other.from && one.to === other.to;
