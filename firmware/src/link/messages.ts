/*
 * What may come from afar, checked field by field: the interpreter's JSON takes rubbish for valid, and text that nests deeply
 * enough would end a callback for good. Used by the link. Returns undefined for what is not understood; never throws.
 */
import { Command, type Recipe } from '@bathkeeper/shared-core/control';
import { LINK_VERSION } from '@bathkeeper/shared-core/messages';
import { recipeOfRow } from '../memory/recipe-row.js';

const TEXT_MAX = 512;

function occursTwice(text: string, character: string): boolean {
  const first = text.indexOf(character);
  return first >= 0 && text.indexOf(character, first + 1) >= 0;
}

/** The fields of a message of this link's version: one object, with at most one list in it. */
export function messageFields(text: string): Record<string, unknown> | undefined {
  if (text.length > TEXT_MAX || occursTwice(text, '{') || occursTwice(text, '[')) return undefined;
  try {
    const fields = JSON.parse(text) as Record<string, unknown>;
    return fields['v'] === LINK_VERSION ? fields : undefined;
  } catch (_) {
    // Not JSON, or null.
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
  /** Set when the command is a recipe that is to be offered. */
  readonly recipe: Recipe | undefined;
}

function isWhole(value: unknown, most: number): value is number {
  return typeof value === 'number' && value >= 1 && value <= most && value % 1 === 0;
}

/** The command in a message for this boot and moment; undefined when it has no id that could be answered. */
export function receivedCommand(text: string, boot: number, uptimeMs: number): ReceivedCommand | undefined {
  const fields = messageFields(text);
  if (!fields || !isWhole(fields['d'], 2147483647)) return undefined;
  const command = isWhole(fields['k'], Command.recipe) ? fields['k'] : Command.none;
  const isInTime = fields['b'] === boot && (fields['x'] as number) * 100 >= uptimeMs;
  const answer = !command ? Answer.notUnderstood : isInTime ? Answer.done : Answer.expired;
  return {
    id: fields['d'],
    command: command as Command,
    answer: answer,
    recipe: command === Command.recipe && !answer ? recipeOfRow((fields['g'] || []) as number[]) : undefined,
  };
}
