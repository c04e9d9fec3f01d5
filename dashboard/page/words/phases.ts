/*
 * The phases of a run in the trade's words. Used by the sentence, the phase strip and the tables.
 */
import { Phase } from '@bathkeeper/shared-core/control';

/** One word each, as it stands on the phase strip. */
export const phaseName: Readonly<Record<Phase, string>> = {
  [Phase.idle]: 'idle',
  [Phase.ready]: 'ready',
  [Phase.strike]: 'strike',
  [Phase.ramp]: 'ramp',
  [Phase.plate]: 'plate',
  [Phase.finish]: 'finish',
  [Phase.done]: 'done',
  [Phase.hold]: 'hold',
  [Phase.trip]: 'trip',
  [Phase.polarity]: 'polarity',
};

/** True while the commanded current comes from the recipe: what can be held. Before the polarity is proven only a stop is safe. */
export function canBeHeld(phase: Phase): boolean {
  return phase >= Phase.strike && phase <= Phase.finish;
}

/** True while there is something that a stop would change. */
export function canBeStopped(phase: Phase): boolean {
  return canBeHeld(phase) || phase === Phase.polarity || phase === Phase.hold || phase === Phase.ready;
}
