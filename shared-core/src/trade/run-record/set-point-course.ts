/*
 * What a recipe asked for over time, after the fact: from what a controller told of its runs, the set-point of any span that was logged. Called by the
 * dashboard's series. The controller logs what it permitted, which is the set-point after lowering, derating and the rig's limits; what was asked before
 * those it does not log. So a ramp's set-point is known only where nothing eased it, and no guess is made where something did.
 */
import { Condition } from '../../control/codes.js';
import { conditionRows, Reaction, ROW_COLUMNS, RowColumn } from '../../control/conditions.js';
import { isLive, Phase } from '../../control/phase.js';
import type { Recipe } from '../../control/recipe.js';
import { setPointAmps } from '../../control/set-point.js';
import { EventKind } from '../../control/signals.js';
import type { ToldEvent } from './told-of-run.js';

/** An event with the run it belongs to. */
export interface ToldOfRun extends ToldEvent {
  readonly incarnation: number;
  /** Of that run; null: this dashboard does not know it. */
  readonly recipe: Recipe | null;
}

/** A span in which the phase was one, and so was whether something eased the current. */
export interface SetPointStretch {
  readonly fromMs: number;
  /** Exclusive; Infinity of the last one. */
  readonly untilMs: number;
  readonly phase: Phase;
  /** What the recipe asks for; null: it climbs (a ramp), or the recipe is not known. */
  readonly amps: number | null;
  /** Somebody had lowered it, a condition derated it, or a start backed off: less than the set-point was permitted. */
  readonly isEased: boolean;
}

/** Of EventKind.rampTold. */
const LOWERING_LIFTED = 5;

/** What leaves less than the set-point while it stands. A hold and a finish have set-points of their own. */
export const easingConditions: readonly number[] = Object.values(Condition).filter(
  (code) =>
    conditionRows[(code - 1) * ROW_COLUMNS + RowColumn.reaction] === Reaction.derate ||
    code === Condition.contactWeakInStart,
);

/** What eases the current at a moment, told step by step. */
class Easing {
  readonly #standing = new Set<number>();
  #isLowered = false;

  get any(): boolean {
    return this.#isLowered || this.#standing.size > 0;
  }

  hear({ kind, code }: ToldEvent): void {
    // A restart forgets both; so does a start, of a lowering.
    if (kind === EventKind.booted) this.#standing.clear();
    if (kind === EventKind.booted || (kind === EventKind.phaseEntered && code === Phase.polarity))
      this.#isLowered = false;
    if (kind === EventKind.lowered) this.#isLowered = true;
    if (kind === EventKind.rampTold && code === LOWERING_LIFTED) this.#isLowered = false;
    if (!easingConditions.includes(code)) return;
    if (kind === EventKind.conditionRaised) this.#standing.add(code);
    if (kind === EventKind.conditionCleared) this.#standing.delete(code);
  }
}

function askedAmps(phase: Phase, recipe: Recipe | null): number | null {
  if (!isLive(phase)) return 0;
  return phase === Phase.ramp || recipe === null ? null : setPointAmps(recipe, phase, 0, recipe.strikeAmps);
}

/** What was before the first that was told: the phase that it left. */
function leftPhase({ a, atMs }: ToldOfRun): SetPointStretch {
  return { fromMs: -Infinity, untilMs: atMs, phase: a as Phase, amps: askedAmps(a as Phase, null), isEased: isLive(a as Phase) };
} // prettier-ignore

/**
 * The course of the set-point of one controller, from its events in their order (kinds booted, phaseEntered, conditionRaised and -Cleared, rampTold, lowered).
 * Before the first phase that was told stands the phase that it left.
 */
export function setPointCourse(events: readonly ToldOfRun[]): SetPointStretch[] {
  const course: SetPointStretch[] = [];
  let easing = new Easing();
  let incarnation: number | undefined;
  let phase: Phase | undefined;
  let recipe: Recipe | null = null;
  for (const event of events) {
    // Another memory knows nothing of what stood before.
    if (incarnation !== undefined && incarnation !== event.incarnation) easing = new Easing();
    incarnation = event.incarnation;
    easing.hear(event);
    if (event.kind === EventKind.phaseEntered) {
      if (phase === undefined) course.push(leftPhase(event));
      phase = event.code as Phase;
      recipe = event.recipe;
    }
    if (phase === undefined) continue;
    const before = course.pop();
    if (before !== undefined && before.fromMs < event.atMs) course.push({ ...before, untilMs: event.atMs });
    course.push({
      ...{ fromMs: event.atMs, untilMs: Infinity, phase },
      ...{ amps: askedAmps(phase, recipe), isEased: isLive(phase) && easing.any },
    });
  }
  return course;
}

/** What was logged of a span, summed. */
export interface LoggedSpan {
  readonly fromMs: number;
  readonly untilMs: number;
  /** At its end. */
  readonly phase: Phase;
  readonly permittedMeanAmps: number;
  /** Every second of it was logged. */
  readonly isWhole: boolean;
}

/** Records come once a second, and events to a tenth. */
const SLACK_MS = 1000;

/**
 * Mean set-point in amperes over a span; 0 where nothing was asked for. null: the recipe is not known, what was told does not fit what was logged, or the
 * span has a ramp in it and something that eased the current.
 *
 * @example
 * // Plate at 20 A, lowered to 12 A all the while
 * meanSetPointAmps(course, { fromMs: 0, untilMs: 60_000, phase: Phase.plate, permittedMeanAmps: 12, isWhole: true }); // 20
 */
export function meanSetPointAmps(course: readonly SetPointStretch[], span: LoggedSpan): number | null {
  const { fromMs, untilMs, permittedMeanAmps } = span;
  const near = overlapping(course, fromMs - SLACK_MS, untilMs + SLACK_MS);
  if (near.length === 0) return isLive(span.phase) || permittedMeanAmps > 0 ? null : 0;
  if (!near.some(({ phase }) => phase === span.phase)) return null;
  const parts = near.filter((part) => part.fromMs < untilMs && part.untilMs > fromMs);
  const [first] = parts;
  if (first === undefined) return null;
  if (first.amps !== null && parts.every(({ amps }) => amps === first.amps)) return first.amps;
  if (!parts.some(({ isEased }) => isEased)) return permittedMeanAmps;
  if (!span.isWhole) return null;
  let [sum, lengthMs] = [0, 0];
  for (const part of parts) {
    if (part.amps === null) return null;
    const ms = Math.min(part.untilMs, untilMs) - Math.max(part.fromMs, fromMs);
    sum += part.amps * ms;
    lengthMs += ms;
  }
  return sum / lengthMs;
}

/** Those of a course that reach into a span, found by halving: of a year there are thousands. */
function overlapping(course: readonly SetPointStretch[], fromMs: number, untilMs: number): SetPointStretch[] {
  let [low, high] = [0, course.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (course[middle]!.untilMs <= fromMs) low = middle + 1;
    else high = middle;
  }
  const found: SetPointStretch[] = [];
  for (let at = low; at < course.length && course[at]!.fromMs < untilMs; at++) found.push(course[at]!);
  return found;
}
