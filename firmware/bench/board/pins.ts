/*
 * The board's pins: levels that the hardware drives, levels that the program drives, and watches with debounce as the
 * interpreter keeps them. Pin numbers are those of the wiring notes. Called by the interpreter's digitalRead,
 * digitalWrite and setWatch, and by the hardware behind the pins.
 */
export const Pin = {
  secondMeans: 'D2',
  probe: 'D4',
  level: 'D5',
  startButton: 'D13',
  stopButton: 'D16',
  resetButton: 'D17',
  oneShotTrigger: 'D18',
  oneShotClear: 'D19',
  alertLatch: 'D23',
  motor: 'D25',
  buzzer: 'D26',
  rotation: 'D27',
  contactorFeedback: 'D32',
  emergencyStop: 'D33',
  leak: 'D34',
  smoke: 'D35',
  agitation: 'D36',
  filter: 'D39',
} as const;

type Edge = 'rising' | 'falling' | 'both';
export interface PinEvent {
  state: boolean;
  time: number;
  lastTime: number | undefined;
  pin: string;
}

interface Watch {
  readonly id: number;
  readonly pin: string;
  readonly edge: Edge;
  readonly isRepeated: boolean;
  readonly debounceSeconds: number;
  readonly onEdge: (event: PinEvent) => void;
  lastTime: number | undefined;
  /** Level that was last believed, for debounce. */
  settledLevel: boolean;
  /** The level that will be believed at a time, unless another edge comes before. */
  settling: { atSeconds: number; cancel: () => void } | undefined;
}

export class Pins {
  /** What outside parts put on a pin. */
  readonly #driven = new Map<string, boolean>();
  readonly #outputs = new Map<string, boolean>();
  readonly #onOutput = new Map<string, (isHigh: boolean, nowSeconds: number) => void>();
  readonly #watches: Watch[] = [];
  #nextWatchId = 1;

  /** How the present boot takes an edge in when it next runs, and how it does something at a time on the bath's clock. */
  queue: (run: () => void) => void = () => undefined;
  at: (worldSeconds: number, run: () => void) => () => void = () => () => undefined;
  uptimeAt: (worldSeconds: number) => number = (worldSeconds) => worldSeconds;

  connectOutput(pin: string, onLevel: (isHigh: boolean, nowSeconds: number) => void): void {
    this.#onOutput.set(pin, onLevel);
  }

  /** The hardware puts a level on a pin. */
  drive(pin: string, isHigh: boolean, nowSeconds: number): void {
    if (this.#driven.get(pin) === isHigh) return;
    this.#driven.set(pin, isHigh);
    for (const watch of this.#watches) {
      if (watch.pin !== pin) continue;
      this.queue(() => {
        this.#takeEdge(watch, isHigh, nowSeconds);
      });
    }
  }

  read(pin: string): boolean {
    return this.#outputs.get(pin) ?? this.#driven.get(pin) ?? false;
  }

  write(pin: string, isHigh: boolean, nowSeconds: number): void {
    if (this.#outputs.get(pin) === isHigh) return;
    this.#outputs.set(pin, isHigh);
    this.#onOutput.get(pin)?.(isHigh, nowSeconds);
  }

  /** The board restarts: every output floats, and the pull-downs outside make it low. */
  release(nowSeconds: number): void {
    this.#watches.length = 0;
    for (const [pin, isHigh] of this.#outputs) if (isHigh) this.#onOutput.get(pin)?.(false, nowSeconds);
    this.#outputs.clear();
  }

  setWatch(pin: string, edge: Edge, isRepeated: boolean, debounceSeconds: number, onEdge: Watch['onEdge']): number {
    const id = this.#nextWatchId++;
    const settledLevel = this.#driven.get(pin) ?? false;
    this.#watches.push({
      ...{ id, pin, edge, isRepeated, debounceSeconds, onEdge, settledLevel },
      lastTime: undefined,
      settling: undefined,
    });
    return id;
  }

  clearWatch(id: number | undefined): boolean {
    for (let index = this.#watches.length - 1; index >= 0; index--) {
      const watch = this.#watches[index]!;
      if (id !== undefined && watch.id !== id) continue;
      watch.settling?.cancel();
      this.#watches.splice(index, 1);
      if (id !== undefined) return true;
    }
    return id === undefined;
  }

  get watchedPins(): readonly string[] {
    return [...new Set(this.#watches.map((watch) => watch.pin))];
  }

  /** The interpreter dropped the watches of a pin by itself. */
  forgetWatches(pin: string): void {
    for (const watch of this.#watches.filter((candidate) => candidate.pin === pin)) this.clearWatch(watch.id);
  }

  /**
   * An edge, taken in when the interpreter comes to it, in the way its source has it: with debounce a level is believed
   * once it has stood for the time. When it was blocked meanwhile, a pulse whose both edges wait is lost.
   */
  #takeEdge(watch: Watch, isHigh: boolean, edgeAtSeconds: number): void {
    if (!this.#watches.includes(watch)) return;
    if (watch.debounceSeconds <= 0) {
      watch.settledLevel = isHigh;
      this.#report(watch, isHigh, edgeAtSeconds);
      return;
    }
    const { settling } = watch;
    if (settling === undefined && isHigh === watch.settledLevel) return;
    settling?.cancel();
    watch.settling = undefined;
    if (settling !== undefined && edgeAtSeconds > settling.atSeconds && isHigh !== watch.settledLevel) {
      // The earlier level had settled and nobody came to it: taken now, at its own time.
      watch.settledLevel = isHigh;
      this.#report(watch, isHigh, settling.atSeconds - watch.debounceSeconds);
      return;
    }
    const settlesAtSeconds = edgeAtSeconds + watch.debounceSeconds;
    const cancel = this.at(settlesAtSeconds, () => {
      watch.settling = undefined;
      if (isHigh === watch.settledLevel) return;
      watch.settledLevel = isHigh;
      this.#report(watch, isHigh, edgeAtSeconds);
    });
    watch.settling = { atSeconds: settlesAtSeconds, cancel };
  }

  #report(watch: Watch, isHigh: boolean, edgeAtSeconds: number): void {
    const time = this.uptimeAt(edgeAtSeconds);
    const lastTime = watch.lastTime;
    watch.lastTime = time;
    if (watch.edge !== 'both' && (watch.edge === 'rising') !== isHigh) return;
    if (!watch.isRepeated) this.clearWatch(watch.id);
    watch.onEdge({ state: isHigh, time, lastTime, pin: watch.pin });
  }
}
