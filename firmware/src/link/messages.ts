/*
 * What may come from afar, checked field by field: the interpreter's JSON takes rubbish for valid, and text that nests deeply
 * enough would end a callback for good. Used by the link. Returns undefined for what is not understood; never throws.
 */
import { Command, type Recipe } from '@bathkeeper/shared-core/control';
import { LINK_VERSION, RECIPE_COLUMNS, RecipeColumn } from '@bathkeeper/shared-core/messages';

const TEXT_MAX = 512;

function occursTwice(text: string, character: string): boolean {
  const first = text.indexOf(character);
  return first >= 0 && text.indexOf(character, first + 1) >= 0;
}

/** The fields of a message of this link's version: one object, with at most one list in it. */
export function messageFields(text: string): Record<string, unknown> | undefined {
  if (text.length > TEXT_MAX || occursTwice(text, '{') || occursTwice(text, '[')) return undefined;
  try {
    const fields: unknown = JSON.parse(text);
    return typeof fields === 'object' && fields && (fields as Record<string, unknown>)['v'] === LINK_VERSION
      ? (fields as Record<string, unknown>)
      : undefined;
  } catch (_) {
    return undefined;
  }
}

/** How a command is answered (EventKind.commandAnswered, b). */
export const Answer = { done: 0, notInThisPhase: 1, expired: 2, notUnderstood: 3 } as const;
export type Answer = (typeof Answer)[keyof typeof Answer];

/** A command that has an id, so that it can be answered. Anything but `done` is only to be answered, not to be carried out. */
export interface ReceivedCommand {
  readonly id: number;
  readonly command: Command;
  readonly answer: Answer;
  readonly recipe: Recipe | undefined;
}

function isWhole(value: unknown, most: number): value is number {
  return typeof value === 'number' && value >= 1 && value <= most && value % 1 === 0;
}

/** The recipe of a row, its values unchecked but for being numbers. */
function recipeOf(row: unknown): Recipe | undefined {
  const columns = row as number[];
  if (!row || columns.length !== RECIPE_COLUMNS) return undefined;
  for (let i = 0; i < RECIPE_COLUMNS; i++) if (typeof columns[i] !== 'number') return undefined;
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

/** The command in a message for this boot and moment; undefined when it has no id that could be answered. */
export function receivedCommand(text: string, boot: number, uptimeTenths: number): ReceivedCommand | undefined {
  const fields = messageFields(text);
  if (!fields || !isWhole(fields['d'], 2147483647)) return undefined;
  const isKnown = isWhole(fields['k'], Command.recipe);
  const command = (isKnown ? fields['k'] : Command.none) as Command;
  const recipe = command === Command.recipe ? recipeOf(fields['g']) : undefined;
  const expires = fields['x'];
  return {
    id: fields['d'],
    command: command,
    recipe: recipe,
    answer:
      !isKnown || typeof expires !== 'number' || (command === Command.recipe && !recipe)
        ? Answer.notUnderstood
        : fields['b'] !== boot || !(expires >= uptimeTenths)
          ? Answer.expired
          : Answer.done,
  };
}
