/* Why a file is not taken as a run: where in it, what was expected, what stands there. Thrown by everything that reads one, told by the import route. */

export class UnreadableRun extends Error {
  /** `place`: "records.csv, line 17"; "row 17" of a Parquet file, which has no lines. */
  constructor(
    readonly place: string,
    readonly fault: string,
  ) {
    super(`${place}: ${fault}`);
  }
}

/** What to do with a file that is damaged. */
export const SEND_AGAIN = 'Copy or download it again, or export the run anew.';

const SHOWN_CHARACTERS = 60;
const NAMES_SHOWN = 3;

/** A value from outside as it may stand in a sentence. */
export function shownCell(value: unknown): string {
  const text = typeof value === 'bigint' ? String(value) : (JSON.stringify(value) ?? 'nothing');
  return text.length > SHOWN_CHARACTERS ? `${text.slice(0, SHOWN_CHARACTERS - 3)}…` : text;
}

/** Example: "firstSequence, boot, phase and 15 more". */
export function shownSome(names: readonly string[]): string {
  const shown = names.slice(0, NAMES_SHOWN).map((name) => (name.length > SHOWN_CHARACTERS ? `${name.slice(0, SHOWN_CHARACTERS - 3)}…` : name)); // prettier-ignore
  const more = names.length - shown.length;
  if (more > 0) return `${shown.join(', ')} and ${String(more)} more`;
  return shown.length < 2 ? shown.join() : `${shown.slice(0, -1).join(', ')} and ${shown.at(-1)!}`;
}

/** It is not the file's fault: the system could not read it. */
export const isOfTheDisk = (fault: unknown): boolean => (fault as { syscall?: unknown } | null)?.syscall !== undefined;
