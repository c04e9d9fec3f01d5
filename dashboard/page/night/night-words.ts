/*
 * The night in words: what the band shows, what stood at one moment of it, and its table by the hour.
 * Called by the band; pure.
 */
import type { NightPoint, NightSeries, RecipeView } from '@bathkeeper/shared-core/messages';
import { thicknessMicrometresAt } from '../words/deposit.js';
import { ampsWords, celsiusWords, micrometresWords, rotationWords } from '../words/numbers.js';
import type { Reader } from '../words/reader.js';
import { clockTime, nearTimeWords } from '../words/times.js';

/** Example: "Night from 22:10: 842 points, current between 3.5 A and 19.3 A, bath between 21.8 °C and 25.1 °C, 212 µm so far; 1 alarm." */
export function nightSummary(
  series: NightSeries,
  recipe: RecipeView,
  nowMs: number,
  { timeZone, units }: Reader = {},
): string {
  const from = `Night from ${nearTimeWords(series.startedAtMs, nowMs, timeZone)}`;
  const last = series.measured.at(-1);
  if (!last) return `${from}: nothing measured yet.`;
  const lows = series.measured.flatMap((p) => p.currentAmpsMin ?? []);
  const highs = series.measured.flatMap((p) => p.currentAmpsMax ?? []);
  const bath = series.measured.flatMap((p) => p.bathTemperatureCelsius ?? []);
  const clauses: string[] = [];
  if (highs.length > 0) clauses.push(`current between ${ampsWords(least(lows))} and ${ampsWords(most(highs))}`);
  if (bath.length > 0)
    clauses.push(`bath between ${celsiusWords(least(bath), units)} and ${celsiusWords(most(bath), units)}`);
  clauses.push(`${micrometresWords(thicknessMicrometresAt(recipe, last.chargeAmpereHours), units)} so far`);
  const end = series.planned.at(-1);
  if (end) clauses.push(`planned to end ${nearTimeWords(end.atMs, nowMs, timeZone)}`);
  const count = series.alarms.length;
  return `${from}: ${clauses.join(', ')}; ${count === 0 ? 'no alarm' : count === 1 ? '1 alarm' : `${count} alarms`}.`;
}

const least = (values: readonly number[]): number => values.reduce((a, b) => Math.min(a, b), Infinity);
const most = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), -Infinity);

/** The measured point next to a moment, or null when there is none within `withinMs`. */
export function pointNear(series: NightSeries, atMs: number, withinMs: number): NightPoint | null {
  let nearest: NightPoint | null = null;
  let distance = withinMs;
  for (const point of series.measured) {
    const away = Math.abs(point.atMs - atMs);
    if (away <= distance) {
      nearest = point;
      distance = away;
    }
  }
  return nearest;
}

/** Example: "03:10: 18.9 A (18.6 to 19.2 A), 19.2 A permitted, bath 24.1 °C, 141 µm". */
export function pointWords(point: NightPoint, recipe: RecipeView, { timeZone, units }: Reader = {}): string {
  const spread =
    point.currentAmpsMin !== null && point.currentAmpsMax !== null && point.currentAmpsMax - point.currentAmpsMin > 0.05
      ? ` (${ampsWords(point.currentAmpsMin)} to ${ampsWords(point.currentAmpsMax)})`
      : '';
  return [
    `${clockTime(point.atMs, timeZone)}: ${ampsWords(point.currentAmps)}${spread}`,
    `${ampsWords(point.permittedAmps)} permitted`,
    `bath ${celsiusWords(point.bathTemperatureCelsius, units)}`,
    micrometresWords(thicknessMicrometresAt(recipe, point.chargeAmpereHours), units),
  ].join(', ');
}

export interface NightRow {
  readonly atMs: number;
  readonly time: string;
  readonly current: string;
  readonly temperature: string;
  readonly rotation: string;
  readonly thickness: string;
}

/** At most 24 rows, evenly in time, first and last included. */
export function nightRows(series: NightSeries, recipe: RecipeView, reader: Reader = {}, rows = 12): NightRow[] {
  const { timeZone, units } = reader;
  const { measured } = series;
  const wanted = Math.min(rows, 24, measured.length);
  const chosen = new Set<NightPoint>();
  for (let k = 0; k < wanted; k += 1) {
    const point = measured[wanted === 1 ? 0 : Math.round((k * (measured.length - 1)) / (wanted - 1))];
    if (point) chosen.add(point);
  }
  return [...chosen].map((point) => ({
    atMs: point.atMs,
    time: clockTime(point.atMs, timeZone),
    current: ampsWords(point.currentAmps),
    temperature: celsiusWords(point.bathTemperatureCelsius, units),
    rotation: rotationWords(point.rotationPulsesPerMinute),
    thickness: micrometresWords(thicknessMicrometresAt(recipe, point.chargeAmpereHours), units),
  }));
}
