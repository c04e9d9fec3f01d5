/*
 * Timers and queued events of one boot, in the order in which the interpreter runs them: in each round first the
 * edges of watched pins, then every timer that is due, in the order they were made and each only once, then the events. An interval that was
 * held up fires once for each time missed. A callback that throws is reported and kept; one can be taken away, as
 * a stack overflow does.
 */

export interface Timer {
  readonly id: number;
  dueAtSeconds: number;
  /** Undefined: once. */
  everySeconds: number | undefined;
  readonly run: () => void;
  isGone: boolean;
}

/** The interpreter knows no shorter one. */
const SHORTEST_SECONDS = 0.001;

export class Callbacks {
  readonly #timers: Timer[] = [];
  readonly #events: (() => void)[] = [];
  readonly #edges: (() => void)[] = [];
  #nextId = 1;
  #timersChanged = false;

  constructor(
    readonly nowSeconds: () => number,
    /** Runs a callback so that nothing it throws gets out; true when the boot is over. */
    readonly run: (callback: () => void) => boolean,
  ) {}

  add(run: () => void, milliseconds: number, isRepeated: boolean): number {
    const seconds = milliseconds > SHORTEST_SECONDS * 1000 ? milliseconds / 1000 : SHORTEST_SECONDS;
    return this.#push(run, this.nowSeconds() + seconds, isRepeated ? seconds : undefined);
  }

  /** Once, at a time on the bath's clock. */
  addAt(run: () => void, atSeconds: number): number {
    return this.#push(run, atSeconds, undefined);
  }

  #push(run: () => void, dueAtSeconds: number, everySeconds: number | undefined): number {
    const timer: Timer = { id: this.#nextId++, dueAtSeconds, everySeconds, run, isGone: false };
    this.#timers.push(timer);
    this.#timersChanged = true;
    return timer.id;
  }

  remove(id: number): void {
    const index = this.#timers.findIndex((timer) => timer.id === id);
    if (index < 0) return;
    this.#timers[index]!.isGone = true;
    this.#timers.splice(index, 1);
    this.#timersChanged = true;
  }

  /** False: there is no such interval. */
  change(id: number, milliseconds: number): boolean {
    const timer = this.#timers.find((candidate) => candidate.id === id);
    if (timer === undefined) return false;
    timer.everySeconds = Math.max(SHORTEST_SECONDS, milliseconds / 1000);
    timer.dueAtSeconds = this.nowSeconds() + timer.everySeconds;
    this.#timersChanged = true;
    return true;
  }

  queue(event: () => void): void {
    this.#events.push(event);
  }

  /** An edge of a watched pin: taken in before anything else. */
  queueEdge(edge: () => void): void {
    this.#edges.push(edge);
  }

  /** An event waits, or a timer was set or cleared since `nextDueSeconds` was last asked: whoever plans by that asks again. */
  get isWaiting(): boolean {
    return this.#timersChanged || this.#events.length + this.#edges.length > 0;
  }
  get intervals(): readonly Timer[] {
    return this.#timers.filter((timer) => timer.everySeconds !== undefined);
  }

  /** When the next round is due; 0: at once, an event waits. */
  get nextDueSeconds(): number {
    this.#timersChanged = false;
    if (this.#events.length + this.#edges.length > 0) return 0;
    let next = Infinity;
    for (const timer of this.#timers) if (timer.dueAtSeconds < next) next = timer.dueAtSeconds;
    return next;
  }

  /** One round. True: the boot is over, nothing more may run. */
  runRound(): boolean {
    const roundSeconds = this.nowSeconds();
    if (this.#edges.length > 0) for (const edge of this.#edges.splice(0)) if (this.run(edge)) return true;
    do {
      this.#timersChanged = false;
      for (let index = 0; index < this.#timers.length && !this.#timersChanged; index++) {
        const timer = this.#timers[index]!;
        // A hair of tolerance: sums of 0.2 are not exact.
        if (timer.dueAtSeconds > roundSeconds + 1e-9) continue;
        if (this.run(timer.run)) return true;
        if (timer.isGone) continue;
        if (timer.everySeconds === undefined) {
          this.#timers.splice(this.#timers.indexOf(timer), 1);
          index--;
        } else timer.dueAtSeconds += timer.everySeconds;
      }
    } while (this.#timersChanged);
    if (this.#events.length > 0) for (const event of this.#events.splice(0)) if (this.run(event)) return true;
    return false;
  }
}
