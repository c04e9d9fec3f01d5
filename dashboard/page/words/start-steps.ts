/*
 * What a person does at the bath to start, next thing first. The test of the alert latch makes a dance of it (close the latch, its test opens
 * it, close it again, press start), so the steps are told in order instead of as a bag of missing things. Pure.
 */
import { Condition, Permissive, Phase } from '@bathkeeper/shared-core/control';
import type { LiveView } from '@bathkeeper/shared-core/messages';
import { adviceFor } from '@bathkeeper/shared-core/watch';
import { wordsForPermissive } from './conditions.js';

export interface StartStep {
  readonly state: 'done' | 'now' | 'later';
  /** What to do, a sentence. */
  readonly words: string;
  /** Why, or what is seen when it is done; empty when the words say it. */
  readonly why: string;
}

const latchCodes: readonly number[] = [Permissive.alertLatchClosed, Permissive.alertLatchProven];

/** Empty unless a recipe waits in ready. The step that is `now` is the only one to be done. */
export function startSteps(live: LiveView): StartStep[] {
  if (live.phase !== Phase.ready) return [];
  const missing = live.permissivesMissing;
  const others = missing.filter((code) => !latchCodes.includes(code));
  const isClosed = !missing.includes(Permissive.alertLatchClosed);
  const isProven = !missing.includes(Permissive.alertLatchProven);
  const steps: { words: string; why: string; isDone: boolean }[] = others.map((code) => {
    const { missing: what, remedy } = wordsForPermissive(code);
    return { words: remedy, why: `${what.charAt(0).toUpperCase()}${what.slice(1)}.`, isDone: false };
  });
  steps.push(
    {
      words: 'Press the reset button of the alert latch.',
      why: 'It closes the latch, so that its test can open it.',
      isDone: isClosed || isProven,
    },
    live.conditions.includes(Condition.alertLatchNotOpening)
      ? {
          words: adviceFor(Condition.alertLatchNotOpening),
          why: 'The latch did not open in its test. Reset is the button of the controller; the test then begins anew.',
          isDone: isProven,
        }
      : {
          words: 'Wait for the test: the latch opens by itself, within five seconds.',
          why: 'It shows that over-current would open the contactor without any program.',
          isDone: isProven,
        },
    {
      words: 'Press the reset button of the alert latch once more.',
      why: 'The test left it open, as it should.',
      isDone: isProven && isClosed,
    },
    {
      words: 'Press start at the bath.',
      why: 'The contactor closes, a low current proves the polarity, then strike begins.',
      isDone: false,
    },
  );
  let isNowGiven = false;
  return steps.map(({ words, why, isDone }) => {
    const isNow = !isDone && !isNowGiven;
    isNowGiven ||= isNow;
    return { words, why, state: isDone ? 'done' : isNow ? 'now' : 'later' };
  });
}
