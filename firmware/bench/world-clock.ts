/*
 * The bath's own time, and everything that happens in it by itself: conversions, relays, pulses, time-outs, faults.
 * The board asks it to advance; it runs what falls due in order of time. It knows nothing of the program on the board,
 * so it goes on while that program is blocked, crashed or restarting.
 */

/** An object of its own, the same for every process: the clock looks at all of them in each call into the board. */
class Due {
  seconds = Infinity;
}

/** Something that will act by itself. Infinity: nothing is due. */
export abstract class TimedProcess {
  readonly due = new Due();

  get dueAtSeconds(): number {
    return this.due.seconds;
  }
  set dueAtSeconds(seconds: number) {
    this.due.seconds = seconds;
  }
  abstract act(nowSeconds: number): void;
}

export class WorldClock {
  /** Seconds since the bath was switched on. Only ever rises. */
  nowSeconds = 0;
  readonly #processes: TimedProcess[] = [];
  readonly #dues: Due[] = [];

  add(process: TimedProcess): void {
    this.#processes.push(process);
    this.#dues.push(process.due);
  }

  /**
   * Runs all that falls due up to `untilSeconds`; of two due at once the one added first. Stops early, at the time of
   * the event, as soon as `isInterrupted` says so (a pulse that the program waits for). Returns the time reached.
   */
  advanceTo(untilSeconds: number, isInterrupted?: () => boolean): number {
    const dues = this.#dues;
    for (;;) {
      let next = -1;
      let dueAtSeconds = untilSeconds;
      for (let index = 0; index < dues.length; index++) {
        const { seconds } = dues[index]!;
        if (seconds < dueAtSeconds || (next < 0 && seconds === dueAtSeconds)) {
          next = index;
          dueAtSeconds = seconds;
        }
      }
      if (next < 0) break;
      if (dueAtSeconds > this.nowSeconds) this.nowSeconds = dueAtSeconds;
      this.#processes[next]!.act(this.nowSeconds);
      if (isInterrupted?.() === true) return this.nowSeconds;
    }
    if (untilSeconds > this.nowSeconds) this.nowSeconds = untilSeconds;
    return this.nowSeconds;
  }
}
