/*
 * What may come from afar, checked field by field: the interpreter's JSON takes rubbish for valid, and text that nests deeply
 * enough would end a callback for good. Used by the link. Returns undefined for what is not understood; never throws.
 */
import { Command, type Recipe } from '@bathkeeper/shared-core/control';
import { LINK_VERSION } from '@bathkeeper/shared-core/messages';
import { recipeOfRow } from '../memory/recipe-row.js';

const TEXT_MAX = 512;
/** What six bytes of the kept row hold: milliseconds since 1970 until the year 6429. */
const COUNTER_MAX = 140737488355327;

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

/** Why a message was not believed (EventKind.commandRefused, code). */
export const Refusal = { none: 0, forged: 1, replayed: 2, outOfDate: 3 } as const;
export type Refusal = (typeof Refusal)[keyof typeof Refusal];

/** A command that has an id, so that it can be answered. Anything but `done` is only to be answered, not to be carried out. */
export interface ReceivedCommand {
  readonly id: number;
  /** Rises with every command; the highest one taken is kept. */
  readonly counter: number;
  readonly command: Command;
  readonly answer: Answer;
  /** Set when the command is a recipe that is to be offered. */
  readonly recipe: Recipe | undefined;
  /** Of `lower`; 0 of every other. */
  readonly lowerToAmps: number;
}

function isWhole(value: unknown, most: number): value is number {
  return typeof value === 'number' && value >= 1 && value <= most && value % 1 === 0;
}

/**
 * The command in a proved text, for this memory's incarnation, this boot and moment; undefined when it has no id that could be
 * answered or no counter. A command of another life of the memory or another boot has expired, whatever it says of its end.
 */
export function receivedCommand(
  text: string,
  incarnation: number,
  boot: number,
  uptimeMs: number,
): ReceivedCommand | undefined {
  const fields = messageFields(text);
  if (!fields || !isWhole(fields['d'], 2147483647) || !isWhole(fields['n'], COUNTER_MAX)) return undefined;
  const command = isWhole(fields['k'], Command.lower) ? fields['k'] : Command.none;
  const isLower = command === Command.lower;
  const ceiling = fields['c'];
  const isUnderstood = command && (!isLower || (typeof ceiling === 'number' && ceiling >= 0));
  const isInTime = fields['i'] === incarnation && fields['b'] === boot && (fields['x'] as number) * 100 >= uptimeMs;
  const answer = !isUnderstood ? Answer.notUnderstood : isInTime ? Answer.done : Answer.expired;
  return {
    id: fields['d'],
    counter: fields['n'],
    command: command as Command,
    answer: answer,
    recipe: command === Command.recipe && !answer ? recipeOfRow((fields['g'] || []) as number[]) : undefined,
    lowerToAmps: isLower && !answer ? (ceiling as number) / 100 : 0,
  };
}
