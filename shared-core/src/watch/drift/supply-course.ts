/*
 * The supply's voltage while it holds its current: at its ceiling it can hold no longer, and before that it is seen climbing there. And whether
 * it makes of a new set-point what it made of the last one. Called by the drift watch with each block of plating.
 */
import { type Recent, remember } from './block.js';
import { leastSquaresSlope, median } from './robust.js';

export interface SupplyCourse {
  recent: Recent;
  isStanding: boolean;
  sinceMs: number;
  saidCount: number;
  isSaid: boolean;
}

export interface SupplyTurn {
  readonly turned: 'raised' | 'cleared' | undefined;
  readonly volts: number;
  readonly voltsBefore: number;
  readonly isAtCeiling: boolean;
  readonly ceilingVolts: number;
  readonly ceilingAtMs: number | null;
}

/** Twenty minutes. */
const BLOCKS = 40;
const BLOCKS_MIN = 20;
/** As the controller counts the ceiling. */
const CEILING = 0.95;
const SLOPE_ERRORS = 6;
/** A climb that is to be carried on for hours has to be one: so much of the voltage within the window. */
const CLIMB_FRACTION = 0.05;
/** Nobody can tell farther ahead from twenty minutes. */
const AHEAD_MS = 2 * 3.6e6;
const SAID_BLOCKS = 4;
const OVER_BLOCKS = 20;

export function supplyCourse(): SupplyCourse {
  return { recent: { atMs: [], values: [] }, isStanding: false, sinceMs: 0, saidCount: 0, isSaid: false };
}

/** As the controller counts it: so near to what it may give, a supply holds its voltage and no longer its current. */
export function isCeiling(volts: number, voltsMax: number): boolean {
  return volts >= CEILING * voltsMax;
}

/** Takes a block, in place. `untilMs`: the planned finish; what would come after it does not matter. */
export function takeVoltage(
  course: SupplyCourse,
  volts: number,
  voltsMax: number,
  untilMs: number | null,
  atMs: number,
): SupplyTurn {
  const { recent } = course;
  remember(recent, atMs, volts, BLOCKS);
  const ceilingVolts = CEILING * voltsMax;
  const hours = recent.atMs.map((at) => (at - atMs) / 3.6e6);
  const { slope, error } = leastSquaresSlope(hours, recent.values);
  const first = median(recent.values.slice(0, 5));
  const now = median(recent.values.slice(-5));
  const isClimbing =
    recent.atMs.length >= BLOCKS_MIN && slope > SLOPE_ERRORS * error && now - first > CLIMB_FRACTION * first;
  const isAtCeiling = isCeiling(volts, voltsMax);
  const leftMs = isAtCeiling ? 0 : isClimbing ? ((ceilingVolts - now) / slope) * 3.6e6 : Infinity;
  const isSaid = leftMs <= AHEAD_MS && (untilMs === null || atMs + leftMs <= untilMs);
  course.saidCount = isSaid === course.isSaid ? course.saidCount + 1 : 1;
  course.isSaid = isSaid;
  let turned: SupplyTurn['turned'];
  if (isSaid !== course.isStanding && course.saidCount >= (isSaid ? SAID_BLOCKS : OVER_BLOCKS)) {
    course.isStanding = isSaid;
    turned = isSaid ? 'raised' : 'cleared';
    if (isSaid) course.sinceMs = recent.atMs[0]!;
  }
  const ceilingAtMs = Number.isFinite(leftMs) ? atMs + leftMs : null;
  return { turned, volts: now, voltsBefore: first, isAtCeiling, ceilingVolts, ceilingAtMs };
}
