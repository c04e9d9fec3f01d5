/*
 * Current density along the panel of a Hull cell, and what was seen where in those terms. Called where a panel is written into the ledger and by its drawing.
 * The published line holds on the middle of the panel; beyond it there is no figure, and against real panels it is good to about a fifth.
 */

/** How a stretch of the panel looked. */
export const hullLooks = {
  bright: 'bright',
  hazy: 'hazy',
  dull: 'dull',
  burnt: 'burnt',
  rough: 'rough',
  pitted: 'pitted',
  striped: 'striped',
  bare: 'bare of copper',
} as const;
export type HullLook = keyof typeof hullLooks;

/** i[A/ft²] = I (constant − slope · log10 L[in]), for L from `fromInches` to `toInches`. */
interface PublishedLine {
  readonly constant: number;
  readonly slope: number;
  readonly fromInches: number;
  readonly toInches: number;
  readonly panelMm: number;
}

/**
 * Both lines, and 0.25 to 3.25 in of the small cell: Metal Finishing Guidebook 2013, p. 482. The ends of the large cell's line and the lengths of the panels: common
 * practice, no source.
 */
const lines = {
  '267 mL': { constant: 27.7, slope: 48.7, fromInches: 0.25, toInches: 3.25, panelMm: 102 },
  '1 L': { constant: 18.8, slope: 28.3, fromInches: 0.25, toInches: 4.25, panelMm: 127 },
} as const satisfies Record<string, PublishedLine>;
export type HullCell = keyof typeof lines;
export const hullCells = Object.keys(lines) as [HullCell, ...HullCell[]];

const MM_PER_INCH = 25.4;
const SQUARE_FOOT_DM2 = 9.290304;

/** A stretch of the panel, in millimetres from the edge of the highest current density. */
export interface HullSeen {
  readonly look: HullLook;
  readonly fromMm: number;
  readonly toMm: number;
}

/** The same with the current densities at its two ends, A/dm²; null: outside of what the formula is good for. */
export interface HullFound extends HullSeen {
  readonly highAmpsPerDm2: number | null;
  readonly lowAmpsPerDm2: number | null;
}

/** Length of the panel below which positions lie. */
export function hullPanelMm(cell: HullCell): number {
  return lines[cell].panelMm;
}

/** Where along the panel the formula holds, mm from the edge of the highest current density. Example: of 267 mL from 6.35 to 82.55. */
export function hullRangeMm(cell: HullCell): { readonly fromMm: number; readonly toMm: number } {
  const { fromInches, toInches } = lines[cell];
  return { fromMm: fromInches * MM_PER_INCH, toMm: toInches * MM_PER_INCH };
}

/** A/dm² at a place of the panel; null outside of the formula's range. Example: `hullAmpsPerDm2('267 mL', 1, 20)` is 3.523. */
export function hullAmpsPerDm2(cell: HullCell, cellAmps: number, fromEdgeMm: number): number | null {
  const { fromMm, toMm } = hullRangeMm(cell);
  if (fromEdgeMm < fromMm || fromEdgeMm > toMm) return null;
  const { constant, slope } = lines[cell];
  return (cellAmps * (constant - slope * Math.log10(fromEdgeMm / MM_PER_INCH))) / SQUARE_FOOT_DM2;
}

/** What was seen, with the current densities at which it was. */
export function hullFound(cell: HullCell, cellAmps: number, seen: readonly HullSeen[]): HullFound[] {
  return seen.map((one) => ({
    ...one,
    highAmpsPerDm2: hullAmpsPerDm2(cell, cellAmps, one.fromMm),
    lowAmpsPerDm2: hullAmpsPerDm2(cell, cellAmps, one.toMm),
  }));
}
