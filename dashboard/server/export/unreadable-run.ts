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

/** A value from outside as it may stand in a sentence. */
export function shownCell(value: unknown): string {
  const text = typeof value === 'bigint' ? String(value) : (JSON.stringify(value) ?? 'nothing');
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
