/*
 * What of a run must survive a restart of the controller, and how a run is taken up from it.
 * The control loop writes it into its memory behind a check byte and reads it back once at boot. It never makes anything live again.
 */
import { Condition } from './codes.js';
import { isLive, Phase } from './phase.js';
import type { Recipe } from './recipe.js';
import { type RunState, tell } from './run-state.js';
import { setSecondMeans } from './second-means.js';
import { EventKind } from './signals.js';

export interface RunJournal {
  phase: Phase;
  runNumber: number;
  /** A run was started and has not ended. */
  runIsOpen: boolean;
  chargeMilliCoulombs: number;
  liveMs: number;
  recipe: Recipe | undefined;
}

/** The journal of this moment: a view of the state, not a copy. Write it down before the next step. */
export function journalOf(state: RunState): RunJournal {
  return state;
}

/**
 * Takes a run up again into a state fresh from createRunState, before its first step. From a live phase, a trip, or a phase that does
 * not exist: trip, with `Condition.restartedInRun` raised; the events of the first step tell of both. Charge and time are kept, the
 * contactor stays open.
 * Whoever reads the journal has proven its check byte before.
 * @onceAtBoot
 */
export function restoreRun(state: RunState, journal: RunJournal): void {
  state.runNumber = journal.runNumber;
  state.runIsOpen = journal.runIsOpen;
  state.chargeMilliCoulombs = journal.chargeMilliCoulombs;
  state.liveMs = journal.liveMs;
  state.recipe = journal.recipe;
  state.phase = journal.phase;
  if (isLive(journal.phase) || !(journal.phase < Phase.trip)) {
    state.conditions = 1 << (Condition.restartedInRun - 1);
    state.unacknowledged = true;
    state.phase = Phase.trip;
    tell(state, EventKind.conditionRaised, Condition.restartedInRun, 0, 0);
    tell(state, EventKind.phaseEntered, Phase.trip, journal.phase, journal.chargeMilliCoulombs / 1000);
  }
  // In ready the supply is on before its terminals are looked at, after a restart too.
  setSecondMeans(state);
}

/**
 * Tells how long the current has been gone, once the firmware knows it from a clock that went on: the interruption then carries its length.
 * Only for a run that a restart has left; a length that is no number, or negative, changes nothing.
 */
export function interruptionBegan(state: RunState, secondsAgo: number): void {
  if (secondsAgo >= 0 && state.runIsOpen && !isLive(state.phase) && isNaN(state.currentLostAtMs)) {
    state.currentLostAtMs = state.clockMs - secondsAgo * 1000;
  }
}
