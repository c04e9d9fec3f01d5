/*
 * The outline of the demo part, a fluted bell: its profile, the same profile with copper grown on it, and the line that
 * a flute draws on it. Called by the drawing; pure geometry in the drawing's own units, the shaft's axis at x = 0.
 */

export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Neck at the top, lip at the bottom. */
const HEIGHT = 150;
const NECK = 15;
const LIP = 66;

/** Radius at a height, t from 0 (neck) to 1 (lip): shoulder, waist and flare of a bell. */
export function bellRadius(t: number): number {
  const shoulder = 1 - Math.pow(1 - Math.min(1, t / 0.42), 2.4);
  const flare = Math.pow(Math.max(0, (t - 0.3) / 0.7), 2.2);
  return NECK + (LIP - NECK) * (0.58 * shoulder + 0.42 * flare);
}

/** Right half of the profile, moved outward by `grown` along its normal. Ordered from neck to lip. */
export function bellProfile(grown: number, steps = 36): Point[] {
  const points: Point[] = [];
  for (let k = 0; k <= steps; k += 1) {
    const t = k / steps;
    const slope = (bellRadius(Math.min(1, t + 0.005)) - bellRadius(Math.max(0, t - 0.005))) / (0.01 * HEIGHT);
    const long = Math.hypot(1, slope);
    points.push({ x: bellRadius(t) + grown / long, y: t * HEIGHT - (grown * slope) / long });
  }
  return points;
}

function pathOf(points: readonly Point[], centreX: number, topY: number, mirrored: boolean): string {
  return points
    .map((p, k) => `${k === 0 ? 'M' : 'L'}${(centreX + (mirrored ? -p.x : p.x)).toFixed(1)} ${(topY + p.y).toFixed(1)}`)
    .join('');
}

/** The closed outline of the part with `grown` units of copper on it. */
export function bellOutline(grown: number, centreX: number, topY: number): string {
  const right = bellProfile(grown);
  const left = [...right].reverse().map((p) => ({ x: -p.x, y: p.y }));
  const [first, ...rest] = [...right, ...left].map((p) => `${(centreX + p.x).toFixed(1)} ${(topY + p.y).toFixed(1)}`);
  return `M${first}L${rest.join('L')}Z`;
}

/** One flute as seen at the right edge; the drawing narrows it as the part turns. */
export function bellFlute(centreX: number, topY: number): string {
  return pathOf(bellProfile(0).slice(2), centreX, topY, false);
}
