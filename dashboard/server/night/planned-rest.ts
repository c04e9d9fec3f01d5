/*
 * What is still to come of a run by its recipe, as a few straight pieces: for the night band and for "done about 06:40".
 * Called with the newest live message. It plans; it does not know what will go wrong.
 */
import { Phase } from '@bathkeeper/shared-core/control';
import type { LiveView, PlannedPoint, RecipeView } from '@bathkeeper/shared-core/messages';

type Standing = Pick<LiveView, 'phase' | 'phaseSeconds' | 'chargeAmpereHours' | 'permittedAmps' | 'derateFraction'>;

/**
 * Points from now on, the last one at zero current when the run opens. Empty when nobody can tell: held, tripped, idle, done.
 * A derated run is planned at its derated current.
 */
export function plannedRest(recipe: RecipeView, standing: Standing, nowMs: number): PlannedPoint[] {
  const { phase } = standing;
  if (phase < Phase.strike || phase > Phase.finish) return [];
  const thicknessPerAmpereHour = recipe.averageThicknessMicrometres / recipe.chargeAmpereHours;
  let atMs = nowMs;
  let chargeAmpereHours = standing.chargeAmpereHours;
  const points: PlannedPoint[] = [];
  const put = (currentAmps: number): void => {
    points.push({
      atMs: Math.round(atMs),
      currentAmps,
      averageThicknessMicrometres: chargeAmpereHours * thicknessPerAmpereHour,
    });
  };
  const go = (seconds: number, fromAmps: number, toAmps: number): void => {
    put(fromAmps);
    atMs += seconds * 1000;
    chargeAmpereHours += (((fromAmps + toAmps) / 2) * seconds) / 3600;
    put(toAmps);
  };
  const plateAmps = recipe.plateAmps * standing.derateFraction;
  if (phase === Phase.strike)
    go(Math.max(0, recipe.strikeSeconds - standing.phaseSeconds), recipe.strikeAmps, recipe.strikeAmps);
  if (phase <= Phase.ramp) {
    const fromAmps = phase === Phase.ramp ? Math.min(standing.permittedAmps, plateAmps) : recipe.strikeAmps;
    const climb = recipe.plateAmps - recipe.strikeAmps;
    const left = climb <= 0 ? 0 : (recipe.rampSeconds * Math.max(0, recipe.plateAmps - fromAmps)) / climb;
    go(Math.min(left, recipe.rampSeconds), fromAmps, plateAmps);
  }
  if (phase <= Phase.plate && plateAmps > 0) {
    const leftAmpereHours = Math.max(0, recipe.chargeAmpereHours - chargeAmpereHours);
    go((leftAmpereHours / plateAmps) * 3600, plateAmps, plateAmps);
  }
  const finishLeft =
    phase === Phase.finish ? Math.max(0, recipe.finishSeconds - standing.phaseSeconds) : recipe.finishSeconds;
  go(finishLeft, recipe.finishAmps, recipe.finishAmps);
  put(0);
  return points;
}

/** When the run will open by the recipe; null when nobody can tell. */
export function plannedFinishAtMs(recipe: RecipeView, standing: Standing, nowMs: number): number | null {
  return plannedRest(recipe, standing, nowMs).at(-1)?.atMs ?? null;
}
