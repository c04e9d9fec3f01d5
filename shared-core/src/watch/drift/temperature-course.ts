/*
 * Bath temperature: its slope over the last eight minutes, and when it will be at its limit if it goes on like that. A bath of tens of litres
 * has a time constant of hours, so for half an hour a straight line is right to a few per cent. Called by the drift watch with each block.
 */
import { type Recent, remember } from './block.js';
import { leastSquaresSlope } from './robust.js';

export interface TemperatureCourse {
  recent: Recent;
  /** Which way it stands; null: nothing stands. */
  direction: 'up' | 'down' | null;
  sinceMs: number;
  /** Blocks in a row that said the same as the newest. */
  saidCount: number;
  said: 'up' | 'down' | null;
}

export interface TemperatureTurn {
  readonly turned: 'raised' | 'cleared' | undefined;
  readonly celsius: number;
  readonly celsiusPerHour: number;
  /** When the limit is reached, were it to go on like that; null: it does not go there. */
  readonly limitAtMs: number | null;
}

const BLOCKS = 16;
const BLOCKS_MIN = 8;
/** Slower is the room's own day. */
const CELSIUS_PER_HOUR_MIN = 0.3;
const SLOPE_ERRORS = 4;
/** It is said when the limit is nearer than this; it is over when it is farther than that. */
export const SAID_MS = 60 * 60_000;
const OVER_MS = 90 * 60_000;
const SAID_BLOCKS = 2;
const OVER_BLOCKS = 6;

export function temperatureCourse(): TemperatureCourse {
  return { recent: { atMs: [], values: [] }, direction: null, sinceMs: 0, saidCount: 0, said: null };
}

/** Takes a block, in place. `coldCelsius` and `warmCelsius` are the recipe's limits. */
export function takeTemperature(
  course: TemperatureCourse,
  celsius: number,
  coldCelsius: number,
  warmCelsius: number,
  atMs: number,
): TemperatureTurn {
  const { recent } = course;
  remember(recent, atMs, celsius, BLOCKS);
  const hours = recent.atMs.map((at) => (at - atMs) / 3.6e6);
  const { slope, error } = leastSquaresSlope(hours, recent.values);
  const meanHours = hours.reduce((sum, hour) => sum + hour, 0) / hours.length;
  const fitted = recent.values.reduce((sum, value) => sum + value, 0) / hours.length - slope * meanHours;
  const isSloped =
    recent.atMs.length >= BLOCKS_MIN && Math.abs(slope) >= Math.max(CELSIUS_PER_HOUR_MIN, SLOPE_ERRORS * error);
  const direction = slope > 0 ? 'up' : 'down';
  const leftCelsius = direction === 'up' ? warmCelsius - fitted : fitted - coldCelsius;
  const leftMs = isSloped ? (Math.max(0, leftCelsius) / Math.abs(slope)) * 3.6e6 : Infinity;
  const horizonMs = course.direction === direction ? OVER_MS : SAID_MS;
  const said = leftMs <= horizonMs ? direction : null;
  course.saidCount = said === course.said ? course.saidCount + 1 : 1;
  course.said = said;
  const turn = (turned: TemperatureTurn['turned']): TemperatureTurn => ({
    turned,
    celsius: fitted,
    celsiusPerHour: slope,
    limitAtMs: Number.isFinite(leftMs) ? atMs + leftMs : null,
  });
  if (course.direction === null) {
    // Beyond its limit already it has an alarm of its own.
    if (said === null || course.saidCount < SAID_BLOCKS || leftCelsius <= 0) return turn(undefined);
    course.direction = said;
    // Where the slope met the level of the window's beginning.
    course.sinceMs = recent.atMs[0]!;
    return turn('raised');
  }
  if (said === course.direction || course.saidCount < OVER_BLOCKS) return turn(undefined);
  course.direction = null;
  return turn('cleared');
}
