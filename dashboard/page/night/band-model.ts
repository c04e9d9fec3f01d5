/*
 * The night band before it is drawn: lines of points, gaps, the axis, its ticks, marks that do not overlap.
 * Called by the band and its table; pure, knows nothing of the chart library.
 */
import type { Phase } from '@bathkeeper/shared-core/control';
import type { NightSeries, RecipeView } from '@bathkeeper/shared-core/messages';
import { inUnits, type UnitSystem } from '@bathkeeper/shared-core/trade';
import { thicknessMicrometresAt } from '../words/deposit.js';

/** NaN in y: a gap. */
export interface BandPoint {
  readonly x: number;
  readonly y: number;
}

export interface BandLines {
  readonly current: BandPoint[];
  readonly currentMin: BandPoint[];
  readonly currentMax: BandPoint[];
  readonly permitted: BandPoint[];
  readonly temperature: BandPoint[];
  readonly thickness: BandPoint[];
  readonly plannedCurrent: BandPoint[];
  readonly plannedThickness: BandPoint[];
}

const numberOrGap = (value: number | null): number => value ?? Number.NaN;

/** Where nothing was recorded the line is broken: a hole must look like one. */
function gapMs(series: NightSeries): number {
  const { measured } = series;
  if (measured.length < 3) return Infinity;
  const spacings = measured.slice(1).map((point, k) => point.atMs - measured[k]!.atMs);
  spacings.sort((a, b) => a - b);
  return Math.max(20_000, 4 * spacings[Math.floor(spacings.length / 2)]!);
}

/** Lines in the order of time, thickness and temperature in a person's units. The planned lines begin where the measured ones end, so that the eye can follow. */
export function bandLines(series: NightSeries, recipe: RecipeView, units: UnitSystem = 'metric'): BandLines {
  const thickness = (micrometres: number): number => inUnits(micrometres, 'µm', units).value;
  const temperature = (celsius: number | null): number =>
    celsius === null ? Number.NaN : inUnits(celsius, '°C', units).value;
  const lines: { [K in keyof BandLines]: BandPoint[] } = {
    current: [],
    currentMin: [],
    currentMax: [],
    permitted: [],
    temperature: [],
    thickness: [],
    plannedCurrent: [],
    plannedThickness: [],
  };
  const gap = gapMs(series);
  let beforeMs: number | null = null;
  for (const point of series.measured) {
    if (beforeMs !== null && point.atMs - beforeMs > gap) {
      const x = (beforeMs + point.atMs) / 2;
      for (const line of [lines.current, lines.currentMin, lines.currentMax, lines.permitted, lines.temperature]) {
        line.push({ x, y: Number.NaN });
      }
    }
    const x = point.atMs;
    lines.current.push({ x, y: numberOrGap(point.currentAmps) });
    lines.currentMin.push({ x, y: numberOrGap(point.currentAmpsMin) });
    lines.currentMax.push({ x, y: numberOrGap(point.currentAmpsMax) });
    lines.permitted.push({ x, y: point.permittedAmps });
    lines.temperature.push({ x, y: temperature(point.bathTemperatureCelsius) });
    lines.thickness.push({ x, y: thickness(thicknessMicrometresAt(recipe, point.chargeAmpereHours)) });
    beforeMs = x;
  }
  for (const point of series.planned) {
    lines.plannedCurrent.push({ x: point.atMs, y: point.currentAmps });
    lines.plannedThickness.push({ x: point.atMs, y: thickness(point.averageThicknessMicrometres) });
  }
  return lines;
}

export interface BandAxis {
  readonly fromMs: number;
  readonly toMs: number;
}

/** From the start to the planned finish; while the run lasts never shorter than until now. At least a minute. */
export function bandAxis(series: NightSeries, nowMs: number, isRunning: boolean): BandAxis {
  const fromMs = Math.min(series.startedAtMs, series.measured[0]?.atMs ?? Infinity);
  const toMs = Math.max(
    series.measured.at(-1)?.atMs ?? fromMs,
    series.planned.at(-1)?.atMs ?? fromMs,
    isRunning ? nowMs : fromMs,
    fromMs + 60_000,
  );
  return { fromMs, toMs };
}

/** Of a lane's height, kept free at both ends: in the lowest lane of a band, some 72 pixels, half a line of its numbers. */
const LANE_EDGE = 0.085;

/** Round values inside a lane, about `count`, two at least: one alone is no scale. Away from the edges, where they would run into the next lane's. */
export function laneTickValues(from: number, to: number, count: number): number[] {
  const rough = (to - from) / Math.max(1, count);
  const power = Math.pow(10, Math.floor(Math.log10(rough)));
  const edge = (to - from) * LANE_EDGE;
  const steps = [10, 5, 2, 1, 0.5, 0.2, 0.1].map((factor) => factor * power);
  const first = Math.max(
    0,
    steps.findLastIndex((step) => step >= rough * 0.999),
  );
  let values: number[] = [];
  for (const step of steps.slice(first)) {
    values = [];
    for (let k = Math.floor((from + edge) / step) + 1; k * step < to - edge; k += 1) values.push(k * step);
    if (values.length >= 2) break;
  }
  return values;
}

/** 0 at the left end of the axis, 1 at the right; clamped. */
export function axisFraction(axis: BandAxis, atMs: number): number {
  return Math.min(1, Math.max(0, (atMs - axis.fromMs) / (axis.toMs - axis.fromMs)));
}

export interface PhaseSpan {
  readonly phase: Phase;
  readonly fromMs: number;
  readonly toMs: number;
}

/** Phases with their ends; the last one ends now, or with the run. */
export function phaseSpans(series: NightSeries, endMs: number): PhaseSpan[] {
  return series.phases
    .map(({ phase, fromMs }, k) => ({ phase, fromMs, toMs: series.phases[k + 1]?.fromMs ?? Math.max(fromMs, endMs) }))
    .filter((span) => span.toMs > span.fromMs);
}

export interface MarkGroup<M> {
  /** Pixels from the left end of the axis. */
  readonly leftPixels: number;
  readonly marks: readonly M[];
}

/** Marks closer than a fingertip become one group. Sorted by time. */
export function groupedMarks<M extends { readonly atMs: number }>(
  marks: readonly M[],
  axis: BandAxis,
  widthPixels: number,
  fingertipPixels = 44,
): MarkGroup<M>[] {
  const groups: { leftPixels: number; firstPixels: number; marks: M[] }[] = [];
  for (const mark of [...marks].sort((a, b) => a.atMs - b.atMs)) {
    const left = axisFraction(axis, mark.atMs) * widthPixels;
    const last = groups.at(-1);
    if (last && left - last.leftPixels < fingertipPixels) {
      last.marks.push(mark);
      // The group stays within a fingertip of its neighbours: it never wanders more than it must.
      last.leftPixels = Math.min((last.firstPixels + left) / 2, last.firstPixels + fingertipPixels / 2);
    } else groups.push({ leftPixels: left, firstPixels: left, marks: [mark] });
  }
  return groups.map(({ leftPixels, marks: grouped }) => ({ leftPixels, marks: grouped }));
}
