/*
 * The night that a recipe would make, or what is left of it, as a few straight pieces: for the night band, for "done about 06:40",
 * and for the length of a run before it starts. It uses the very set-point that the controller runs; it does not know what will go wrong,
 * nor how long a ramp will wait for its cell or for a person; the second or two in which polarity is proven are left out.
 */
import { Phase } from '../control/phase.js';
import type { Recipe } from '../control/recipe.js';
import { setPointAmps } from '../control/set-point.js';
import type { LiveView, PlannedPoint, RecipeView } from '../messages/api.js';

/** What of a recipe makes the night's shape. */
export type NightRecipe = Pick<
  Recipe,
  'strikeAmps' | 'strikeSeconds' | 'rampSeconds' | 'plateAmps' | 'chargeMilliCoulombs' | 'finishAmps' | 'finishSeconds'
>;

/** Where a run stands when the plan begins. */
export interface NightStanding {
  readonly phase: Phase;
  readonly phaseSeconds: number;
  readonly chargeMilliCoulombs: number;
  /** In a ramp: the set-point now, since a ramp after a hold did not begin at strikeAmps. Not given: the ramp began there. */
  readonly rampAmps?: number;
  /** What is left of the set-point up to the end of plating, 1 when nothing derates. */
  readonly derateFraction: number;
}

/** A corner of the plan; the current runs straight from one to the next. */
export interface NightPoint {
  /** From the beginning of the plan. */
  readonly afterSeconds: number;
  readonly phase: Phase;
  readonly currentAmps: number;
  readonly chargeMilliCoulombs: number;
}

const START: NightStanding = { phase: Phase.strike, phaseSeconds: 0, chargeMilliCoulombs: 0, derateFraction: 1 };
/** Charge is curved within a ramp; with this many straight pieces it is drawn within a hundredth of the ramp's charge. */
const RAMP_PIECES = 8;

/** Seconds until a current that runs straight from one value to another in `seconds` has given `coulombs`; more than `seconds` when it has not. */
function secondsToCharge(coulombs: number, seconds: number, fromAmps: number, toAmps: number): number {
  if (coulombs <= 0) return 0;
  if (((fromAmps + toAmps) / 2) * seconds < coulombs) return Infinity;
  const ampsPerSecond = (toAmps - fromAmps) / seconds;
  // The root of (slope / 2) t^2 + from t = coulombs in the form that does not divide by a slope of zero.
  return (2 * coulombs) / (fromAmps + Math.sqrt(fromAmps * fromAmps + 2 * ampsPerSecond * coulombs));
}

/**
 * The corners from the standing on (without one: from the start) to the open contactor; the last has no current. Charge counts all phases.
 * Empty when nobody can tell: idle, ready, held, tripped, done; or a recipe whose current never reaches its charge.
 *
 * Example: 2 A for 600 s, up to 12 A in 1800 s, plate to 100 Ah: from 0 s at 2 A and 600 s at 2 A to the top at 2400 s; 100 Ah at 31 250 s.
 */
