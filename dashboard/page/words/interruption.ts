/*
 * The part without current: how long it has stood so, or stood so before the press that brought the current back, and what that means for
 * the copper. Used by the bath page; pure.
 */
import { Condition, Phase } from '@bathkeeper/shared-core/control';
import type { ControllerView, InterruptionView } from '@bathkeeper/shared-core/messages';
import { interruptionAdvice } from '@bathkeeper/shared-core/watch';
import { nearTimeWords, spanWords } from './times.js';

/** Less is the offset of a shunt. */
export const FLOWS_AMPS = 0.3;

export interface Standing {
  readonly title: string;
  readonly advice: string;
}

/** While a trip keeps the current from a part that has begun to grow; null otherwise. */
export function standsWithoutCurrent(controller: ControllerView): Standing | null {
  const { live, run } = controller;
  if (live === null || run === null || live.phase !== Phase.trip || run.endedAtMs !== null) return null;
  if (live.chargeAmpereHours <= 0) return null;
  // Whatever the phase says: what flows is not interrupted. Without a reading the contactor has the word.
  if (live.cathodeCurrentAmps === null ? live.isContactorClosed : Math.abs(live.cathodeCurrentAmps) > FLOWS_AMPS)
    return null;
  // After a restart nobody knows when the current went: the time in this phase is only the least.
  const isUnknown = live.conditions.includes(Condition.restartedInRun);
  return {
    title: `The part has stood without current for ${isUnknown ? 'at least ' : ''}${spanWords(live.phaseSeconds)}.`,
    advice: interruptionAdvice(isUnknown ? null : live.phaseSeconds),
  };
}

/** One line of a run's account. Example: "4 min until 02:10. Long enough that new copper may not adhere…" */
export function interruptionWords(one: InterruptionView, nowMs: number, timeZone?: string): string {
  const long = one.seconds === null ? 'For an unknown time' : spanWords(one.seconds);
  return `${long} until ${nearTimeWords(one.atMs, nowMs, timeZone)}. ${interruptionAdvice(one.seconds)}`;
}
