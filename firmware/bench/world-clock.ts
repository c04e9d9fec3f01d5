/*
 * The bath's own time, and everything that happens in it by itself: conversions, relays, pulses, time-outs, faults.
 * The board asks it to advance; it runs what falls due in order of time. It knows nothing of the program on the board,
 * so it goes on while that program is blocked, crashed or restarting.
 */

/** Something that will act by itself. Infinity: nothing is due. */
export interface TimedProcess {
  dueAtSeconds: number;
  act(nowSeconds: number): void;
}

export class WorldClock {
  /** Seconds since the bath was switched on. Only ever rises. */
  nowSeconds = 0;
  readonly #processes: TimedProcess[] = [];

  add(process: TimedProcess): void {
    this.#processes.push(process);
  }

  /**
   * Runs all that falls due up to `untilSeconds`; of two due at once the one added first. Stops early, at the time of
   * the event, as soon as `isInterrupted` says so (a pulse that the program waits for). Returns the time reached.
   */
  advanceTo(untilSeconds: number, isInterrupted?: () => boolean): number {
    const processes = this.#processes;
    for (;;) {
      let next: TimedProcess | undefined;
      let dueAtSeconds = untilSeconds;
      for (let index = 0; index < processes.length; index++) {
        const candidate = processes[index]!;
        if (candidate.dueAtSeconds < dueAtSeconds || (next === undefined && candidate.dueAtSeconds === dueAtSeconds)) {
          next = candidate;
          dueAtSeconds = candidate.dueAtSeconds;
        }
      }
      if (next === undefined) break;
      if (dueAtSeconds > this.nowSeconds) this.nowSeconds = dueAtSeconds;
      next.act(this.nowSeconds);
      if (isInterrupted?.() === true) return this.nowSeconds;
    }
    if (untilSeconds > this.nowSeconds) this.nowSeconds = untilSeconds;
    return this.nowSeconds;
  }
}
