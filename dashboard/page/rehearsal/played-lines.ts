/*
 * A played night before it is drawn: lines in a person's units over an axis of milliseconds from the first current, its phases, and one moment in words. Called by
 * the played band; pure.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import {
  clockFace,
  inUnits,
  type RehearsalPoint,
  type RehearsalResult,
  shownWith,
  type UnitSystem,
} from '@bathkeeper/shared-core/trade';
import type { BandAxis, BandPoint, PhaseSpan } from '../night/band-model.js';

export interface PlayedLines {
  readonly axis: BandAxis;
  readonly current: readonly BandPoint[];
  readonly planned: readonly BandPoint[];
  readonly thickness: readonly BandPoint[];
  readonly volts: readonly BandPoint[];
  readonly bath: readonly BandPoint[];
  /** When the faults began. */
  readonly faults: readonly number[];
}

const HOUR = 3_600_000;

/** The axis goes on to the planned end, so that it shows what is missing. */
export function playedLines({ points, planned, faults }: RehearsalResult, units: UnitSystem): PlayedLines {
  const line = (read: (point: RehearsalPoint) => number): BandPoint[] =>
    points.map((point) => ({ x: point.afterHours * HOUR, y: read(point) }));
  const endHours = Math.max(points.at(-1)?.afterHours ?? 0, planned.at(-1)?.afterHours ?? 0);
  return {
    axis: { fromMs: 0, toMs: Math.max(60_000, endHours * HOUR) },
    current: line((point) => point.currentAmps),
    planned: planned.map(({ afterHours, currentAmps }) => ({ x: afterHours * HOUR, y: currentAmps })),
    thickness: line((point) => inUnits(point.averageThicknessMicrometres, 'µm', units).value),
    volts: line((point) => point.terminalVolts),
    bath: line((point) => inUnits(point.bathCelsius, '°C', units).value),
    faults: faults.map(({ afterHours }) => afterHours * HOUR),
  };
}

/** Phases with their ends, as far as they were played. */
export function playedSpans({ phases, points }: RehearsalResult): PhaseSpan[] {
  const endMs = (points.at(-1)?.afterHours ?? 0) * HOUR;
  return phases
    .map(({ phase, afterHours }, index) => ({
      phase,
      fromMs: afterHours * HOUR,
      toMs: Math.min(endMs, (phases[index + 1]?.afterHours ?? Infinity) * HOUR),
    }))
    .filter(({ phase, fromMs, toMs }) => toMs > fromMs && phase !== Phase.done && phase !== Phase.idle);
}

/** Example: "After 1:30 h: 3.85 A, 33 µm on average, 7.5 V, bath 24 °C". Undefined where nothing was played. */
export function playedMoment({ points }: RehearsalResult, afterMs: number, units: UnitSystem): string | undefined {
  const hours = afterMs / HOUR;
  const next = points.findIndex(({ afterHours }) => afterHours >= hours);
  const [one, other] = [points[Math.max(0, next - 1)], points[next]];
  if (one === undefined || other === undefined) return undefined;
  const near = hours - one.afterHours < other.afterHours - hours ? one : other;
  return [
    `After ${clockFace(near.afterHours)} h: ${shownWith(near.currentAmps, 'A', units, 3)}`,
    `${shownWith(near.averageThicknessMicrometres, 'µm', units, 3)} on average`,
    shownWith(near.terminalVolts, 'V', units, 2),
    `bath ${shownWith(near.bathCelsius, '°C', units, 3)}`,
  ].join(', ');
}
