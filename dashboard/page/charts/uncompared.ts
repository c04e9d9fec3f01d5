/*
 * What of two runs has no place on their common axis, and why, in whole sentences; and whether anything is left to be drawn. Called by the room of two runs; pure.
 */
import type { Alignment } from './two-runs.js';

/** What of a run's record decides whether it can be drawn. */
export interface ComparedRun {
  readonly controllerId: string;
  readonly incarnation: number;
  readonly run: number;
  readonly goesOn: boolean;
  readonly measures: { readonly recordedSeconds: number; readonly chargeAmpereHours: number };
}

export interface Uncompared {
  readonly words: readonly string[];
  /** At least one of them has lines. */
  readonly isDrawn: boolean;
}

export function uncompared(alignment: Alignment, runs: readonly [ComparedRun, ComparedRun], names: readonly [string, string]): Uncompared {
  if (isSame(...runs))
    return {
      words: ['Both are one run, and it would lie on itself. Open its record, and choose another run to lay over it.'],
      isDrawn: false,
    };
  const reasons = runs.map((run, index) => reasonOf(alignment, run, names[index]!));
  return {
    words: reasons.filter((reason) => reason !== null),
    isDrawn: reasons.includes(null),
  };
} // prettier-ignore

const isSame = (one: ComparedRun, other: ComparedRun): boolean =>
  one.controllerId === other.controllerId && one.incarnation === other.incarnation && one.run === other.run;

/** null: it has its lines. */
function reasonOf(alignment: Alignment, { goesOn, measures }: ComparedRun, name: string): string | null {
  const { recordedSeconds, chargeAmpereHours } = measures;
  if (recordedSeconds === 0)
    return goesOn
      ? `Of ${name} nothing is logged yet: it has no line here. Load the page anew in a minute.`
      : `Of ${name} nothing was logged: it has no line here. It ended at once, or its records are not in this store.`;
  if (alignment === 'charge' && !(chargeAmpereHours > 0))
    return `${name} had no charge: by charge it has no line here. From the start of each it has one.`;
  return null;
}
