/*
 * The person at the bath in a night of the campaign: starts it in the evening, comes again at the times that were drawn, and puts right what
 * can be put right by pressing: reset, the latch's own button, start. Looks at what a person sees there; every press is one of theirs.
 */
import { type StandInDashboard, tendLatch, type VirtualBath } from '@bathkeeper/firmware/bench';
import { Phase } from '@bathkeeper/shared-core/control';
import type { PlannedNight } from './random-night.js';

const EVENING_SECONDS = 300;
const VISIT_SECONDS = 180;
const RESET_EVERY_SECONDS = 5;
const START_EVERY_SECONDS = 8;

export class Person {
  #recipeIsSent = false;
  #wasStarted = false;
  #pressedAt = -Infinity;

  constructor(readonly night: PlannedNight) {}

  /** Once a second. */
  act(bath: VirtualBath, standIn: StandInDashboard): void {
    const now = bath.nightSeconds;
    const { live } = standIn;
    const isEvening = now < EVENING_SECONDS && !this.#wasStarted;
    const isVisit = this.night.visitsAtSeconds.some((visit) => now >= visit && now < visit + VISIT_SECONDS);
    if (live === undefined || !(isEvening || isVisit)) return;
    if (!this.#recipeIsSent) {
      this.#recipeIsSent = standIn.sendRecipe(this.night.recipeRow);
      return;
    }
    const sincePress = now - this.#pressedAt;
    if (live.phase === Phase.ready) {
      tendLatch(bath);
      if (live.permissivesMissing === 0 && sincePress >= START_EVERY_SECONDS) this.#press(bath, 'start');
    } else if (live.phase === Phase.trip || (live.phase === Phase.idle && isEvening)) {
      tendLatch(bath);
      if (live.phase === Phase.trip && sincePress >= RESET_EVERY_SECONDS) this.#press(bath, 'reset');
    } else {
      this.#wasStarted = true;
      if (live.phase === Phase.hold && isVisit && sincePress >= START_EVERY_SECONDS) this.#press(bath, 'start');
      else if (isVisit && sincePress >= 60) this.#press(bath, 'reset');
    }
  }

  #press(bath: VirtualBath, button: 'start' | 'reset'): void {
    this.#pressedAt = bath.nightSeconds;
    bath.press(button);
  }
}
