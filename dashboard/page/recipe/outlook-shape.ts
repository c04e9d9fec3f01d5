/* The night ahead as two small paths: the current as a line, the copper as a growing wedge. Called by the outlook; pure. */
import type { PlannedPoint } from '@bathkeeper/shared-core/messages';

export interface OutlookShape {
  readonly current: string;
  readonly thickness: string;
}

/** null: nothing to draw (fewer than two points, or no time between them). */
export function outlookShape(planned: readonly PlannedPoint[], width: number, height: number): OutlookShape | null {
  const first = planned[0];
  const last = planned.at(-1);
  if (!first || !last || last.atMs <= first.atMs) return null;
  const top = Math.max(...planned.map((p) => p.currentAmps), 1e-9);
  const thick = Math.max(...planned.map((p) => p.averageThicknessMicrometres), 1e-9);
  const x = (p: PlannedPoint): string => ((width * (p.atMs - first.atMs)) / (last.atMs - first.atMs)).toFixed(1);
  const y = (fraction: number): string => (height - fraction * (height - 6)).toFixed(1);
  const line = (read: (p: PlannedPoint) => number): string => planned.map((p) => `${x(p)} ${y(read(p))}`).join('L');
  return {
    current: `M${line((p) => p.currentAmps / top)}`,
    thickness: `M0 ${height}L${line((p) => p.averageThicknessMicrometres / thick)}L${width} ${height}Z`,
  };
}
