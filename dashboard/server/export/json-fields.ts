/*
 * The fields at the top of a run's JSON document, watched token by token as they go by: one that is not known or stands twice is refused at its line, as the other formats
 * refuse it, and no text or row grows beyond what a run has. Used by read-json.ts; keeps names alone.
 */
import { TokenType } from '@streamparser/json';
import { columnsField } from './written-json.js';
import { runHeader } from './run-header.js';
import { runTables } from './run-tables.js';
import { shownCell, UnreadableRun } from './unreadable-run.js';

export const headFields = Object.keys(runHeader.shape);
const listFields = runTables.flatMap((table) => [columnsField(table), table.name as string]);
const known = new Set([...headFields, ...listFields]);

/** A row has some thirty cells, the columns of a table some five hundred tokens. */
const TOKENS_MAX = 20_000;

export interface JsonFields {
  token(token: TokenType, value: unknown): void;
  /** A row, or a field of the head, was taken. */
  taken(): void;
}

export function watchedFields(place: () => string): JsonFields {
  const met = new Set<string>();
  let depth = 0;
  let isKeyNext = false;
  let list: string | undefined;
  let tokens = 0;
  const key = (name: string): void => {
    if (!known.has(name))
      throw new UnreadableRun(place(), `expected no field that is not known, got ${shownCell(name)}. Expected a run as this dashboard exports it.`); // prettier-ignore
    if (met.has(name)) throw new UnreadableRun(place(), `the field ${name} stands twice. Expected it once.`);
    met.add(name);
    list = listFields.includes(name) ? name : undefined;
  };
  return {
    token: (token, value) => {
      if (++tokens > TOKENS_MAX) throw new UnreadableRun(place(), 'it is longer than any row of a run.');
      if (depth === 1 && isKeyNext && token === TokenType.STRING) key(String(value));
      else if (depth === 1 && list !== undefined && token !== TokenType.COLON) {
        if (token !== TokenType.LEFT_BRACKET) throw new UnreadableRun(place(), `${list}: expected a list.`);
        list = undefined;
      }
      if (token === TokenType.LEFT_BRACE || token === TokenType.LEFT_BRACKET) depth++;
      else if (token === TokenType.RIGHT_BRACE || token === TokenType.RIGHT_BRACKET) depth--;
      isKeyNext = depth === 1 && (token === TokenType.LEFT_BRACE || token === TokenType.COMMA);
    },
    taken: () => {
      tokens = 0;
    },
  };
}
