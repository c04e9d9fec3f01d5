/*
 * The recipe of a rehearsed night: the demonstration's lampshade, with a charge that is reached in time for the finish to end
 * within the hours. Used by the rehearsal, with and without the dashboard.
 */
import { PAIRED_RIG } from '@bathkeeper/dashboard';
import { recipeFromRequest } from '@bathkeeper/shared-core/trade';
import type { Recipe } from '@bathkeeper/shared-core/control';
import type { RecipeView } from '@bathkeeper/shared-core/messages';

const AREA_DM2 = 12;
const AMPS_PER_DM2 = 1.6;
const PREPARATION_SECONDS = 600;

/** Nights shorter than three hours get a shorter start and end in the middle of plating. */
export function nightRecipe(hours: number, recipeId: number, nowMs: number): { recipe: Recipe; view: RecipeView } {
  const isShort = hours < 3;
  const strikeMinutes = isShort ? hours * 3 : 10;
  const rampMinutes = isShort ? hours * 9 : 30;
  const request = {
    partName: 'Fluted bell lampshade',
    areaDm2: AREA_DM2,
    currentDensityAmpsPerDm2: AMPS_PER_DM2,
    strikeMinutes,
    rampMinutes,
    rotationPulsesPerMinute: 6,
  };
  const plateAmps = AREA_DM2 * AMPS_PER_DM2;
  const fullHours = isShort ? hours : hours - 1 - PREPARATION_SECONDS / 3600 - (strikeMinutes + rampMinutes) / 60;
  const chargeAmpereHours = plateAmps * (fullHours + rampMinutes / 120);
  const { recipe, preview } = recipeFromRequest({ ...request, chargeAmpereHours }, PAIRED_RIG, recipeId, nowMs);
  if (recipe === undefined) throw new Error(`The night's recipe was refused: ${preview.refusals.join(' ')}`);
  return { recipe, view: preview.recipe };
}
