/*
 * Things to do at a time on the bath's clock: a button let go, a fault's end, the next boot. Deterministic: in order
 * of time, then in the order they were asked for.
 */
import { TimedProcess } from './world-clock.js';

export class AlarmList extends TimedProcess {
  readonly #entries: { atSeconds: number; run: () => void }[] = [];

  at(atSeconds: number, run: () => void): void {
    let index = this.#entries.length;
    while (index > 0 && this.#entries[index - 1]!.atSeconds > atSeconds) index--;
    this.#entries.splice(index, 0, { atSeconds, run });
    this.dueAtSeconds = this.#entries[0]!.atSeconds;
  }

  act(): void {
    const entry = this.#entries.shift();
    this.dueAtSeconds = this.#entries[0]?.atSeconds ?? Infinity;
    entry?.run();
  }
}