export function plannedNight(recipe: NightRecipe, standing: NightStanding = START): NightPoint[] {
  const { derateFraction } = standing;
  const isProving = standing.phase === Phase.polarity;
  const phase = isProving ? Phase.strike : standing.phase;
  if (phase < Phase.strike || phase > Phase.finish) return [];
  const points: NightPoint[] = [];
  let afterSeconds = 0;
  let chargeMilliCoulombs = standing.chargeMilliCoulombs;
  const put = (at: Phase, currentAmps: number): void => {
    const last = points.at(-1);
    const isSamePlace = last && last.afterSeconds === afterSeconds && last.currentAmps === currentAmps;
    if (!isSamePlace || last.phase !== at) points.push({ afterSeconds, phase: at, currentAmps, chargeMilliCoulombs });
  };
  /** One straight piece, cut where the charge is reached; says whether it was. */
  const reachesCharge = (at: Phase, seconds: number, fromAmps: number, toAmps: number): boolean => {
    const coulombsLeft = (recipe.chargeMilliCoulombs - chargeMilliCoulombs) / 1000;
    const cutSeconds = secondsToCharge(coulombsLeft, seconds, fromAmps, toAmps);
    put(at, fromAmps);
    if (cutSeconds <= seconds) {
      afterSeconds += cutSeconds;
      chargeMilliCoulombs = Math.max(chargeMilliCoulombs, recipe.chargeMilliCoulombs);
      put(at, seconds > 0 ? fromAmps + ((toAmps - fromAmps) * cutSeconds) / seconds : fromAmps);
      return true;
    }
    afterSeconds += seconds;
    chargeMilliCoulombs += ((fromAmps + toAmps) / 2) * seconds * 1000;
    put(at, toAmps);
    return false;
  };

  let isReached = phase === Phase.finish;
  if (phase === Phase.strike) {
    const strikeAmps = recipe.strikeAmps * derateFraction;
    isReached = reachesCharge(
      Phase.strike,
      Math.max(0, recipe.strikeSeconds - (isProving ? 0 : standing.phaseSeconds)),
      strikeAmps,
      strikeAmps,
    );
  }
  if (!isReached && phase <= Phase.ramp) {
    const climbAmps = recipe.plateAmps - recipe.strikeAmps;
    const begunAmps =
      phase === Phase.strike
        ? recipe.strikeAmps
        : (standing.rampAmps ?? setPointAmps(recipe as Recipe, Phase.ramp, standing.phaseSeconds, recipe.strikeAmps));
    const rampSeconds = climbAmps > 0 ? (recipe.rampSeconds * (recipe.plateAmps - begunAmps)) / climbAmps : 0;
    for (let piece = 0; piece < RAMP_PIECES && rampSeconds > 0 && !isReached; piece++) {
      const ampsAfter = (pieces: number): number =>
        (begunAmps + ((recipe.plateAmps - begunAmps) * pieces) / RAMP_PIECES) * derateFraction;
      isReached = reachesCharge(Phase.ramp, rampSeconds / RAMP_PIECES, ampsAfter(piece), ampsAfter(piece + 1));
    }
  }
  if (!isReached) {
    const plateAmps = recipe.plateAmps * derateFraction;
    const seconds = Math.max(0, (recipe.chargeMilliCoulombs - chargeMilliCoulombs) / 1000) / plateAmps;
    if (!isFinite(seconds)) return [];
    reachesCharge(Phase.plate, seconds, plateAmps, plateAmps);
    chargeMilliCoulombs = Math.max(chargeMilliCoulombs, recipe.chargeMilliCoulombs);
  }
  const finishSeconds = Math.max(0, recipe.finishSeconds - (phase === Phase.finish ? standing.phaseSeconds : 0));
  put(Phase.finish, recipe.finishAmps);
  afterSeconds += finishSeconds;
  chargeMilliCoulombs += recipe.finishAmps * finishSeconds * 1000;
  put(Phase.finish, recipe.finishAmps);
  put(Phase.done, 0);
  return points;
}

/** Seconds from the plan's beginning until its charge is reached, of the points of plannedNight; 0 when there are none. */
export function secondsToFinish(points: readonly NightPoint[]): number {
  return points.find((point) => point.phase === Phase.finish)?.afterSeconds ?? 0;
}

/** The points as the page draws them, from `nowMs` on. `micrometresPerMilliCoulomb`: average thickness of one millicoulomb on this part. */
export function plannedPoints(
  points: readonly NightPoint[],
  nowMs: number,
  micrometresPerMilliCoulomb: number,
): PlannedPoint[] {
  return points.map((point) => ({
    atMs: Math.round(nowMs + point.afterSeconds * 1000),
    currentAmps: point.currentAmps,
    averageThicknessMicrometres: point.chargeMilliCoulombs * micrometresPerMilliCoulomb,
  }));
}

/**
 * What is still to come of a run, from its recipe and the newest live message: the points of the band's future, the last without current.
 * Empty when nobody can tell (held, tripped, idle, done). A derated run is planned at its derated current, as if the cause stayed.
 */
export function plannedRest(
  recipe: RecipeView,
  live: Pick<
    LiveView,
    'phase' | 'phaseSeconds' | 'chargeAmpereHours' | 'permittedAmps' | 'derateFraction' | 'loweredToAmps'
  >,
  nowMs: number,
): PlannedPoint[] {
  const chargeMilliCoulombs = Math.round(recipe.chargeAmpereHours * 3.6e6);
  // A lowering in plate is planned as if it stayed; earlier the slope of the ramp would be another one, so there it is left out.
  const lowered = live.phase === Phase.plate ? (live.loweredToAmps ?? Infinity) : Infinity;
  const points = plannedNight(
    { ...recipe, chargeMilliCoulombs, plateAmps: Math.min(recipe.plateAmps, lowered) },
    {
      phase: live.phase,
      phaseSeconds: live.phaseSeconds,
      chargeMilliCoulombs: live.chargeAmpereHours * 3.6e6,
      rampAmps: Math.min(recipe.plateAmps, live.permittedAmps / live.derateFraction),
      derateFraction: live.derateFraction,
    },
  );
  return plannedPoints(points, nowMs, recipe.averageThicknessMicrometres / chargeMilliCoulombs);
}
