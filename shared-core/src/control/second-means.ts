/*
 * The second means: the supply's mains relay or enable input, for the day on which the contactor alone does not end the current.
 * Called by the supervisor when a phase is entered and while a trip stands. It never lets current flow by itself: the contactor is in series.
 */
import { Condition } from './codes.js';
import { isRaised } from './conditions.js';
import { isLive, Phase } from './phase.js';
import { type RunState, tell } from './run-state.js';
import { EventKind, type Inputs } from './signals.js';

/** On in ready and while live. In a trip it stays as it was: off when the controller was just started. Off once it was needed. */
export function setSecondMeans(state: RunState): void {
  const outputs = state.outputs;
  const phase = state.phase;
  outputs.supplyEnabled =
    !state.secondMeansOpenedBy &&
    (phase === Phase.ready || isLive(phase) || (phase === Phase.trip && outputs.supplyEnabled));
}

/** What asks for the second means now: current that goes on, or a contactor that is closed though it should be open. */
function wantedBy(state: RunState, inputs: Inputs): Condition | 0 {
  if (isRaised(state, Condition.currentDoesNotFall)) return Condition.currentDoesNotFall;
  return isRaised(state, Condition.contactorContradicts) && inputs.contactorClosed ? Condition.contactorContradicts : 0;
}

/** While a trip's condition stands, and at each reset: opens the second means, or allows it again when a reset finds both causes gone. */
export function judgeSecondMeans(state: RunState, inputs: Inputs): void {
  const wanted = wantedBy(state, inputs);
  if (wanted && !state.secondMeansOpenedBy) {
    state.secondMeansOpenedBy = wanted;
    tell(state, EventKind.secondMeansOpened, wanted, 0, 0);
  } else if (
    inputs.resetPressed &&
    !isRaised(state, Condition.currentDoesNotFall) &&
    !isRaised(state, Condition.contactorContradicts)
  ) {
    state.secondMeansOpenedBy = 0;
  }
  setSecondMeans(state);
}
