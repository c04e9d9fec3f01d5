/*
 * What is wrong with a request, in words: where, what was expected, what came. The validator's own words are for programmers, and never reach anybody. Used by every
 * refusal of a shape; decides nothing.
 */
import type { z } from 'zod';

const SHOWN_CHARACTERS = 40;
const KEYS_SHOWN = 5;

type RawIssue = Parameters<z.core.$ZodErrorMap>[0];

const kinds: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
  object: 'an object',
  array: 'a list',
  null: 'null',
};
const counted: Readonly<Record<string, readonly [one: string, many: string]>> = {
  string: ['character', 'characters'],
  array: ['entry', 'entries'],
};
const shown = (value: unknown): string =>
  typeof value === 'number' ? value.toLocaleString('en-US', { maximumFractionDigits: 20 }) : String(value);

/** For zod's option `error`: what was expected. What a shape says itself ("expected your name") goes before it. */
export function expectedWords(issue: RawIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return `expected ${kinds[issue.expected] ?? issue.expected}`;
    case 'too_small':
      return `expected ${bound(issue.origin, issue.minimum, issue.inclusive === false ? 'more than' : 'at least')}`;
    case 'too_big':
      return `expected ${bound(issue.origin, issue.maximum, issue.inclusive === false ? 'less than' : 'at most')}`;
    case 'invalid_value':
      return `expected ${oneOf(issue.values)}`;
    case 'unrecognized_keys':
      return `expected no field that is not known, got ${issue.keys.slice(0, KEYS_SHOWN).map(excerpt).join(', ')}`;
    case 'invalid_union':
      return Array.isArray(issue.options) ? `expected ${oneOf(issue.options)}` : 'expected another kind of value';
    default:
      return 'expected another form of it';
  }
}

function bound(origin: string, value: number | bigint, words: string): string {
  const of = counted[origin];
  if (of === undefined) return `a number of ${words} ${shown(value)}`;
  if (words === 'at least' && value === 1) return `at least one ${of[0]}`;
  return `${words} ${shown(value)} ${value === 1 ? of[0] : of[1]}`;
}

function oneOf(values: readonly unknown[]): string {
  const words = values.map((value) => JSON.stringify(value));
  return words.length < 2 ? words.join() : `${words.slice(0, -1).join(', ')} or ${words.at(-1)!}`;
}

/**
 * Each fault of a request a sentence. `whole`: what to call the request itself; `isSecret`: what came is not repeated, only told by its kind.
 * Example: `litres: expected a number of more than 0, got -3.`
 */
export function faultWords(error: z.ZodError, request: unknown, whole: string, isSecret = false): string[] {
  return error.issues.map(({ path, message }) => {
    const where = path.length === 0 ? whole : path.map(String).join('.');
    if (!message.startsWith('expected') || message.includes(', got ')) return `${where}: ${message}.`;
    return `${where}: ${message}, got ${gotWords(valueAt(request, path), isSecret)}.`;
  });
}

function valueAt(value: unknown, path: readonly PropertyKey[]): unknown {
  let at = value;
  for (const step of path) at = (at as Record<PropertyKey, unknown> | null | undefined)?.[step];
  return at;
}

function gotWords(value: unknown, isSecret: boolean): string {
  if (value === undefined) return 'nothing';
  if (value === null) return 'null';
  if (Array.isArray(value)) return `a list of ${shown(value.length)}`;
  if (typeof value === 'object') return 'an object';
  if (typeof value === 'string') {
    if (value.trim() === '') return 'an empty text';
    return isSecret || value.length > SHOWN_CHARACTERS
      ? `a text of ${shown(value.length)} characters`
      : JSON.stringify(value);
  }
  // A number that JSON cannot write, such as 1e999, is told as it is.
  return isSecret ? `a ${typeof value}` : typeof value === 'number' ? String(value) : JSON.stringify(value);
}

const excerpt = (word: string): string =>
  JSON.stringify(word.length > SHOWN_CHARACTERS ? `${word.slice(0, SHOWN_CHARACTERS)}…` : word);

/** What of a request could not even be read; as body-parser tells it. */
export function unreadWords(fault: Error): string {
  const { type, limit } = fault as { type?: string; limit?: number };
  if (type === 'entity.too.large')
    return `The request is larger than ${shown(Math.round((limit ?? 0) / 1000))} kB. Shorten what was written, and send it again.`;
  if (type === 'entity.parse.failed')
    return 'The request cannot be read: expected JSON, got something else. Load the page anew, and send it again.';
  return `The request cannot be read: ${fault.message}.`;
}
