/* What was chosen and typed for a rehearsal, and the request that it makes; pure. Used by the rehearsal's form. */
import type { RehearsalFaultAsked, RehearsalFaultChoice } from '@bathkeeper/shared-core/trade';
import { typedNumber } from '../forms/typed-number.js';

/** One thing that goes wrong, as typed. */
export interface FaultTyped {
  readonly name: string;
  /** Hours after the first current. */
  readonly after: string;
  /** Minutes; empty: to the end of the night. */
  readonly lasts: string;
}

export const FAULTS_MAX = 10;
const HOURS_MAX = 160;
const MINUTES_MAX = 10_000;

export interface FaultProblems {
  readonly after?: string;
  readonly lasts?: string;
}

export function faultProblems({ after, lasts }: FaultTyped): FaultProblems {
  const hours = typedNumber(after);
  const minutes = lasts.trim() === '' ? 1 : typedNumber(lasts);
  return {
    ...(hours === undefined || hours > HOURS_MAX
      ? { after: `Type hours from 0 to ${String(HOURS_MAX)}, such as 1.5; got “${after.trim()}”.` }
      : {}),
    ...(minutes === undefined || minutes <= 0 || minutes > MINUTES_MAX
      ? { lasts: `Type minutes, such as 20, or leave it empty; got “${lasts.trim()}”.` }
      : {}),
  };
}

/** undefined while something is no number. Example: `{ name: 'leak', after: '1,5', lasts: '' }` is 90 minutes after, to the end. */
export function faultsAsked(
  typed: readonly FaultTyped[],
  choices: readonly RehearsalFaultChoice[],
): RehearsalFaultAsked[] | undefined {
  if (typed.some((fault) => Object.keys(faultProblems(fault)).length > 0)) return undefined;
  return typed.map(({ name, after, lasts }) => {
    const isMomentary = choices.find((choice) => choice.name === name)?.isMomentary === true;
    const minutes = isMomentary || lasts.trim() === '' ? undefined : typedNumber(lasts);
    return { name, afterMinutes: (typedNumber(after) ?? 0) * 60, ...(minutes === undefined ? {} : { minutes }) };
  });
}
