/*
 * A recipe from a row in the order of RecipeColumn: so it comes over the wire, and so the journal keeps it.
 * Checks no value: that is the supervisor's, which trusts no field to be there or to be a number.
 */
import type { Recipe } from '@bathkeeper/shared-core/control';
import { RecipeColumn } from '@bathkeeper/shared-core/messages';

/** The recipe of a row, its fields in the order of the columns. */
export function recipeOfRow(columns: ArrayLike<number>): Recipe {
  return {
    recipeId: columns[RecipeColumn.recipeId]!,
    areaDm2: columns[RecipeColumn.areaDm2]!,
    strikeAmps: columns[RecipeColumn.strikeAmps]!,
    strikeSeconds: columns[RecipeColumn.strikeSeconds]!,
    rampSeconds: columns[RecipeColumn.rampSeconds]!,
    plateAmps: columns[RecipeColumn.plateAmps]!,
    chargeMilliCoulombs: columns[RecipeColumn.chargeMilliCoulombs]!,
    finishAmps: columns[RecipeColumn.finishAmps]!,
    finishSeconds: columns[RecipeColumn.finishSeconds]!,
    holdAmps: columns[RecipeColumn.holdAmps]!,
    longestSeconds: columns[RecipeColumn.longestSeconds]!,
    rotationPulsesPerMinute: columns[RecipeColumn.rotationPulsesPerMinute]!,
    startCelsiusMin: columns[RecipeColumn.startCelsiusMin]!,
    bathWarnCelsius: columns[RecipeColumn.bathWarnCelsius]!,
    bathHoldCelsius: columns[RecipeColumn.bathHoldCelsius]!,
  };
}
