/* The played night as paths for a drawing: what was planned, what flowed, and bath and voltage below, each on a lane of its own. Called by the outcome; pure. */
import type { RehearsalPoint, RehearsalResult } from '@bathkeeper/shared-core/trade';

export interface Lane {
  readonly path: string;
  readonly least: number;
  readonly most: number;
}

export interface PlayedShape {
  readonly hours: number;
  /** Both on one scale, from 0 to `mostAmps`. */
  readonly current: string;
  readonly planned: string;
  readonly mostAmps: number;
  /** From 0 to the planned thickness, or more where more came. */
  readonly thickness: string;
  readonly volts: Lane;
  readonly celsius: Lane;
  /** Places of the faults along the axis, 0 to `width`. */
  readonly faults: readonly number[];
}

/** Never flat: what moves by less than this fills a part of its lane only. */
const LEAST_SPAN = 0.5;

/** `height`: of each lane. null: nothing was played. */
export function playedShape(
  { points, planned, faults, averageThicknessMicrometres }: RehearsalResult,
  width: number,
  height: number,
): PlayedShape | null {
  const last = points.at(-1);
  if (last === undefined || last.afterHours <= 0) return null;
  const hours = Math.max(last.afterHours, planned.at(-1)?.afterHours ?? 0);
  const x = (afterHours: number): string => ((width * afterHours) / hours).toFixed(1);
  const line = (at: readonly { afterHours: number }[], y: (index: number) => number): string =>
    `M${at.map(({ afterHours }, index) => `${x(afterHours)} ${(height - y(index) * (height - 2)).toFixed(1)}`).join('L')}`;
  const mostAmps = Math.max(...points.map((p) => p.currentAmps), ...planned.map((p) => p.currentAmps), 1e-9);
  const mostMicrometres = Math.max(averageThicknessMicrometres.planned, averageThicknessMicrometres.played, 1e-9);
  const lane = (read: (point: RehearsalPoint) => number): Lane => {
    const values = points.map(read);
    const [least, most] = [Math.min(...values), Math.max(...values)];
    const span = Math.max(most - least, LEAST_SPAN);
    return { path: line(points, (index) => (values[index]! - least) / span), least, most };
  };
  return {
    hours,
    mostAmps,
    current: line(points, (index) => points[index]!.currentAmps / mostAmps),
    planned: line(planned, (index) => planned[index]!.currentAmps / mostAmps),
    thickness:
      line(points, (index) => points[index]!.averageThicknessMicrometres / mostMicrometres).replace(
        'M',
        `M0 ${String(height)}L`,
      ) + `L${x(last.afterHours)} ${String(height)}Z`,
    volts: lane((point) => point.terminalVolts),
    celsius: lane((point) => point.bathCelsius),
    faults: faults.map(({ afterHours }) => Number(x(afterHours))),
  };
}
